"""Results to rows (label, value, unit, basis, source), the one place where figures get their words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from ledger.appraisal import Appraisal
from ledger.views.figures import NOT_KNOWN, Measure, Style

HEADLINES: Mapping[str, str] = MappingProxyType(
    {
        "capital.net": "Own money in it for the heat (net capital)",
        "typical_year.avoided_kwh": "Heat not bought in a typical year (avoided)",
        "worth.simple_payback_years": "Years until it is paid back (simple payback)",
        "worth.npv": "Gain over all years, in today's money (NPV)",
    }
)
"""The four figures that everything leads to, in the words that screen, workbook and report share."""


@dataclass(frozen=True, slots=True)
class Row:
    """One figure: its result key, its words, its value in SI, where it comes from. `low` to `high`: its range."""

    key: str
    label: str
    value: float | str | None
    measure: Measure
    basis: str = ""
    source: str = ""
    low: float | None = None
    high: float | None = None
    span: bool = False
    if_none: str = NOT_KNOWN


@dataclass(frozen=True, slots=True)
class Block:
    """The rows that answer one question of the person."""

    question: str
    rows: tuple[Row, ...] = field(default=())


def style_of(appraisal: Appraisal) -> Style:
    """How this ledger's figures are shown."""
    terms = appraisal.source.terms
    return Style(appraisal.source.show, terms.currency, terms.coin_digits)


def is_placeholder(appraisal: Appraisal) -> bool:
    """Whether the saving rests on an assumed lift over outdoors, so that only spans may be shown."""
    return bool(appraisal.seasons) and appraisal.seasons[-1].heat.bare.used == "lift"


def blocks(appraisal: Appraisal) -> tuple[Block, ...]:
    """Every single figure of the answer, by the person's questions. Seasons, years and plans are tables (tables.py)."""
    return (
        Block("What did it cost?", _cost(appraisal)),
        Block("What did it save?", _saving(appraisal)),
        Block("When is it back?", _back(appraisal)),
        Block("What if I am wrong?", _doubt(appraisal)),
        Block("What does warmth for plants cost?", _warmth(appraisal)),
        Block("What is the house?", _house(appraisal)),
        Block("How much was logged?", _cover(appraisal)),
    )


def headline_rows(appraisal: Appraisal) -> tuple[Row, ...]:
    """The four headline figures, in their order."""
    by_key = {row.key: row for block in blocks(appraisal) for row in block.rows}
    return tuple(by_key[key] for key in HEADLINES)


def _cost(a: Appraisal) -> tuple[Row, ...]:
    c = a.capital
    papers = f"{len(c.items)} item{'s' if len(c.items) != 1 else ''} of the ledger"
    return (
        Row("capital.gross", "Spent in all, planned items too", float(c.gross), Measure.COIN, "items", papers),
        Row(
            "capital.share_for_heat", _share_words(a), c.share_for_heat, Measure.COIN,
            "items", "each amount times its share, own work priced",
        ),
        Row("capital.grants", "less grants, as far as they count", -c.grants, Measure.COIN, "grants", "money.grant"),
        Row("capital.net", HEADLINES["capital.net"], c.net, Measure.COIN, "items", "share for heat less grants"),
        Row("capital.own_hours", "Own work in it", c.own_hours, Measure.HOURS, "items", "hours of the items"),
    )  # fmt: skip


def _share_words(a: Appraisal) -> str:
    priced = a.source.labour_rate_per_h is not None and a.capital.own_hours > 0
    return "There only for the heat, own work priced" if priced else "of this, there only for the heat"


def _saving(a: Appraisal) -> tuple[Row, ...]:
    h, m = a.typical_heat, a.typical_money
    against = a.worth.against
    basis = "" if h is None else h.basis
    band = (None, None) if h is None else (h.avoided_range_kwh.p10, h.avoided_range_kwh.p90)
    running = None if m is None or m.running_cost is None else -m.running_cost
    return (
        Row(
            "typical_year.need_kwh", "Heat needed to hold it without the build", None if h is None else h.need_kwh,
            Measure.HEAT, basis, "hours below the hold temperature, in the bare house",
        ),
        Row(
            "typical_year.avoided_kwh", HEADLINES["typical_year.avoided_kwh"], None if h is None else h.avoided_kwh,
            Measure.HEAT, basis, bare_words(a), low=band[0], high=band[1], span=is_placeholder(a),
        ),
        Row(
            "typical_year.to_buy_kwh", "Heat still to be bought", None if h is None else h.to_buy_kwh, Measure.HEAT,
            basis, "need less avoided",
        ),
        Row(
            "typical_year.avoided_cost", f"That heat, bought from: {against}", None if m is None else m.avoided_cost,
            Measure.MONEY, basis, "at base-date prices, with its labour",
        ),
        Row(
            "typical_year.running_cost", "less running the build", running, Measure.MONEY,
            "season book", "energy lines, by month",
        ),
        Row(
            "typical_year.upkeep_cost", "less its upkeep", None if m is None else -m.upkeep_cost, Measure.MONEY,
            "season book", "upkeep expected, or noted in three seasons",
        ),
        Row(
            "typical_year.net_saving", "Left over each year (net saving)", None if m is None else m.net_saving,
            Measure.MONEY, basis, "avoided cost less running and upkeep",
        ),
    )  # fmt: skip


def _back(a: Appraisal) -> tuple[Row, ...]:
    w, r, terms = a.worth, a.worth_range, a.source.terms
    only_span = is_placeholder(a)
    rate = f"{'real' if terms.rates_are_real else 'nominal'} {terms.discount_rate.likely * 100:g} %"
    term = f"{terms.study_years} years, {rate}"
    saving = None if a.typical_money is None else a.typical_money.net_saving
    no_payback = "never" if saving is not None and saving <= 0 else NOT_KNOWN
    never = f"not in {terms.study_years} years"
    return (
        Row(
            "worth.simple_payback_years", HEADLINES["worth.simple_payback_years"], w.simple_payback_years,
            Measure.YEARS, "base-date prices", "net capital over the first year's net saving",
            low=r.simple_payback_years.p10, high=r.simple_payback_years.p90, span=only_span, if_none=no_payback,
        ),
        Row(
            "worth.npv", HEADLINES["worth.npv"], w.npv, Measure.MONEY, term, "ASTM E1074; NIST Handbook 135",
            low=r.npv.p10, high=r.npv.p90, span=only_span,
        ),
        Row(
            "worth.npv_without_residual", "the same, with nothing left at the end", w.npv_without_residual,
            Measure.MONEY, term, "buried work cannot be sold",
        ),
        Row(
            "worth.simple_payback_gross_years", "Years to pay back before grants", w.simple_payback_gross_years,
            Measure.YEARS, "base-date prices", "share for heat over the same saving", if_none=no_payback,
        ),
        Row(
            "worth.simple_payback_cash_years", "Years to pay back, own work not counted", w.simple_payback_cash_years,
            Measure.YEARS, "base-date prices", "cash only, on both sides",
        ),
        Row(
            "worth.payback_with_growth_years", "Years to pay back as prices rise", w.payback_with_growth_years,
            Measure.YEARS, "growth of the ledger", "last crossing of the running sum", if_none=never,
        ),
        Row(
            "worth.discounted_payback_years", "Years to pay back with interest (discounted payback)",
            w.discounted_payback_years, Measure.YEARS, term, "last crossing, discounted", if_none=never,
        ),
        Row(
            "worth.irr", "Interest that it earns (IRR)", w.irr, Measure.RATE, term, "the only rate at which NPV is 0",
            if_none="no single rate",
        ),
        Row("worth.mirr", "the same, gains put by at the rate (MIRR)", w.mirr, Measure.RATE, term, "modified IRR"),
        Row(
            "worth.savings_to_investment_ratio", "Savings for each unit put in (SIR)", w.savings_to_investment_ratio,
            Measure.RATIO, term, "ASTM E964; 10 CFR 436.21",
        ),
        Row(
            "worth.adjusted_irr", "Interest by that ratio (AIRR)", w.adjusted_irr, Measure.RATE, term,
            "ASTM E1057; 10 CFR 436.22",
        ),
        Row(
            "worth.build_life_cycle_cost", "The build over all years (life-cycle cost)", w.build_life_cycle_cost,
            Measure.MONEY, term, "ASTM E917; NIST Handbook 135",
        ),
        Row(
            "worth.build_annual_cost", "the same as a level yearly cost", w.build_annual_cost, Measure.MONEY,
            "base-date money", "annuity at the real rate",
        ),
        Row(
            "worth.heat_cost_per_kwh", "Heat from the build costs", w.heat_cost_per_kwh, Measure.PRICE_PER_KWH,
            "base-date money", "level yearly cost over avoided heat",
        ),
        Row(
            "worth.avoided_price_per_kwh", f"Heat from {w.against} costs", w.avoided_price_per_kwh,
            Measure.PRICE_PER_KWH, "base-date money", "its level price by the same annuity",
        ),
    )  # fmt: skip


def _doubt(a: Appraisal) -> tuple[Row, ...]:
    r = a.worth_range
    how = f"{r.draws:,} draws, seed {r.seed}" if r.draws else "ends of the span"
    ends = (
        ("low end", "likely", "high end") if is_placeholder(a) else ("one in ten below", "middle", "one in ten above")
    )
    parts = (("npv", "Gain (NPV)", r.npv, Measure.MONEY), ("simple_payback_years", "Years to pay back",
             r.simple_payback_years, Measure.YEARS))  # fmt: skip
    rows = [
        Row(f"worth.range.{key}.{name}", f"{label}: {end}", getattr(values, name), measure, "range", how)
        for key, label, values, measure in parts
        for name, end in zip(("p10", "p50", "p90"), ends, strict=True)
    ]
    chance = Row(
        "worth.range.chance_npv_positive", "Chance that it gains at all", r.chance_npv_positive, Measure.CHANCE,
        "range", how,
    )  # fmt: skip
    return (*rows, chance)


def _warmth(a: Appraisal) -> tuple[Row, ...]:
    h, w, method = a.typical_heat, a.worth, f"method: {a.source.crop.method.value}"
    pairs = (
        ("indoor", "indoors", None if h is None else h.gdd_indoor_k_d, w.cost_per_gdd_indoor),
        (
            "over_outdoors", "above outdoors (glass and build)",
            None if h is None else h.gdd_over_outdoors_k_d, w.cost_per_gdd_over_outdoors,
        ),
        ("by_build", "by the build alone", None if h is None else h.gdd_by_build_k_d, w.cost_per_gdd_by_build),
    )  # fmt: skip
    rows: list[Row] = []
    for key, where, days, cost in pairs:
        label = f"Growing degree-days {where}"
        rows.append(Row(f"typical_year.gdd_{key}_k_d", label, days, Measure.DEGREE_DAYS, method, "typical year"))
        label = f"Cost of a degree-day {where}"
        source = "yearly cost over degree-days"
        rows.append(Row(f"worth.cost_per_gdd_{key}", label, cost, Measure.COST_PER_DEGREE_DAY, method, source))
    return tuple(rows)


def _house(a: Appraisal) -> tuple[Row, ...]:
    h = a.house
    parts = "measures of the ledger"
    standard = "ISO 13789"
    return (
        Row("house.floor_area_m2", "Floor", h.floor_area_m2, Measure.AREA, parts),
        Row("house.cover_area_m2", "Cover and walls", h.cover_area_m2, Measure.AREA, parts),
        Row("house.volume_m3", "Air in it", h.volume_m3, Measure.VOLUME, parts),
        Row("house.air_density_kg_per_m3", "Weight of that air", h.air_density_kg_per_m3, Measure.DENSITY, "elevation",
            "ISO 2533"),
        Row("house.conduction_w_per_k", "Heat loss through the cover", h.conduction_w_per_k, Measure.HEAT_LOSS, parts,
            standard),
        Row("house.air_leakage_w_per_k", "Heat loss by leaks", h.air_leakage_w_per_k, Measure.HEAT_LOSS, parts,
            standard),
        Row("house.edge_w_per_k", "Heat loss along the footing", h.edge_w_per_k, Measure.HEAT_LOSS, parts, standard),
        Row("house.heat_loss_w_per_k", "Heat loss in all (H)", h.heat_loss_w_per_k, Measure.HEAT_LOSS, parts, standard),
        Row("house.bare_heat_loss_w_per_k", "the same without the build", h.bare_heat_loss_w_per_k, Measure.HEAT_LOSS,
            parts, standard),
    )  # fmt: skip


def _cover(a: Appraisal) -> tuple[Row, ...]:
    log = a.log
    if log is None:
        return ()
    return (
        Row("log.first", "First reading", log.first, Measure.WORDS, "log"),
        Row("log.last", "Last reading", log.last, Measure.WORDS, "log"),
        Row("log.hours_span", "Hours from first to last", log.hours_span, Measure.HOURS, "log"),
        Row("log.hours_valid", "Hours read well, indoors and outdoors", log.hours_valid, Measure.HOURS, "log"),
        Row("log.coverage", "Share read well", log.coverage, Measure.SHARE, "log"),
    )


def bare_words(a: Appraisal) -> str:
    """How the house without the build was reckoned, in words."""
    if a.typical_heat is not None and a.typical_heat.basis == "expected":
        return "the share that the ledger expects"
    used = a.seasons[-1].heat.bare.used if a.seasons else ""
    return {
        "twin": "bare house measured in a like house",
        "fan-off": "bare house from nights with the fan off",
        "model": "bare house by the fitted house model",
        "lift": "bare house by an assumed lift over outdoors",
    }.get(used, "")


def break_even_rows(a: Appraisal) -> tuple[tuple[Row, Row], ...]:
    """For each break-even its value today and the value at which the build just pays, everything else as it is."""
    pairs = []
    for one in a.break_evens:
        measure = _BREAK_EVEN_MEASURES.get(one.unit, Measure.PRICE)
        words = one.what if not one.unit.startswith("per ") else f"{one.what}, {one.unit}"
        none = one.text or "no such value"
        now = Row(f"{one.path}", words, one.today, measure, "likely value", "the ledger")
        then = Row(f"{one.path}", words, one.at, measure, "NPV 0", "all else at its likely value", if_none=none)
        pairs.append((now, then))
    return tuple(pairs)


_BREAK_EVEN_MEASURES = {
    "": Measure.MONEY,
    "a year": Measure.RATE,
    "kWh": Measure.HEAT,
    "years": Measure.YEARS,
}
