"""Words and rows that several screens share."""

from __future__ import annotations

import calendar
from collections.abc import Iterable

from ledger.appraisal import Appraisal
from ledger.views.figures import Measure, Shown, Style, show_figure, show_span
from ledger.views.row import Row, style_of
from ledger.views.rows import blocks
from ledger.views.screen import Screen


def row_lines(a: Appraisal, keys: Iterable[str], screen: Screen) -> list[str]:
    """The rows of these result keys as aligned figures, a range on a line of its own."""
    by_key = {row.key: row for block in blocks(a) for row in block.rows}
    figures: list[tuple[str, str, str]] = []
    for key in keys:
        row = by_key[key]
        value = row_shown(row, a)
        figures.append((row.label, value.text, value.unit))
        if not row.span and row.value is not None and not (row.low is None and row.high is None):
            ends = span_shown(row, style_of(a))
            figures.append((range_words(a), ends.text, ends.unit))
    return screen.figures(figures)


def range_words(appraisal: Appraisal) -> str:
    """What a range means here: where draws stand behind it, and where only two ends are known."""
    return "in eight cases of ten" if appraisal.worth_range.draws else "from its one end to the other"


def span_shown(row: Row, style: Style) -> Shown:
    """A row's range; years without an end never end."""
    if row.measure is Measure.YEARS and (row.low is None or row.high is None):
        end = show_figure(row.high if row.low is None else row.low, row.measure, style)
        return Shown(f"{end} to never", "")
    return show_span(row.low, row.high, row.measure, style)


def row_shown(row: Row, appraisal: Appraisal) -> Shown:
    """A row's value as text: a span where only a span may be shown, words where there is no value."""
    style = style_of(appraisal)
    if row.span and not (row.low is None and row.high is None):
        return span_shown(row, style)
    if row.value is None:
        return Shown(row.if_none, "")
    if isinstance(row.value, str):
        return Shown(row.value, "")
    return show_figure(row.value, row.measure, style)


def day_words(month: int, day: int) -> str:
    """A day of the year as people write it."""
    return f"{day} {calendar.month_name[month]}"


def month_words(months: Iterable[int], *, first: int) -> str:
    """Months by name, beginning with the month `first`: October, November and January."""
    names = [calendar.month_name[month] for month in sorted(months, key=lambda month: (month - first) % 12)]
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
