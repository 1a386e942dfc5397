"""The fitted house model in the report: each build's part where there is room, and whether the heat adds up."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.appraisal import Appraisal
from ledger.views.figures import Measure, show_figure
from ledger.views.model_rows import last_told, shared_words, split_table
from ledger.views.report_parts import Facts, Grid, Prose, Section, lines_of, name_of
from ledger.views.row import style_of
from ledger.views.why_less import HEADING, why_short

MOST_LINES = 190.0
"""So many lines of a half page at most; with more the page would be printed too small to read."""


def why_part(a: Appraisal) -> Facts:
    """From all the warmth to what is money, in six lines."""
    return Facts(f"{HEADING}, kWh", why_short(a.seasons[-1].heat, a.source.hold, style_of(a)))


def adds_up_words(a: Appraisal) -> str:
    """The newest season's heat figures that must agree, in a sentence."""
    if not a.adds_up:
        return ""
    style, season, said = style_of(a), a.adds_up[-1], []
    gave, lost = (sum(getattr(b, key) for b in season.stores) for key in ("release_kwh", "loss_kwh"))
    if season.stores:
        one, other = (show_figure(v, Measure.HEAT, style) for v in (gave, lost / len(season.stores)))
        said.append(f"logged stores gave back {one.text} of the {other} lost in their nights")
    if season.heat_loss is not None:
        pair = (season.heat_loss.ledger_w_per_k, season.heat_loss.fitted_w_per_k)
        one, other = (show_figure(v, Measure.HEAT_LOSS, style) for v in pair)
        doubt = "" if season.heat_loss.doubted is None else ", outside its range"
        said.append(f"heat loss {one.text} by the ledger, {other} by the log{doubt}")
    if season.heat_per_kwh_used is not None:
        used = show_figure(season.heat_per_kwh_used, Measure.RATIO, style)
        said.append(f"{used} kWh not bought for each kWh used")
    return f"Does it add up: {'; '.join(said)}." if said else ""


def model_section(a: Appraisal) -> Section | None:
    """What a believed model says of each build; None where there is none, or nothing to tell apart."""
    season = last_told(a)
    if season is None or not season.believed:
        return None
    told = season.answer.told
    table = split_table(told, a)
    if table is None:
        return None
    rows = [(name_of(str(name)), *(_kwh(value, a) for value in values)) for name, *values in table.rows]
    head = ("", *(column.label.lower() for column in table.columns[1:]))
    grid = Grid(f"Heat not bought by the fitted model, {season.season}, kWh", head, tuple(rows))
    return Section("What each build gives", (grid, Prose(shared_words(told, a))))


def with_room_for(section: Section | None, sections: Sequence[Section]) -> tuple[Section, ...]:
    """The sections with one more behind the first, where that leaves the page fit to read."""
    if section is None or lines_of((*sections, section)) > MOST_LINES:
        return tuple(sections)
    return (*sections[:1], section, *sections[1:])


def _kwh(value: object, a: Appraisal) -> str:
    return show_figure(value, Measure.HEAT, style_of(a)).text if isinstance(value, float) else ""
