"""The answer of `appraise` on a screen, in the order in which a person asks."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.heat.results import TypicalHeat
from ledger.views.ahead import beats_lines, benefit_lines, next_lines
from ledger.views.closing import assumed_lines, cover_lines, warning_lines
from ledger.views.doubts import doubt_lines
from ledger.views.facts import fact_lines
from ledger.views.figures import Measure, show_figure, show_span
from ledger.views.grid import grid_lines
from ledger.views.loan_screen import loan_lines
from ledger.views.measure import measure_lines
from ledger.views.model_screen import model_lines
from ledger.views.phrases import day_words, month_words, row_lines
from ledger.views.row import bare_words, is_placeholder, style_of, why_no_year
from ledger.views.rungs import rung_lines
from ledger.views.screen import Screen
from ledger.views.tables import Table, plan_table
from ledger.views.text import sentence

MOST_ASSUMED = 12

_SAID = frozenset({"bare-by-lift", "not-held", "benefit-dominates", "no-typical-year"})
"""Warnings whose matter stands in the answer itself, beside the figures that it touches."""

VERDICTS = {
    "pays": "Yes, it pays.",
    "does not pay": "No, it does not pay.",
    "not yet known": "Whether it pays is not yet known.",
}

HEATER_CAUTION = (
    "A stove or heater is sized here as an estimate only. Keep its clearances, have the chimney inspected and cleaned "
    "every year, fit a carbon-monoxide alarm, let ash cool outdoors in a lidded metal can; in a wet house use "
    "ground-fault protection and no extension leads. Local codes and a licensed professional decide."
)

ESTIMATE_ONLY = "An estimate for a decision, before tax; no financial or tax advice."

_PLAN_KEYS = (
    "rank", "name", "capital", "first_year_cost", "life_cycle_cost", "holds_design_night", "works_in_power_cut",
)  # fmt: skip


def answer_lines(appraisal: Appraisal, *, screen: Screen) -> list[str]:
    """Every line of the answer."""
    return [
        *_head(appraisal, screen),
        *_cost(appraisal, screen),
        *_saving(appraisal, screen),
        *_back(appraisal, screen),
        *loan_lines(appraisal, screen),
        *doubt_lines(appraisal, screen),
        *fact_lines(appraisal, screen),
        *measure_lines(appraisal, screen),
        *model_lines(appraisal, screen),
        *_warmth(appraisal, screen),
        *_plans(appraisal, screen),
        *next_lines(appraisal, screen),
        *cover_lines(appraisal, screen),
        *assumed_lines(appraisal, screen=screen, most=MOST_ASSUMED),
        *warning_lines(appraisal, screen=screen, said=_SAID),
        "",
        *screen.prose(ESTIMATE_ONLY),
    ]


def _head(a: Appraisal, screen: Screen) -> list[str]:
    style, hold = style_of(a), a.source.hold
    kept = show_figure(hold.temperature_c, Measure.TEMPERATURE, style)
    season = f"{day_words(hold.season.begins.month, hold.season.begins.day)} to "
    season += day_words(hold.season.ends.month, hold.season.ends.day)
    verdict = f"{VERDICTS.get(a.verdict, a.verdict)} {sentence(a.why)}".strip()
    return [
        *screen.title(a.identity.title or "Growing house"),
        *screen.prose(f"held at {kept}, {season}"),
        "",
        *screen.title(verdict),
    ]


def _cost(a: Appraisal, screen: Screen) -> list[str]:
    c = a.capital
    shown = ["capital.gross"]
    if float(c.gross) != c.share_for_heat:
        shown.append("capital.share_for_heat")
    if c.grants:
        shown.append("capital.grants")
    if c.own_hours:
        shown.append("capital.own_hours")
    lines = [*screen.heading("What did it cost?"), *row_lines(a, [*shown, "capital.net"], screen)]
    open_items = sum(1 for item in c.items if item.status != "paid")
    if open_items:
        lines += screen.prose(
            f"{open_items} of {len(c.items)} items are not paid yet and count like paid ones.", indent=2
        )
    if c.own_hours and a.source.labour_rate_per_h is None:
        lines += screen.prose("Own work is shown, but has no price: the ledger has no [labour] rate.", indent=2)
    return lines


def _saving(a: Appraisal, screen: Screen) -> list[str]:
    lines = screen.heading("What did it save?")
    if a.typical_heat is None:
        lines += screen.prose(f"Not known. {why_no_year(a)}".strip(), indent=2)
    else:
        keys = ["avoided_kwh"]
        if not is_placeholder(a):
            keys = [
                "need_kwh",
                "avoided_kwh",
                "to_buy_kwh",
                "avoided_cost",
                "running_cost",
                "upkeep_cost",
                "net_saving",
            ]
        lines += row_lines(a, [f"typical_year.{key}" for key in keys], screen)
        lines += screen.prose(_basis_words(a), indent=2)
    if a.seasons:
        lines += ["", *rung_lines(a.seasons[-1], hold=a.source.hold, style=style_of(a), screen=screen)]
        lines += _not_held(a, screen)
    return lines


def _not_held(a: Appraisal, screen: Screen) -> list[str]:
    last = a.seasons[-1].heat
    if not last.hours_below_hold:
        return []
    style = style_of(a)
    coldest = show_figure(last.indoor_min_c, Measure.TEMPERATURE, style)
    bought = show_figure(last.backup_delivered_kwh, Measure.HEAT, style)
    text = (
        f"The house was below its hold temperature for {last.hours_below_hold:,} hours (coldest {coldest}). It was "
        f"not held then, so part of this is heat that nobody would have bought; bought was {bought}."
    )
    return screen.prose(text, indent=2)


def _basis_words(a: Appraisal) -> str:
    """What the typical year rests on, and what is missing in it."""
    heat = a.typical_heat
    if heat is None:
        return ""
    basis = {
        "logged seasons": "the seasons logged",
        "climate file": "the long outdoor record",
        "climate normals": "the monthly normals",
        "expected": "the share of the need that the ledger expects",
    }.get(heat.basis, heat.basis)
    way = f", {bare_words(a)}" if heat.basis != "expected" and bare_words(a) else ""
    words = [f"Reckoned from {basis}{way}.", *_missing_months(a, heat)]
    if heat.basis == "climate file" and heat.seasons_averaged > 1:
        low, high = heat.lowest_need_kwh, heat.highest_need_kwh
        span = show_span(low, high, Measure.HEAT, style_of(a))
        words.append(f"Over its {heat.seasons_averaged} whole seasons the need ran from {span}.")
    return " ".join([*words, *_missing_running(a)])


def _missing_months(a: Appraisal, heat: TypicalHeat) -> list[str]:
    if not heat.months_not_logged:
        return []
    months = month_words(heat.months_not_logged, first=a.source.hold.season.begins.month)
    were = "were" if len(heat.months_not_logged) > 1 else "was"
    text = f"{months} {were} not logged well enough and taken as 0; twelve monthly normals would fill what is missing."
    return [f"It is at least this much: {text}" if heat.at_least else text]


def _missing_running(a: Appraisal) -> list[str]:
    money = a.typical_money
    if money is None:
        return []
    if money.running_cost is None:
        return ["What it costs to run is not known, so the money stands before running cost."]
    if money.months_without_running_line:
        months = month_words(money.months_without_running_line, first=a.source.hold.season.begins.month)
        return [f"No running cost is noted for {months}."]
    return []


def _back(a: Appraisal, screen: Screen) -> list[str]:
    lines = screen.heading("When is it back?")
    keys = ["worth.simple_payback_years", "worth.npv"]
    if not is_placeholder(a):
        keys += ["worth.npv_without_residual", "worth.discounted_payback_years", "worth.irr"]
        keys += ["worth.heat_cost_per_kwh", "worth.avoided_price_per_kwh"]
    lines += row_lines(a, keys, screen)
    terms, w = a.source.terms, a.worth
    kind = "real" if terms.rates_are_real else "nominal"
    rate = f"{terms.discount_rate.likely * 100:g} % ({kind})"
    text = f"Over {terms.study_years} years at {rate}, against heat from: {w.against}."
    lines += screen.prose(text, indent=2)
    if is_placeholder(a):
        both = "Both are spans from the lowest to the highest lift; neither end is likelier."
        return lines + (screen.prose(both, indent=2) if w.npv is not None else [])
    return lines + _other_source(a, screen) + _back_notes(a, screen) + benefit_lines(a, screen)


def _back_notes(a: Appraisal, screen: Screen) -> list[str]:
    w, years = a.worth, a.source.terms.study_years
    lines: list[str] = []
    if w.npv is not None and w.npv > 0 and w.discounted_payback_years is None:
        lines += screen.prose("The gain comes only through the value left at the end of the years.", indent=2)
    if w.simple_payback_years is not None and w.simple_payback_years > years:
        lines += screen.prose(f"It takes longer to pay back than the {years} years looked at.", indent=2)
    return lines


def _other_source(a: Appraisal, screen: Screen) -> list[str]:
    """The gain against the cheapest source that holds the house alone, where that is not the grower's own backup."""
    ranked = [plan for plan in a.plans if plan.rank is not None and not plan.builds and plan.source]
    if not ranked:
        return []
    cheapest = min(ranked, key=lambda plan: plan.rank or 0).source
    gain = a.worth.npv_against.get(cheapest or "")
    if cheapest == a.worth.against or gain is None:
        return []
    shown = show_figure(gain, Measure.MONEY, style_of(a))
    return screen.prose(f"Against the cheapest heater that holds it ({cheapest}) the gain is {shown}.", indent=2)


def _warmth(a: Appraisal, screen: Screen) -> list[str]:
    style, crop, heat = style_of(a), a.source.crop, a.typical_heat
    lines = screen.heading("What does warmth for plants cost?")
    if heat is None or heat.gdd_indoor_k_d is None:
        why = "growing degree-days need a log of the temperature indoors"
        if a.log is not None:
            why = "no month of the crop's season is logged well enough, indoors and outdoors, for growing degree-days"
        return lines + screen.prose(f"Not known: {why}.", indent=2)
    kinds = ("indoor", "over_outdoors") if is_placeholder(a) else ("indoor", "over_outdoors", "by_build")
    keys = [key for kind in kinds for key in (f"typical_year.gdd_{kind}_k_d", f"worth.cost_per_gdd_{kind}")]
    lines += row_lines(a, keys, screen)
    base = show_figure(crop.base_c, Measure.TEMPERATURE, style)
    text = f"Above {base}, method: {crop.method.value}; methods cannot be compared with one another."
    if heat.gdd_months:
        text += f" Months in it: {month_words(heat.gdd_months, first=a.source.hold.season.begins.month)}."
    return lines + screen.prose(text, indent=2)


def _plans(a: Appraisal, screen: Screen) -> list[str]:
    if not a.plans:
        return []
    table = _together(a).only(_PLAN_KEYS)
    lines = screen.heading("What would a stove or heater have cost?")
    lines += grid_lines(table, style=style_of(a), screen=screen)
    years = a.source.terms.study_years
    lines += screen.prose(
        f"All years: life-cycle cost over {years} years in today's money. All ways are to hold the same temperature; "
        "those that cannot, or whose cost is not known, have no rank. More: warmledger compare.",
        indent=2,
    )
    if is_placeholder(a):
        lines += screen.prose("What the build saves in them is a placeholder too, at the likeliest lift.", indent=2)
    lines += beats_lines(a, screen)
    return lines + screen.prose(HEATER_CAUTION, indent=2)


def _together(a: Appraisal) -> Table:
    """The first plan, and those with no build or with all of them; the others are left to `compare`."""
    table, every = plan_table(a), {build.name for build in a.source.builds}
    shown = {plan.name for plan in a.plans if plan.rank == 1 or not plan.builds or set(plan.builds) == every}
    name_at = next(i for i, column in enumerate(table.columns) if column.key == "name")
    return Table(table.name, table.columns, tuple(row for row in table.rows if row[name_at] in shown))
