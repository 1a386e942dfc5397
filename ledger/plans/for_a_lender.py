"""What a lender asks beside the headline: how the payments are carried in another winter, the worth at other rates."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ledger.heat.results import TypicalHeat
from ledger.model.ledger import Ledger
from ledger.money.loans import loans
from ledger.money.project import Project, project_from
from ledger.money.running import typical_running, typical_upkeep
from ledger.money.worth import npv
from ledger.money.year import year_money
from ledger.plans.results import Stress


def cover_in_winter(
    ledger: Ledger, heat: TypicalHeat, winter: Stress, *, year: int, fan_kwh: float | None
) -> float | None:
    """How far the project's own cash of a year carries its payments, were the year's winter this one.

        cash (saving in that winter − running − upkeep − replacements of the year) ÷ payments due in the year

    Differs from the saving cover only in the winter: running and upkeep stay those of a typical year, the heat is
    bought at the mean efficiency of the need.

    Parameters
    ----------
    ledger : terms with their loans, the source that the saving is against.
    heat : the typical year; its hours give the efficiency.
    winter : need, avoided heat, heat to buy. [kWh]
    year : of the study.
    fan_kwh : energy of the fan channel in a typical year; None where there is none. [kWh]

    Returns
    -------
    float : times; None where the saving is unknown, no loan stands or no payment is due in the year.
    """
    sums = replace(heat, need_kwh=winter.need_kwh, avoided_kwh=winter.avoided_kwh, to_buy_kwh=winter.to_buy_kwh)
    carried = loans(ledger.terms, _project(ledger, sums, fan_kwh=fan_kwh))
    cover = carried[0].saving_cover if carried else ()
    return next((one.amount for one in cover if one.year == year), None)


def worth_at(
    ledger: Ledger, heat: TypicalHeat, rates: Sequence[float], *, fan_kwh: float | None
) -> tuple[tuple[float, float], ...]:
    """The net present value at other discount rates, all else as it is.

    Parameters
    ----------
    ledger, heat : as the headline's.
    rates : each as it is meant, nominal or real as the ledger's are. [1/a]
    fan_kwh : as above. [kWh]

    Returns
    -------
    tuple of pairs : rate [1/a] and worth [currency].
    """
    project = _project(ledger, heat, fan_kwh=fan_kwh)
    return tuple((rate, float(npv(replace(project, discount_rate=rate)))) for rate in rates)


def _project(ledger: Ledger, heat: TypicalHeat, *, fan_kwh: float | None) -> Project:
    running, _ = typical_running(ledger, ledger.builds, fan_kwh=fan_kwh)
    upkeep = typical_upkeep(ledger, ledger.builds)
    source = ledger.source(ledger.terms.against)
    return project_from(ledger, year_money(ledger, heat, source, running=running, upkeep=upkeep)[0])
