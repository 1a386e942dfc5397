"""Cold and mild winters: those logged, and the hardest of them made colder and milder."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.plans.around import with_winter
from ledger.plans.other_winter import HardWinter
from ledger.plans.results import Stress
from ledger.views.figures import Measure, show_figure, show_span
from ledger.views.report_parts import Grid, Part, Prose, Section, name_of
from ledger.views.row import is_placeholder, style_of

MILDER_K = 3.0
"""How much milder a winter is looked at; common practice, no source."""
MOST_SEASONS = 4


def hard_winter(a: Appraisal) -> Stress | None:
    """The hardest winter logged, made colder; None by a placeholder, or where nothing is logged."""
    return None if is_placeholder(a) else a.around.stress


def mild_winter(a: Appraisal) -> Stress | None:
    """The same winter made milder."""
    if is_placeholder(a) or a.around.stress is None or a.work is None:
        return None
    return with_winter(a.around, a.source, a.work.seasons, hard=HardWinter(-MILDER_K)).stress


def shift_words(winter: Stress, a: Appraisal) -> str:
    """How much colder or milder."""
    by = show_figure(abs(winter.colder_k), Measure.DIFFERENCE, style_of(a))
    return f"{by} {'colder' if winter.colder_k > 0 else 'milder'}"


def winters_section(a: Appraisal) -> Section:
    """Each winter logged, then the hardest of them colder and milder."""
    style, heading = style_of(a), "Cold and mild winters"
    parts: list[Part] = []
    heat = a.typical_heat
    if heat is not None and heat.seasons_averaged > 1 and heat.highest_need_kwh is not None:
        span = show_span(heat.lowest_need_kwh, heat.highest_need_kwh, Measure.HEAT, style)
        parts.append(Prose(f"Over {heat.seasons_averaged} winters the heat needed without the build ran from {span}."))
    rows = [*_logged(a), *(_made(winter, a) for winter in (mild_winter(a), hard_winter(a)) if winter is not None)]
    if rows:
        degree = show_figure(0.0, Measure.TEMPERATURE, style).unit
        head = ("winter", "need kWh", "not bought", f"coldest {degree}", "h below hold", "% logged")
        parts.append(Grid("Winters logged, and the hardest of them made milder and colder", head, tuple(rows)))
    parts += [Prose(text) for text in _words(a)]
    if not parts:
        parts.append(Prose("Not known: nothing is logged."))
    return Section(heading, tuple(parts))


def _logged(a: Appraisal) -> list[tuple[str, ...]]:
    style = style_of(a)
    rows: list[tuple[str, ...]] = []
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
    return rows


def _made(winter: Stress, a: Appraisal) -> tuple[str, ...]:
    need, avoided = (show_figure(v, Measure.HEAT, style_of(a)).text for v in (winter.need_kwh, winter.avoided_kwh))
    return f"{name_of(winter.season)}, {shift_words(winter, a)}", need, avoided, "", "", ""


def _words(a: Appraisal) -> list[str]:
    """What the hard winter and the coldest night ask for."""
    style, said = style_of(a), []
    hard = hard_winter(a)
    if hard is not None:
        nights = "" if hard.nights_counted is None else f" of {hard.nights_counted}"
        said.append(f"In the colder one {show_figure(hard.to_buy_kwh, Measure.HEAT, style)} are to be bought; with no "
                    f"heater {hard.nights_short}{nights} nights would fall below hold.")  # fmt: skip
    peak = max((plan.peak_need_kw for plan in a.plans if plan.peak_need_kw is not None and plan.builds), default=None)
    if peak is not None:
        power = show_figure(peak, Measure.POWER, style)
        said.append(f"On the coldest night a heater must give {power}, the stores taken as empty.")
    return said
