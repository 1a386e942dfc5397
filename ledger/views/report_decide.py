"""Page 1 of the report: what a partner or lender decides by, in words that need no dictionary."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.doubt.breakeven import BreakEven
from ledger.doubt.words import in_words
from ledger.money.results import Driver
from ledger.views.answer import ESTIMATE_ONLY, VERDICTS
from ledger.views.doubts import FIND_OUT
from ledger.views.figures import Measure, show_figure, show_span
from ledger.views.phrases import day_words, range_words, row_shown, span_shown
from ledger.views.plots_report import running_sum, yearly_saving
from ledger.views.report_loans import loans_section
from ledger.views.report_parts import Bullets, Facts, Grid, Page, Part, Prose, Section, Strong, line_of, name_of
from ledger.views.row import Row, is_placeholder, style_of
from ledger.views.rows import headline_rows
from ledger.views.rows_money import break_even_rows
from ledger.views.text import sentence

MOST_HEATERS, MOST_RISKS, MOST_BUILDS = 5, 3, 3
_WHY_CELLS = 320


def page_to_decide(a: Appraisal) -> Page:
    """The whole of page 1."""
    return Page(
        heading="To decide",
        lead=(_asked(a), _answer(a)),
        sections=(_cost(a), loans_section(a), _saving(a), _risks(a)),
        foot=ESTIMATE_ONLY,
        in_first_column=2,
    )


def _asked(a: Appraisal) -> Section:
    terms, hold, style = a.source.terms, a.source.hold, style_of(a)
    names = [name_of(build.name) for build in a.source.builds]
    builds = _listed(names, MOST_BUILDS)
    kept = show_figure(hold.temperature_c, Measure.TEMPERATURE, style)
    first, last = (day_words(day.month, day.day) for day in (hold.season.begins, hold.season.ends))
    what = f"For: {builds or 'nothing built yet'}, to hold {kept} from {first} to {last} with less bought heat."
    parts: list[Part] = []
    planned = bool(a.capital.items) and all(item.status != "paid" for item in a.capital.items)
    asked = f"Is the money {'to be put' if planned else 'put'} into the heat of this house well spent?"
    parts.append(Strong(sentence(line_of(a.source.purpose)) or asked))
    if terms.loans:
        lent = show_figure(float(sum(loan.principal for loan in terms.loans)), Measure.MONEY, style)
        parts.append(Prose(f"Lent: {lent}. {what}"))
    else:
        parts.append(Prose(what))
    return Section("What is asked", tuple(parts))


def _listed(names: list[str], most: int) -> str:
    rest = len(names) - most
    return ", ".join([*names[:most], *([f"{rest} more"] if rest > 0 else [])])


def _answer(a: Appraisal) -> Section:
    parts: list[Part] = [Strong(VERDICTS.get(a.verdict, a.verdict)), Prose(sentence(_why(a)))]
    figures = Grid(
        "Four figures",
        ("", "", _range_head(a)),
        tuple(_headline(row, a) for row in headline_rows(a)),
    )
    return Section("The answer", (*parts, figures))


def _why(a: Appraisal) -> str:
    """The reason of the verdict, and the first doubt; where nothing is known yet, the reason is the first doubt."""
    if is_placeholder(a):
        return FIND_OUT
    why = name_of(a.why, most=_WHY_CELLS)
    if not _says_doubt(a):
        return why
    return f"{why}. The greatest doubt is {_driver_words(a.drivers[0], a)}"


def _says_doubt(a: Appraisal) -> bool:
    """Whether the answer itself names the greatest doubt."""
    return bool(a.drivers) and not is_placeholder(a) and a.verdict in ("pays", "does not pay")


def _range_head(a: Appraisal) -> str:
    return "" if is_placeholder(a) else sentence(range_words(a)).rstrip(".")


def _headline(row: Row, a: Appraisal) -> tuple[str, str, str]:
    ranged = not row.span and row.value is not None and not (row.low is None and row.high is None)
    return row.label, str(row_shown(row, a)), str(span_shown(row, style_of(a))) if ranged else ""


def _cost(a: Appraisal) -> Section:
    c, terms, style = a.capital, a.source.terms, style_of(a)
    paid = all(item.status == "paid" for item in c.items)
    rows = [
        ("Spent in all" if paid else "Spent in all, planned items too", float(c.gross)),
        ("Only for the heat, own work priced", c.share_for_heat),
    ]
    given = float(sum(grant.amount.likely for grant in terms.grants))
    lent = float(sum(loan.principal for loan in terms.loans))
    if terms.grants:
        rows.append(("Grants, in full", given))
    if terms.loans:
        rows.append(("Loan", lent))
    if terms.grants or terms.loans:
        rows.append(("Own cash besides these", max(0.0, float(c.gross) - given - lent)))
    shown = tuple((words, str(show_figure(value, Measure.COIN, style))) for words, value in rows)
    parts: list[Part] = [Facts("Money put in", shown)]
    if c.own_hours and a.source.labour_rate_per_h is None:
        parts.append(Prose(f"Own work of {c.own_hours:,.0f} hours has no price here."))
    drawn = running_sum(a)
    return Section("What it costs", (*parts, *([drawn] if drawn else [])))


def _saving(a: Appraisal) -> Section:
    style, only_span = style_of(a), is_placeholder(a)
    if not a.saving_ranges:
        return Section("What it saves each year", (Prose("Not known: there is nothing to reckon a saving from."),))
    shown = a.saving_ranges[:MOST_HEATERS]
    rows = []
    for one in shown:
        figures = [
            show_figure(value, Measure.MONEY, style).text for value in (one.range.p10, one.likely, one.range.p90)
        ]
        rows.append((name_of(one.source), *(figures if not only_span else (figures[0], figures[2]))))
    head = ("Against heat from", "low", "high") if only_span else ("Against heat from", "low", "likely", "high")
    note = "After running and upkeep." if only_span else "After running and upkeep; low to high as above."
    rest = len(a.saving_ranges) - len(shown)
    if rest > 0:
        note += f" {rest} more heaters: see the workbook."
    drawn = yearly_saving(a, most=MOST_HEATERS)
    table = Grid(f"First year, {style.currency}", head, tuple(rows))
    return Section("What it saves each year", (table, Prose(note), *([drawn] if drawn else [])))


def _risks(a: Appraisal) -> Section:
    heading = "The three largest risks"
    if not a.drivers:
        return Section(heading, (Prose("Not known: no gain could be reckoned."),))
    lines = [_risk(driver, a) for driver in a.drivers[:MOST_RISKS]]
    if _says_doubt(a):
        lines[0] = f"The greatest doubt, above: {_gain_span(a.drivers[0], a)}."
    parts: list[Part] = [Prose("Gain, each alone at either end:"), Bullets(tuple(lines))]
    if not is_placeholder(a) and a.verdict != "pays":
        parts.append(Prose(_what_would_have_to_be(a)))
    return Section(heading, tuple(parts))


def _risk(driver: Driver, a: Appraisal) -> str:
    return f"{sentence(_driver_words(driver, a)).rstrip('.')}: {_gain_span(driver, a)}."


def _gain_span(driver: Driver, a: Appraisal) -> str:
    ends = sorted((driver.npv_low, driver.npv_high))
    return str(show_span(ends[0], ends[1], Measure.MONEY, style_of(a)))


def _driver_words(driver: Driver, a: Appraisal) -> str:
    return name_of(in_words(driver.input, a.source), most=76)


def _what_would_have_to_be(a: Appraisal) -> str:
    """The break-even nearest to today, as what would have to be true."""
    pairs = break_even_rows(a)
    known = [(one, now, then) for one, (now, then) in zip(a.break_evens, pairs, strict=True) if one.at is not None]
    if not known:
        return "No single change inside a sensible range would make it pay."
    _, now, then = min(known, key=lambda found: _farness(found[0]))
    return f"It would just pay at: {name_of(now.label, most=60)} {row_shown(then, a)} (now {row_shown(now, a).text})."


def _farness(one: BreakEven) -> float:
    """How far a break-even is from today: relative; a rate's points count tenfold, so that one weighs a tenth."""
    far = abs(one.distance) if one.distance is not None else float("inf")
    return far * 10.0 if one.unit == "a year" else far
