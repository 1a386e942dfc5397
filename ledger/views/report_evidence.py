"""Page 2 of the report: what page 1 rests on, so that it can be checked."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.money.results import CapitalItem
from ledger.views.answer import HEATER_CAUTION
from ledger.views.figures import Measure, show_figure, show_span
from ledger.views.phrases import row_shown
from ledger.views.plots_report import rung_bars
from ledger.views.plots_seasons import recovered_section
from ledger.views.report_assumed import assumed_section
from ledger.views.report_budget import budget_section
from ledger.views.report_next import next_section
from ledger.views.report_parts import Code, Facts, Grid, Page, Part, Prose, Section, half_of, name_of
from ledger.views.row import Row, bare_words, is_placeholder, style_of
from ledger.views.rows import blocks
from ledger.views.rows_money import break_even_rows
from ledger.views.rungs import BELOW_NOTHING, ON_A_LIFT, WHY_ONLY_THE_LAST
from ledger.views.text import sentence

MOST_ITEMS, MOST_SEASONS, MOST_LOGS, MOST_BREAK_EVENS = 8, 4, 3, 7
_LABEL_CELLS = 64

CAUTION = (
    f"{HEATER_CAUTION} Buried tubes: drainage, mould, radon. Batteries and fixed wiring: a licensed electrician. "
    "Money: an estimate for a decision, no financial or tax advice."
)

WHY_RATES_DIFFER = (
    "IRR takes every gain as earning that same rate again, MIRR and AIRR as earning the discount rate; SIR sets the "
    "savings against the money put in, replacements among it, and AIRR is SIR as a yearly rate."
)


def page_of_evidence(a: Appraisal) -> Page:
    """The whole of page 2."""
    sections = (
        _rungs(a), _capital(a), _worth(a), budget_section(a), _break_even(a), _winters(a), assumed_section(a),
        recovered_section(a), next_section(a), _origin(a),
    )  # fmt: skip
    found = tuple(one for one in sections if one is not None)
    return Page("The evidence", (), found, CAUTION, in_first_column=half_of(found))


def _rungs(a: Appraisal) -> Section:
    heading = "From warmth to money"
    drawn = rung_bars(a)
    if drawn is None:
        return Section(heading, (Prose("Nothing is logged, so the saving is only expected."),))
    heat = a.seasons[-1].heat
    parts: list[Part] = [drawn, Prose(WHY_ONLY_THE_LAST)]
    if heat.bare.used == "lift":
        parts.append(Prose(f"{ON_A_LIFT.split(':')[0].split(',')[0]}: it is a span, and no part of it is likelier."))
    elif heat.rungs.credited_kwh < 0:
        parts.append(Prose(BELOW_NOTHING))
    if heat.hours_below_hold:
        bought = show_figure(heat.backup_delivered_kwh, Measure.HEAT, style_of(a))
        parts.append(Prose(
            f"Below its hold temperature for {heat.hours_below_hold:,} hours: part of this is heat that nobody would "
            f"have bought; bought was {bought}."
        ))  # fmt: skip
    return Section(heading, tuple(parts))


def _capital(a: Appraisal) -> Section:
    style = style_of(a)
    items = sorted(a.capital.items, key=lambda item: -abs(item.counted))
    shown, rest = items[:MOST_ITEMS], items[MOST_ITEMS:]
    rows = [
        (
            name_of(item.what), show_figure(float(item.amount), Measure.COIN, style).text,
            show_figure(item.share, Measure.SHARE, style).text,
            show_figure(item.counted, Measure.COIN, style).text,
            name_of(_paper(item), most=32),
        )
        for item in shown
    ]  # fmt: skip
    if rest:
        amount, counted = float(sum(item.amount for item in rest)), sum(item.counted for item in rest)
        rows.append((
            f"{len(rest)} smaller items", show_figure(amount, Measure.COIN, style).text, "",
            show_figure(counted, Measure.COIN, style).text, "in the workbook",
        ))  # fmt: skip
    if a.capital.grants:
        rows.append(("less grants that count", "", "", show_figure(-a.capital.grants, Measure.COIN, style).text, ""))
    rows.append((
        "in all", show_figure(float(a.capital.gross), Measure.COIN, style).text, "",
        show_figure(a.capital.net, Measure.COIN, style).text, "",
    ))  # fmt: skip
    head = (f"What was paid for, {style.currency}", "amount", "% heat", "counts", "known by")
    table = Grid("Capital by item, with its share for the heat and its paper", head, tuple(rows))
    return Section("What was put in", (table, Prose("What counts is amount and priced own work times the share.")))


def _paper(item: CapitalItem) -> str:
    """By which paper an item is known; own work without a bill is known by its hours."""
    known = item.paper or item.basis
    if item.own_hours and not item.amount:
        known = item.paper or f"own work, {item.own_hours:,.0f} hours"
    return known if item.status in ("paid", known) else f"{item.status}, {known}"


def _worth(a: Appraisal) -> Section:
    terms = a.source.terms
    keys = ["npv", "npv_without_residual"]
    if not is_placeholder(a):
        keys += ["simple_payback_gross_years", "discounted_payback_years", "irr", "mirr", "savings_to_investment_ratio",
                 "adjusted_irr", "heat_cost_per_kwh", "avoided_price_per_kwh"]  # fmt: skip
    else:
        keys = keys[:1]
    by_key = _rows_by_key(a)
    facts = Facts("Measures of worth", tuple(_fact(by_key[f"worth.{key}"], a) for key in keys))
    kind = "real: inflation is left out" if terms.rates_are_real else "nominal: inflation is in it"
    rate = terms.discount_rate
    assumed = " (assumed by us)" if any(one.path == "money.discount_rate" for one in a.assumed) else ""
    basis = f"Over {terms.study_years} years at {rate.likely * 100:g} % a year, {kind}, {rate.basis.value}{assumed}"
    against = f"; against heat from {name_of(a.worth.against)}; before income tax."
    parts: list[Part] = [facts, Prose(basis + against)]
    if not is_placeholder(a):
        parts.append(Prose(WHY_RATES_DIFFER))
    return Section("What it is worth", tuple(parts))


def _rows_by_key(a: Appraisal) -> dict[str, Row]:
    return {row.key: row for block in blocks(a) for row in block.rows}


def _fact(row: Row, a: Appraisal) -> tuple[str, str]:
    return name_of(row.label, most=_LABEL_CELLS), str(row_shown(row, a))


def _break_even(a: Appraisal) -> Section | None:
    pairs = break_even_rows(a)[:MOST_BREAK_EVENS]
    if not pairs or is_placeholder(a):
        return None
    rows = tuple((name_of(now.label, most=48), str(row_shown(now, a)), str(row_shown(then, a))) for now, then in pairs)
    return Section("Where it would just pay", (Grid("Break-evens, each alone", ("each alone", "now", "at"), rows),))


def _winters(a: Appraisal) -> Section:
    style, heading = style_of(a), "Cold and mild winters"
    parts: list[Part] = []
    heat = a.typical_heat
    if heat is not None and heat.seasons_averaged > 1 and heat.highest_need_kwh is not None:
        span = show_span(heat.lowest_need_kwh, heat.highest_need_kwh, Measure.HEAT, style)
        parts.append(Prose(f"Over {heat.seasons_averaged} winters the heat needed without the build ran from {span}."))
    rows = []
    for one in a.seasons[-MOST_SEASONS:]:
        h = one.heat
        only_span = h.bare.used == "lift"
        avoided = (
            show_span(h.avoided_range_kwh.p10, h.avoided_range_kwh.p90, Measure.HEAT, style)
            if only_span
            else show_figure(h.avoided_kwh, Measure.HEAT, style)
        )
        need = "a span too" if only_span else show_figure(h.need_kwh, Measure.HEAT, style).text
        rows.append((
            name_of(h.season), need, avoided.text, show_figure(h.indoor_min_c, Measure.TEMPERATURE, style).text,
            f"{h.hours_below_hold:,}", show_figure(h.coverage, Measure.SHARE, style).text,
        ))  # fmt: skip
    if rows:
        degree = show_figure(0.0, Measure.TEMPERATURE, style).unit
        head = ("winter", "need kWh", "not bought", f"coldest {degree}", "h below hold", "% logged")
        parts.append(Grid("Winters logged", head, tuple(rows)))
    peak = max((plan.peak_need_kw for plan in a.plans if plan.peak_need_kw is not None and plan.builds), default=None)
    if peak is not None:
        parts.append(Prose(f"On the coldest night a heater must give {show_figure(peak, Measure.POWER, style)}, the "
                           "stores taken as empty."))  # fmt: skip
    if not rows and not parts:
        parts.append(Prose("Not known: nothing is logged."))
    return Section(heading, tuple(parts))


def _origin(a: Appraisal) -> Section:
    program, identity = a.program, a.identity
    rows = [(name_of(identity.file), identity.sha256)]
    rows += [(name_of(log.file), log.sha256) for log in identity.logs[:MOST_LOGS]]
    more = len(identity.logs) - MOST_LOGS
    words = [f"{program.name} {program.version}"]
    if a.log is not None:
        cover = show_figure(a.log.coverage, Measure.SHARE, style_of(a))
        words.append(f"{a.log.hours_valid:,} of {a.log.hours_span:,} hours read well ({cover})")
    if bare_words(a):
        words.append(bare_words(a))
    if more > 0:
        words.append(f"{more} more logs, named in the workbook")
    parts = (Prose(sentence("; ".join(words))), Code("SHA-256 of what was read", tuple(rows)))
    return Section("Where it comes from", parts)
