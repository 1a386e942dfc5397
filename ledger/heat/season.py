"""One season's heat by every way of reckoning the bare house."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ledger.heat.backup import Backup
from ledger.heat.bare import (
    BareTemperature,
    ModelSeason,
    Ways,
    bare_by_lift_c,
    bare_by_twin_c,
    lift_k,
    on_grid,
    sorted_band,
)
from ledger.heat.draws import drawn, from_band
from ledger.heat.envelope import Doubt, Envelope, doubts, envelope
from ledger.heat.heat_curve import heat_curve
from ledger.heat.prepared import Integers, YearHours
from ledger.heat.results import Band, BareAnswer
from ledger.heat.rungs import Coefficients, CountedAir, Floats, HourlyHeat, credited_kwh, hourly_heat
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger
from ledger.model.values import Basis, Spread
from ledger.sources import NIGHTS_FOR_A_HEATER, THERMOMETER_ACCURACY

INDOOR = "log.indoor.accuracy"
BARE = "house.bare_temperature"
BACKUP = "backup.efficiency"
NIGHTS = "hold.nights_for_a_heater"
NIGHTS_FACTOR = Spread(
    likely=NIGHTS_FOR_A_HEATER.likely,
    low=NIGHTS_FOR_A_HEATER.low,
    high=NIGHTS_FOR_A_HEATER.high,
    basis=Basis.ASSUMED,
)
"""A heater also runs on sunless days; a store gives a cold room more than a held one. [-]"""


@dataclass(frozen=True, slots=True, eq=False)
class Reckoned:
    """One way's answer for a season, with the hours that it rests on.

    Attributes
    ----------
    way : how the bare house was reckoned.
    rows : counted valid hours whose bare temperature is known, as rows of the season's grid.
    air, h : those hours and their heat-loss coefficients.
    bare_c : the bare house's temperature on the whole grid, NaN where unknown. [°C]
    heat : hour by hour.
    ends : for the lift, the hourly heat at its low and its high end, else empty.
    answer : need, avoided, range. [kWh]
    """

    way: BareWay
    rows: Integers
    air: CountedAir
    h: Coefficients
    bare_c: Floats
    heat: HourlyHeat
    ends: tuple[HourlyHeat, ...]
    answer: BareAnswer


def coefficients(year: YearHours, rows: Integers, house_loss: Envelope) -> Coefficients:
    """Heat-loss coefficient of each row: a night screen is closed in the dark.

    Parameters
    ----------
    year : the season's hours.
    rows : rows of its grid.
    house_loss : coefficients by night and by day. [W/K]

    Returns
    -------
    Coefficients
    """
    night = year.dark[rows]
    return Coefficients(
        stands_w_per_k=np.where(night, house_loss.night.total_w_per_k, house_loss.day.total_w_per_k),
        bare_w_per_k=np.where(night, house_loss.bare_night.total_w_per_k, house_loss.bare_day.total_w_per_k),
    )


def counted_air(year: YearHours, rows: Integers, ledger: Ledger) -> CountedAir:
    """The rows' air, with the sun's gain by day.

    Parameters
    ----------
    year : the season's hours.
    rows : rows of its grid.
    ledger : floor area and the share of the sun that heats the house.

    Returns
    -------
    CountedAir
    """
    day = ~year.dark[rows]
    gain_m2 = ledger.house.sun_gain.likely * ledger.house.floor_area_m2.likely
    return CountedAir(
        outdoor_c=year.outdoor_c[rows],
        indoor_c=year.indoor_c[rows],
        day=day,
        sun_gain_w=np.where(day, gain_m2 * np.maximum(0.0, year.channels["sun"][rows]), 0.0),
        step_h=year.step_h,
    )


def every_temperature_way(
    year: YearHours, ledger: Ledger, house_loss: Envelope, *, backup: Backup, ways: Ways
) -> dict[BareWay, Reckoned]:
    """Reckon a season by each way that gives the bare house's temperature: twin, fan-off, lift.

    Parameters
    ----------
    year : the season's hours.
    ledger : house, hold, logs.
    house_loss : coefficients at likely values. [W/K]
    backup : bought heat delivered in the season.
    ways : what other rooms answer.

    Returns
    -------
    dict of way to Reckoned : the lift always, the others where the data allow.
    """
    found = {BareWay.LIFT: _by_lift(year, ledger, house_loss, backup)}
    twin = bare_by_twin_c(year)
    if twin is not None:
        accuracy = thermometer_shift_k(ledger, "unheated")
        found[BareWay.TWIN] = _by_temperature(
            BareWay.TWIN, year, ledger, house_loss, backup, (twin, Doubt(BARE, accuracy))
        )
    off = ways.fan_off.get(year.span.name)
    if off is not None:
        found[BareWay.FAN_OFF] = _by_temperature(
            BareWay.FAN_OFF, year, ledger, house_loss, backup, (on_grid(off.bare_c, year), _shift_doubt(off))
        )
    return found


def by_model(year: YearHours, ledger: Ledger, house_loss: Envelope, model: ModelSeason) -> Reckoned:
    """The hours of a season beside the model's answer: the rungs with the bare house's free run.

    The model's own answer stands: `added` by its free run and its avoided heat are two things and not ordered.

    Parameters
    ----------
    year : the season's hours.
    ledger : house and hold.
    house_loss : coefficients at likely values. [W/K]
    model : the model's runs over the season.

    Returns
    -------
    Reckoned
    """
    bare_c = on_grid(model.bare_free_c, year)
    rows, air, h, heat = _hourly(year, ledger, house_loss, bare_c)
    return Reckoned(BareWay.MODEL, rows, air, h, bare_c, heat, (), model.valid)


def _shift_doubt(off: BareTemperature) -> Doubt:
    return Doubt(BARE, from_band(0.0, p10=off.low_k, p90=off.high_k))


def _hourly(
    year: YearHours, ledger: Ledger, house_loss: Envelope, bare_c: Floats
) -> tuple[Integers, CountedAir, Coefficients, HourlyHeat]:
    rows = np.flatnonzero(year.counted_valid & np.isfinite(bare_c))
    air, h = counted_air(year, rows, ledger), coefficients(year, rows, house_loss)
    return rows, air, h, hourly_heat(air, hold_c=ledger.hold.temperature_c, bare_c=bare_c[rows], h=h)


def credited_of(heat: HourlyHeat, backup: Backup) -> float:
    """Avoided heat of a season's hours [kWh]."""
    return credited_kwh(
        added_kwh=float(np.sum(heat.added_kwh)),
        backup_delivered_kwh=backup.delivered_kwh,
        need_kwh=float(np.sum(heat.need_kwh)),
    )


def _by_lift(year: YearHours, ledger: Ledger, house_loss: Envelope, backup: Backup) -> Reckoned:
    lift = lift_k(ledger.house, house_loss)
    bare_c = bare_by_lift_c(year, lift.likely)
    rows, air, h, heat = _hourly(year, ledger, house_loss, bare_c)
    ends = tuple(
        hourly_heat(air, hold_c=ledger.hold.temperature_c, bare_c=air.outdoor_c + end, h=h)
        for end in (lift.low, lift.high)
    )
    band = sorted_band(credited_of(ends[0], backup), credited_of(ends[1], backup))
    answer = BareAnswer(float(np.sum(heat.need_kwh)), credited_of(heat, backup), band.p10, band.p90)
    return Reckoned(BareWay.LIFT, rows, air, h, bare_c, heat, ends, answer)


def _by_temperature(
    way: BareWay,
    year: YearHours,
    ledger: Ledger,
    house_loss: Envelope,
    backup: Backup,
    bare: tuple[Floats, Doubt],
) -> Reckoned:
    bare_c, doubt = bare
    rows, air, h, heat = _hourly(year, ledger, house_loss, bare_c)
    band = _band(ledger, (air, h, bare_c[rows]), house_loss, backup, doubt)
    answer = BareAnswer(float(np.sum(heat.need_kwh)), credited_of(heat, backup), band.p10, band.p90)
    return Reckoned(way, rows, air, h, bare_c, heat, (), answer)


def _band(
    ledger: Ledger,
    hours: tuple[CountedAir, Coefficients, Floats],
    house_loss: Envelope,
    backup: Backup,
    doubt: Doubt,
) -> Band:
    """Tenth and ninetieth percentile of avoided heat.

    Drawn are H, both thermometers (or the doubt of the way itself), the backup's efficiency, and how far heat added in
    dark hours stands for the energy of a heater.
    """
    air, h, bare_c = hours
    efficiency = Doubt(BACKUP, Spread(1.0, backup.low_factor, backup.high_factor))
    indoor = Doubt(INDOOR, thermometer_shift_k(ledger, "indoor"))
    nights = Doubt(NIGHTS, NIGHTS_FACTOR)
    draws = drawn((*doubts(ledger.house, ledger.builds), indoor, doubt, efficiency, nights))
    drawn_loss = envelope(ledger.house, ledger.builds, elevation_m=ledger.site.elevation_m, draws=draws)
    weights, hold_c = np.ones(len(bare_c)), ledger.hold.temperature_c
    bare_night, night = float(house_loss.bare_night.total_w_per_k), float(house_loss.night.total_w_per_k)
    need = heat_curve(
        air, temp_c=bare_c, hold_c=hold_c, h_w_per_k=h.bare_w_per_k, weights=weights, night_h_w_per_k=bare_night
    ).kwh(drawn_loss.bare_night.total_w_per_k, draws[BARE])
    short = heat_curve(
        air, temp_c=air.indoor_c, hold_c=hold_c, h_w_per_k=h.stands_w_per_k, weights=weights, night_h_w_per_k=night
    ).kwh(drawn_loss.night.total_w_per_k, draws[INDOOR])
    avoided = np.minimum(need, (need - short) * draws[NIGHTS] - backup.delivered_kwh * draws[BACKUP])
    low, high = np.quantile(avoided, [0.1, 0.9])
    return Band(float(low), float(high))


def thermometer_shift_k(ledger: Ledger, channel: str) -> Spread:
    """By how much a thermometer may read high or low all season long, likely by nothing.

    Its accuracy is what one thermometer in ten exceeds on either side, not a limit: makers quote it as typical, and a
    season's range has to hold a bias as large as that.

    Parameters
    ----------
    ledger : logs with their channels.
    channel : its name.

    Returns
    -------
    Spread : [K]
    """
    accuracy_k = sensor_accuracy_k(ledger, channel)
    return from_band(0.0, p10=-accuracy_k, p90=accuracy_k)


def sensor_accuracy_k(ledger: Ledger, channel: str) -> float:
    """A thermometer's accuracy as noted, the worst where several logs hold the channel; 0.5 K where none says.

    Parameters
    ----------
    ledger : logs with their channels.
    channel : its name.

    Returns
    -------
    float : what one in ten exceeds on either side. [K]

    Source
    ------
    0.5 K: common practice, no source.
    """
    noted = [c.accuracy_k for log in ledger.logs for c in log.channels if c.channel == channel and c.accuracy_k]
    return max(noted, default=THERMOMETER_ACCURACY.likely)
