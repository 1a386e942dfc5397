"""A season followed: cost line by line, against the last one and the plan, and when it is paid at this pace."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from ledger.heat.results import SeasonHeat
from ledger.model.ledger import Ledger
from ledger.money.book_spans import AccountSpan, account_span, is_running
from ledger.money.project import labour_rate
from ledger.money.results import SeasonAccount, TypicalMoney
from ledger.money.season_account import money_of, part_inside

DAYS_A_YEAR = 365.25
LONGEST_YEARS = 200.0


@dataclass(frozen=True, slots=True)
class LineSum:
    """All lines of a season for the same thing: `cost` with own work [currency]; None: not noted."""

    target: str
    what: str
    lines: int
    cost: float
    energy_kwh: float | None
    quantity: float | None
    hours: float


@dataclass(frozen=True, slots=True)
class Difference:
    """A season less what it is held against. None: one of the two is not known."""

    avoided_kwh: float | None
    running_cost: float | None
    upkeep_cost: float | None
    net_saving: float | None


@dataclass(frozen=True, slots=True)
class Pace:
    """If every season brought the mean of those so far: money a season, years from the last account on, the day."""

    net_saving_a_season: float
    years_to_go: float | None
    paid_on: str | None


@dataclass(frozen=True, slots=True)
class SeasonTrack:
    """One season followed.

    `cost_per_kwh_avoided` = (running + upkeep) ÷ avoided heat; `cost_per_gdd_indoor` = (running + upkeep + backup +
    house) ÷ degree-days indoors, the whole house's cost to its whole warmth. None where not known or not above 0.
    `against_last` (None for the first season) and `against_plan` (the typical year): this season less the other.
    """

    season: str
    lines: tuple[LineSum, ...]
    cost_per_kwh_avoided: float | None
    cost_per_gdd_indoor: float | None
    against_last: Difference | None
    against_plan: Difference | None
    pace: Pace | None


def season_tracks(
    ledger: Ledger,
    heats: Sequence[SeasonHeat],
    accounts: Sequence[SeasonAccount],
    *,
    plan_kwh: float | None,
    plan: TypicalMoney | None,
) -> tuple[SeasonTrack, ...]:
    """Follow every season.

    A season is held against the last one as both were, in their own weather; against the plan, which is the typical
    year at base-date prices. Neither is corrected for the other's weather or hours missing.

    Parameters
    ----------
    ledger : season book, prices.
    heats, accounts : of the same seasons, in order of time.
    plan_kwh : avoided heat of the typical year [kWh]; None: none.
    plan : its money.

    Returns
    -------
    tuple of SeasonTrack
    """
    tracks = []
    for i, (heat, account) in enumerate(zip(heats, accounts, strict=True)):
        span = account_span(int(heat.season[:4]), ledger.hold.season, timezone=ledger.site.timezone)
        whole = _whole_cost(account)
        spent = None if account.running_cost is None else account.running_cost + account.upkeep_cost
        tracks.append(
            SeasonTrack(
                season=heat.season,
                lines=line_sums(ledger, span),
                cost_per_kwh_avoided=_per(spent, heat.avoided_kwh),
                cost_per_gdd_indoor=_per(whole, heat.gdd_indoor_k_d),
                against_last=None if i == 0 else _less_last(heat, account, heats[i - 1], accounts[i - 1]),
                against_plan=None if plan is None else _less_plan(heat, account, plan_kwh, plan),
                pace=pace(accounts[: i + 1], last_day=span.last),
            )
        )
    return tuple(tracks)


def line_sums(ledger: Ledger, span: AccountSpan) -> tuple[LineSum, ...]:
    """The lines of an account, like ones (same `for` and what) in one, in the order in which they first stand."""
    rate = float(labour_rate(ledger))
    sums: dict[tuple[str, str, bool], LineSum] = {}
    for line in ledger.running:
        part = part_inside(line, span)
        if part == 0.0:
            continue
        key = (line.target, " ".join(line.what.casefold().split()), is_running(line))
        old = sums.get(key) or LineSum(line.target, line.what, 0, 0.0, None, None, 0.0)
        sums[key] = LineSum(
            target=old.target,
            what=old.what,
            lines=old.lines + 1,
            cost=old.cost + part * (money_of(line, ledger) + line.hours * rate),
            energy_kwh=_plus(old.energy_kwh, line.energy_kwh, part),
            quantity=_plus(old.quantity, line.quantity, part),
            hours=old.hours + part * line.hours,
        )
    return tuple(sums.values())


def pace(accounts: Sequence[SeasonAccount], *, last_day: date) -> Pace | None:
    """When the rest is recovered if each season to come brings the mean of those so far.

        years = still to recover ÷ (Σ net saving ÷ seasons)

    Differs from the simple payback, which rests on the typical year and begins with the first season.

    Parameters
    ----------
    accounts : the seasons so far.
    last_day : of the last account; the years run from here.

    Returns
    -------
    Pace or None : None while a season's saving is unknown. `years_to_go` 0 when all is recovered, None when the mean
        is not above 0 or the day lies beyond 200 years.
    """
    savings = [one.net_saving for one in accounts if one.net_saving is not None]
    left = accounts[-1].still_to_recover
    if len(savings) < len(accounts) or left is None:
        return None
    mean = sum(savings) / len(savings)
    if left <= 0.0:
        return Pace(mean, 0.0, None)
    years = left / mean if mean > 0.0 else None
    if years is None or years > LONGEST_YEARS:
        return Pace(mean, years, None)
    return Pace(mean, years, (last_day + timedelta(days=round(years * DAYS_A_YEAR))).isoformat())


def _whole_cost(account: SeasonAccount) -> float | None:
    if account.running_cost is None:
        return None
    return account.running_cost + account.upkeep_cost + account.backup_cost + account.house_cost


def _per(cost: float | None, of: float | None) -> float | None:
    return None if cost is None or of is None or of <= 0.0 else cost / of


def _plus(so_far: float | None, more: float | None, part: float) -> float | None:
    return so_far if more is None else (so_far or 0.0) + part * more


def _less(one: float | None, other: float | None) -> float | None:
    return None if one is None or other is None else one - other


def _less_last(heat: SeasonHeat, account: SeasonAccount, heat0: SeasonHeat, account0: SeasonAccount) -> Difference:
    return Difference(
        avoided_kwh=heat.avoided_kwh - heat0.avoided_kwh,
        running_cost=_less(account.running_cost, account0.running_cost),
        upkeep_cost=account.upkeep_cost - account0.upkeep_cost,
        net_saving=_less(account.net_saving, account0.net_saving),
    )


def _less_plan(heat: SeasonHeat, account: SeasonAccount, plan_kwh: float | None, plan: TypicalMoney) -> Difference:
    return Difference(
        avoided_kwh=_less(heat.avoided_kwh, plan_kwh),
        running_cost=_less(account.running_cost, plan.running_cost),
        upkeep_cost=account.upkeep_cost - plan.upkeep_cost,
        net_saving=_less(account.net_saving, plan.net_saving),
    )
