"""The worth and the heat not bought, and nothing besides: what changes of the ledger are followed by."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.heat.bare import Ways
from ledger.heat.fan_off import fan_off_answer
from ledger.heat.housemodel.answer import fit_house
from ledger.heat.other_ways import other_ways
from ledger.heat.prepared import Prepared
from ledger.heat.reckoning import heat_work, prepare
from ledger.model.changes import Headline
from ledger.model.ledger import Ledger
from ledger.money.figures import DegreeDays, worth
from ledger.money.project import project_from, whole_house_project
from ledger.money.running import fan_energy_kwh, typical_running, typical_upkeep
from ledger.money.year import year_money
from ledger.series.record import HourlyRecord


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """What a change of money alone leaves: the record by season, the ways to the bare house, the fan's energy."""

    prepared: Prepared
    ways: Ways
    fan_kwh: float | None


def laid_out(ledger: Ledger, record: HourlyRecord | None, climate_record: HourlyRecord | None) -> Laid:
    """Everything slow: the record by season, the nights with the fan off, the fitted house."""
    prepared = prepare(record, ledger, climate_record=climate_record)
    model = None if record is None else fit_house(record, prepared, ledger)
    ways = other_ways(fan_off_answer(prepared, ledger), model)
    return Laid(prepared, ways, None if record is None else fan_energy_kwh(record, ledger.hold.season))


def headline(ledger: Ledger, laid: Laid) -> Headline:
    """The net present value and the heat not bought in a typical year, as the whole answer has them.

    Parameters
    ----------
    ledger : as read.
    laid : for this ledger, or for one that differs in money only.

    Returns
    -------
    Headline : npv [currency], avoided_kwh [kWh]; None where they cannot be reckoned.
    """
    heat = heat_work(laid.prepared, ledger, ways=laid.ways).typical.heat
    running, _ = typical_running(ledger, ledger.builds, fan_kwh=laid.fan_kwh)
    upkeep = typical_upkeep(ledger, ledger.builds)
    source = next(s for s in ledger.sources if s.name == ledger.terms.against)
    year, _ = year_money(ledger, heat, source, running=running, upkeep=upkeep)
    figures = worth(
        project_from(ledger, year), against=ledger.terms.against, others={},
        whole_house=whole_house_project(ledger, year), degree_days=DegreeDays(),
    ).figures  # fmt: skip
    return Headline(figures.npv, None if heat is None else heat.avoided_kwh)
