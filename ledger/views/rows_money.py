"""Rows about money: what it cost, what it saved, when it is back, how sure that is, where it just pays."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.views.figures import NOT_KNOWN, Measure
from ledger.views.row import HEADLINES, Row, bare_words, is_placeholder


def cost_rows(a: Appraisal) -> tuple[Row, ...]:
    """What was put in, and which part of it is there only for the heat."""
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


def saving_rows(a: Appraisal) -> tuple[Row, ...]:
    """Need, avoided heat and first-year money of the typical year."""
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


def back_rows(a: Appraisal) -> tuple[Row, ...]:
    """Payback, NPV and what else the worth is measured by."""
    w, r, terms = a.worth, a.worth_range, a.source.terms
    only_span = is_placeholder(a)
    rate = f"{'real' if terms.rates_are_real else 'nominal'} {terms.discount_rate.likely * 100:g} %"
    term = f"{terms.study_years} years, {rate}"
    saving = None if a.typical_money is None else a.typical_money.net_saving
    no_payback = "never" if saving is not None and saving <= 0 else NOT_KNOWN
    never = NOT_KNOWN if w.npv is None else f"not in {terms.study_years} years"
    rates = (None, None) if r.irr.p10 is None or r.irr.p90 is None else (r.irr.p10, r.irr.p90)
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
            low=rates[0], high=rates[1], span=only_span, if_none=NOT_KNOWN if w.npv is None else "no single rate",
        ),
        *_measures_of_worth(a, term),
    )  # fmt: skip


def _measures_of_worth(a: Appraisal, term: str) -> tuple[Row, ...]:
    w = a.worth
    return (
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


def doubt_rows(a: Appraisal) -> tuple[Row, ...]:
    """NPV, payback and internal rate over the draws, or the ends of the span."""
    r = a.worth_range
    how = f"{r.draws:,} draws, seed {r.seed}" if r.draws else "ends of the span"
    ends = (
        ("low end", "likely", "high end") if is_placeholder(a) else ("one in ten below", "middle", "one in ten above")
    )
    parts = (
        ("npv", "Gain (NPV)", r.npv, Measure.MONEY),
        ("simple_payback_years", "Years to pay back", r.simple_payback_years, Measure.YEARS),
        ("irr", "Interest that it earns (IRR)", r.irr, Measure.RATE),
    )
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
