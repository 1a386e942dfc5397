"""What the money rooms answer. Field names are result keys of the JSON contract; costs negative in cash flows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class CapitalItem:
    """One receipt as it counts: `counted` = share · (amount + own work); `own_work` is the money of its own hours."""

    build: str
    date: str
    what: str
    amount: Decimal
    share: float
    counted: float
    year: int
    life_years: float
    residual: Decimal
    status: str
    basis: str
    paper: str
    why_share: str
    own_hours: float
    own_work: float = 0.0


@dataclass(frozen=True, slots=True)
class Capital:
    """What was put in. `net` = `share_for_heat` − `grants`; `own_work` is its part that was not paid in cash."""

    gross: Decimal
    share_for_heat: float
    grants: float
    net: float
    own_hours: float
    items: tuple[CapitalItem, ...]
    own_work: float = 0.0


@dataclass(frozen=True, slots=True)
class SeasonAccount:
    """A season's money as noted in the season book; heat priced at the tariff of the season's last day."""

    season: str
    running_cost: float | None
    upkeep_cost: float
    backup_cost: float
    house_cost: float
    labour_hours: float
    avoided_cost: float | None
    net_saving: float | None
    recovered_to_date: float | None
    still_to_recover: float | None


@dataclass(frozen=True, slots=True)
class TypicalMoney:
    """First-year money of the typical year at base-date prices. None: unknown."""

    running_cost: float | None
    upkeep_cost: float
    avoided_cost: float | None
    net_saving: float | None
    months_without_running_line: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Percentiles:
    """Of the draws; for the bare house by lift, p10 and p90 are the ends of the span and p50 the likely value."""

    p10: float | None
    p50: float | None
    p90: float | None


@dataclass(frozen=True, slots=True)
class WorthRange:
    """How sure the worth is."""

    npv: Percentiles
    simple_payback_years: Percentiles
    chance_npv_positive: float | None
    draws: int
    seed: int
    irr: Percentiles = Percentiles(None, None, None)


@dataclass(frozen=True, slots=True)
class Driver:
    """One input swung from its low to its high end with all others at their likely values.

    `variance_share`: its part of the variance of NPV when all inputs move together; None by the lift.
    """

    input: str
    npv_low: float
    npv_high: float
    variance_share: float | None = None


@dataclass(frozen=True, slots=True)
class WorthFigures:
    """The plain answer at likely values (no verdict, no range). None: cannot be computed, a notice says why."""

    against: str
    simple_payback_years: float | None
    simple_payback_gross_years: float | None
    simple_payback_cash_years: float | None
    payback_with_growth_years: float | None
    discounted_payback_years: float | None
    npv: float | None
    npv_without_residual: float | None
    npv_against: Mapping[str, float | None]
    irr: float | None
    mirr: float | None
    savings_to_investment_ratio: float | None
    adjusted_irr: float | None
    build_life_cycle_cost: float | None
    build_annual_cost: float | None
    heat_cost_per_kwh: float | None
    avoided_price_per_kwh: float | None
    cost_per_gdd_indoor: float | None
    cost_per_gdd_over_outdoors: float | None
    cost_per_gdd_by_build: float | None


@dataclass(frozen=True, slots=True)
class CashYear:
    """One year of the cash flow."""

    year: int
    capital: float
    saving: float
    running: float
    upkeep: float
    replacement: float
    residual: float
    net: float
    discounted: float
    cumulative: float
    cumulative_discounted: float


@dataclass(frozen=True, slots=True)
class LoanRow:
    """One payment."""

    number: int
    date: str
    payment: float
    interest: float
    principal: float
    balance: float


@dataclass(frozen=True, slots=True)
class YearAmount:
    """An amount of a year (None: not defined in that year)."""

    year: int
    amount: float | None


@dataclass(frozen=True, slots=True)
class LowestCover:
    """The year in which the saving covers the payments least."""

    year: int
    saving_cover: float


@dataclass(frozen=True, slots=True)
class LoanFigures:
    """One loan's schedule and how the project's own saving carries it."""

    name: str
    payment: float
    rows: tuple[LoanRow, ...]
    debt_service: tuple[YearAmount, ...]
    saving_cover: tuple[YearAmount, ...]
    lowest: LowestCover | None
    owner_cash: tuple[YearAmount, ...]


@dataclass(frozen=True, slots=True)
class BuildFigures:
    """One build's part."""

    name: str
    avoided_kwh: float | None
    net_capital: float
    simple_payback_years: float | None
    npv: float | None
