"""Page 2 of the report: what page 1 rests on, so that it can be checked."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.money.results import CapitalItem
from ledger.plans.for_a_lender import worth_at
from ledger.views.answer import HEATER_CAUTION
from ledger.views.fan import fan_kwh_of
from ledger.views.figures import Measure, show_figure
from ledger.views.model_rows import edge_words, unbelieved_words
from ledger.views.phrases import row_shown
from ledger.views.plots_report import rung_bars
from ledger.views.plots_seasons import recovered_section
from ledger.views.report_assumed import assumed_section
from ledger.views.report_budget import budget_section
from ledger.views.report_model import adds_up_words, model_section, why_part, with_room_for
from ledger.views.report_next import next_section
from ledger.views.report_parts import Code, Facts, Grid, Page, Part, Prose, Section, half_of, name_of
from ledger.views.report_winters import winters_section
from ledger.views.row import Row, bare_words, is_placeholder, style_of, why_no_year
from ledger.views.rows import blocks
from ledger.views.rows_money import break_even_rows
from ledger.views.rungs import BELOW_NOTHING, ON_A_LIFT
from ledger.views.text import sentence

MOST_ITEMS, MOST_LOGS, MOST_BREAK_EVENS, MOST_LOANS, MOST_STEPS = 12, 3, 7, 2, 2
OTHER_RATES = (0.03, 0.09)
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
        _rungs(a), _capital(a), _worth(a), budget_section(a), _break_even(a),
        winters_section(a), assumed_section(a), _from_today(a), recovered_section(a), next_section(a), _origin(a),
    )  # fmt: skip
    found = with_room_for(model_section(a), [one for one in sections if one is not None])
    return Page("The evidence", (), found, CAUTION, in_first_column=half_of(found))


def _rungs(a: Appraisal) -> Section:
    heading = "From warmth to money"
    drawn = rung_bars(a)
    if drawn is None:
        why = why_no_year(a) or "Nothing is logged, so the saving is only expected."
        return Section(heading, (Prose(why),))
    heat = a.seasons[-1].heat
    parts: list[Part] = [drawn, why_part(a)]
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
    if words := edge_words(a):
        parts.append(Prose(words))
    parts += [Prose(words) for words in (unbelieved_words(a), adds_up_words(a)) if words]
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
    rows = [_fact(by_key[f"worth.{key}"], a) for key in keys]
    rows[2:2] = [] if is_placeholder(a) else _at_other_rates(a)
    facts = Facts("Measures of worth", tuple(rows))
    kind = "real: inflation is left out" if terms.rates_are_real else "nominal: inflation is in it"
    rate = terms.discount_rate
    assumed = " (assumed by us)" if any(one.path == "money.discount_rate" for one in a.assumed) else ""
    basis = f"Over {terms.study_years} years at {rate.likely * 100:g} % a year, {kind}, {rate.basis.value}{assumed}"
    against = f"; against heat from {name_of(a.worth.against)}; before income tax."
    parts: list[Part] = [facts, Prose(basis + against)]
    if not is_placeholder(a):
        parts.append(Prose(WHY_RATES_DIFFER))
    return Section("What it is worth", tuple(parts))


def _at_other_rates(a: Appraisal) -> list[tuple[str, str]]:
    """The gain at a low and a high rate, and at the rates of the loans."""
    if a.typical_heat is None:
        return []
    terms, style = a.source.terms, style_of(a)
    inflation = terms.inflation.likely if terms.rates_are_real else 0.0
    asked = {*OTHER_RATES, *((1.0 + loan.annual_rate) / (1.0 + inflation) - 1.0 for loan in terms.loans[:MOST_LOANS])}
    rates = sorted(asked - {terms.discount_rate.likely})
    return [(f"Gain (NPV) at {show_figure(rate, Measure.RATE, style)}", str(show_figure(worth, Measure.MONEY, style)))
            for rate, worth in worth_at(a.source, a.typical_heat, rates, fan_kwh=fan_kwh_of(a))]  # fmt: skip


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


def _from_today(a: Appraisal) -> Section | None:
    """What is spent left aside: going on, the next steps, other hold temperatures."""
    if is_placeholder(a):
        return None
    style, steps = style_of(a), a.ahead.hold_steps
    parts: list[Part] = []
    shown = [one for one in steps if one in (steps[0], steps[-1]) or one.hold_c == a.source.hold.temperature_c]
    rows = tuple(
        (
            str(show_figure(one.hold_c, Measure.TEMPERATURE, style)),
            *(show_figure(v, Measure.HEAT, style).text for v in (one.need_kwh, one.to_buy_kwh)),
            show_figure(one.npv, Measure.MONEY, style).text,
        )
        for one in shown
    )
    if rows:
        head = ("held at", "need kWh", "to buy kWh", f"gain, {style.currency}")
        parts.append(Grid("The same house at other hold temperatures", head, rows))
    forward = a.ahead.forward
    if forward is not None:
        worth = show_figure(forward.going_on_npv, Measure.MONEY, style)
        said = [f"With what is spent left aside, going on is worth {worth}"]
        said += [f"next, {name_of(one.what)}: {show_figure(one.npv.p50, Measure.MONEY, style)}" for one in
                 forward.steps[:MOST_STEPS]]  # fmt: skip
        parts.append(Prose("; ".join(said) + "."))
    return Section("From today on", tuple(parts)) if parts else None


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
