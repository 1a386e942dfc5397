"""The heat rooms' answer: what is slow once, what is quick as often as a ledger changes."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.errors import Notice
from ledger.heat.adds_up import heat_loss_notices
from ledger.heat.balance import balance_notices, store_balances
from ledger.heat.bare import NO_WAYS, Ways
from ledger.heat.climate import climate_years
from ledger.heat.curve import EnergyCurve
from ledger.heat.elsewhere import outdoors_elsewhere_c
from ledger.heat.envelope import Envelope, air_density_kg_per_m3, envelope
from ledger.heat.housemodel.answer import HouseModelAnswer
from ledger.heat.model_notices import model_notices
from ledger.heat.prepared import Prepared, lay_out
from ledger.heat.results import HeatAnswer, HouseFigures
from ledger.heat.season_answer import SeasonWork, reckon_season
from ledger.heat.typical import typical_year
from ledger.heat.typical_curves import TypicalWork
from ledger.model.ledger import Ledger
from ledger.series.record import HourlyRecord


@dataclass(frozen=True, slots=True, eq=False)
class HeatWork:
    """Everything that was reckoned on the way to an answer, for the rooms that go on from it."""

    loss: Envelope
    seasons: tuple[SeasonWork, ...]
    typical: TypicalWork
    notices: tuple[Notice, ...] = ()


def prepare(record: HourlyRecord | None, ledger: Ledger, *, climate_record: HourlyRecord | None = None) -> Prepared:
    """Lay the record out by season with the sun; slow, and the same for every change of house, hold or price.

    Parameters
    ----------
    record : the clean hourly record; None where nothing is logged.
    ledger : site, season, counting rule, crop, climate normals.
    climate_record : several years outdoors, cleaned like a log.

    Returns
    -------
    Prepared
    """
    logged = lay_out(record, site=ledger.site, hold=ledger.hold, crop=ledger.crop) if record is not None else ()
    weather = climate_years(climate_record, ledger, logged=logged)
    return Prepared(
        years=logged,
        climate=weather.years,
        climate_basis=weather.basis,
        logged_channels=tuple(str(c) for c in record.hours.columns) if record is not None else (),
        site=ledger.site,
        hold=ledger.hold,
        crop=ledger.crop,
        notices=weather.notices,
        climate_notices=weather.notices_if_used,
        outdoor_elsewhere_c=outdoors_elsewhere_c(record, climate_record),
    )


def reckon(prepared: Prepared, ledger: Ledger, *, ways: Ways = NO_WAYS) -> HeatAnswer:
    """Season by season and for the typical year: need, avoided heat, rungs, degree-days.

    Parameters
    ----------
    prepared : the record laid out.
    ledger : house, hold temperature, builds, book; it may differ from the one prepared with in all but site, season,
        counting rule and crop window.
    ways : the bare house as the house model and the fan-off nights answer it.

    Returns
    -------
    HeatAnswer

    Raises
    ------
    ValueError : the ledger needs another layout (our bug).
    """
    return answer_of(heat_work(prepared, ledger, ways=ways), ledger)


def answer_of(work: HeatWork, ledger: Ledger, model: HouseModelAnswer | None = None) -> HeatAnswer:
    """The answer that was reckoned, under the names of the results.

    Parameters
    ----------
    work : from `heat_work`.
    ledger : the one that it was reckoned for.
    model : the house model's answer; what it doubts of the ledger is said.

    Returns
    -------
    HeatAnswer
    """
    notices = [n for s in work.seasons for n in s.notices]
    for season in work.seasons:
        notices += balance_notices(store_balances(season.year, ledger, work.loss), ledger)
    notices += heat_loss_notices(work.seasons, ledger, model)
    notices += model_notices(work.seasons, ledger, model)
    return HeatAnswer(
        house=house_figures(ledger),
        seasons=tuple(s.heat for s in work.seasons),
        typical=work.typical.heat,
        notices=(*work.notices, *notices, *work.typical.notices),
    )


def heat_work(prepared: Prepared, ledger: Ledger, *, ways: Ways = NO_WAYS) -> HeatWork:
    """The same, with everything that was reckoned on the way.

    Parameters
    ----------
    prepared, ledger, ways : as for `reckon`.

    Returns
    -------
    HeatWork

    Raises
    ------
    ValueError : the ledger needs another layout (our bug).
    """
    _same_layout(prepared, ledger)
    loss = envelope(ledger.house, ledger.builds, elevation_m=ledger.site.elevation_m)
    seasons = tuple(reckon_season(year, ledger, loss, ways) for year in prepared.years)
    return HeatWork(loss, seasons, typical_year(prepared, ledger, loss, seasons, ways), prepared.notices)


def energy_response(prepared: Prepared, ledger: Ledger, *, ways: Ways = NO_WAYS) -> EnergyCurve | None:
    """Need and avoided heat of the typical year for thousands of draws at once.

    Parameters
    ----------
    prepared, ledger, ways : as for `reckon`.

    Returns
    -------
    EnergyCurve or None : None where there is no typical year.
    """
    return heat_work(prepared, ledger, ways=ways).typical.curve


def house_figures(ledger: Ledger) -> HouseFigures:
    """Heat-loss coefficient of the house as it stands, its parts, and that of the bare house.

    Parameters
    ----------
    ledger : house, builds, site.

    Returns
    -------
    HouseFigures
    """
    house, site = ledger.house, ledger.site
    loss = envelope(house, ledger.builds, elevation_m=site.elevation_m)
    return HouseFigures(
        conduction_w_per_k=float(loss.night.conduction_w_per_k),
        air_leakage_w_per_k=float(loss.night.air_leakage_w_per_k),
        edge_w_per_k=float(loss.night.edge_w_per_k),
        heat_loss_w_per_k=float(loss.night.total_w_per_k),
        bare_heat_loss_w_per_k=float(loss.bare_night.total_w_per_k),
        air_density_kg_per_m3=air_density_kg_per_m3(site.elevation_m),
        floor_area_m2=house.floor_area_m2.likely,
        volume_m3=house.volume_m3.likely,
        cover_area_m2=sum(s.area_m2.likely for s in house.surfaces),
    )


def _same_layout(prepared: Prepared, ledger: Ledger) -> None:
    same = (
        prepared.site == ledger.site
        and prepared.hold.season == ledger.hold.season
        and prepared.hold.count is ledger.hold.count
        and prepared.crop.window == ledger.crop.window
    )
    if not same:
        raise ValueError("the record was laid out for another site, season, counting rule or crop window")
