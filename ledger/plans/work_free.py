"""Every plan once more with nobody's time counted: labour at the stated rate stands beside labour at zero."""

from __future__ import annotations

from dataclasses import replace

from ledger.model.ledger import Ledger
from ledger.plans.compare import compare
from ledger.plans.results import Comparison
from ledger.plans.ties import Judged, without_nights


def compare_both(ledger: Ledger, judged: Judged) -> Comparison:
    """Draw up every plan as `compare` does, at the stated rate, with its cost at none beside it.

    Parameters
    ----------
    ledger, judged : as for `compare`.

    Returns
    -------
    Comparison
    """
    stated = compare(
        ledger,
        judged.heat,
        fan_kwh=judged.fan_kwh,
        coldest_logged_c=judged.coldest_logged_c,
        shares=judged.shares,
    )
    return with_work_free(stated, ledger, judged)


def with_work_free(compared: Comparison, ledger: Ledger, judged: Judged) -> Comparison:
    """Set each plan's first-year and life-cycle cost beside what they are when an hour of own work costs nothing.

    Own work is left out everywhere: in fuel, running and upkeep of the builds, and in what was built by hand. Ranks
    stay those at the stated rate.

    Parameters
    ----------
    compared : plans at the stated rate.
    ledger, judged : what they were judged on.

    Returns
    -------
    Comparison
    """
    free = compare(
        replace(ledger, labour_rate_per_h=None),
        without_nights(judged.heat),
        fan_kwh=judged.fan_kwh,
        coldest_logged_c=judged.coldest_logged_c,
        shares=judged.shares,
    ).plans
    plans = tuple(
        replace(
            plan,
            first_year_cost_without_work=other.first_year_cost,
            life_cycle_cost_without_work=other.life_cycle_cost,
        )
        for plan, other in zip(compared.plans, free, strict=True)
    )
    return replace(compared, plans=plans)
