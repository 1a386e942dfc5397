"""A table on a screen: columns when they fit, else one small card a row."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.views.figures import Measure, Shown, Style, show_figure
from ledger.views.screen import Screen, Signs
from ledger.views.tables import Cell, Column, Table
from ledger.views.text import cell_width, pad_left, pad_right, wrap

_GAP = 2
_WIDEST_WORDS = 26
_HEAD_HEIGHT = 2


def grid_lines(table: Table, *, style: Style, screen: Screen) -> list[str]:
    """Lay a table out for a screen; a table too wide for it is shown as cards with the same words."""
    if not table.rows:
        return []
    cells = [
        [_shown(value, column, style) for value, column in zip(row, table.columns, strict=True)] for row in table.rows
    ]
    texts = [[screen.say(one.text) for one in row] for row in cells]
    heads = [screen.say(column.short or column.label) for column in table.columns]
    units = [screen.say(_common_unit([row[i] for row in cells])) for i in range(len(heads))]
    least = [_least_width(i, table.columns, texts, heads, units) for i in range(len(heads))]
    room = screen.width - 2 - _GAP * (len(least) - 1)
    if sum(least) > room:
        return _cards(table.columns, cells, screen)
    widths = _widened(least, heads, room=room)
    lines = _head_lines(heads, units, table.columns, widths)
    lines.append("  " + ("─" if screen.signs is Signs.ALL else "-") * (sum(widths) + _GAP * (len(widths) - 1)))
    for row in texts:
        lines += _row_lines([wrap(text, width) for text, width in zip(row, widths, strict=True)], table.columns, widths)
    return lines


def _shown(value: Cell, column: Column, style: Style) -> Shown:
    if value is None:
        return Shown(column.if_none, "")
    if isinstance(value, bool):
        return Shown("yes" if value else "no", "")
    if isinstance(value, str):
        return Shown(value, "")
    return show_figure(value, column.measure, style)


def _common_unit(column: Sequence[Shown]) -> str:
    return next((one.unit for one in column if one.unit), "")


def _least_width(
    at: int, columns: Sequence[Column], texts: Sequence[Sequence[str]], heads: Sequence[str], units: Sequence[str]
) -> int:
    """The narrowest that a column can be: no word of it broken, no figure of it wrapped."""
    parts = [row[at] for row in texts]
    if columns[at].measure is Measure.WORDS:
        body = max(min(_WIDEST_WORDS, max(cell_width(text), 0)) for text in parts)
    else:
        body = max(_longest_word(text) for text in parts)
    return max(body, _longest_word(heads[at]), cell_width(units[at]))


def _longest_word(text: str) -> int:
    return max(cell_width(word) for word in text.split(" "))


def _widened(least: Sequence[int], heads: Sequence[str], *, room: int) -> list[int]:
    """Give spare room to the columns whose heads are highest, until none is higher than two lines."""
    widths = list(least)
    while sum(widths) < room:
        heights = [len(wrap(head, width)) for head, width in zip(heads, widths, strict=True)]
        highest = max(range(len(heights)), key=lambda i: heights[i])
        if heights[highest] <= _HEAD_HEIGHT:
            break
        widths[highest] += 1
    return widths


def _head_lines(
    heads: Sequence[str], units: Sequence[str], columns: Sequence[Column], widths: Sequence[int]
) -> list[str]:
    """The heads standing on their lowest line, the units below them."""
    wrapped = [wrap(head, width) for head, width in zip(heads, widths, strict=True)]
    height = max(len(one) for one in wrapped)
    raised = [[""] * (height - len(one)) + one for one in wrapped]
    if any(units):
        raised = [[*one, unit] for one, unit in zip(raised, units, strict=True)]
    return _row_lines(raised, columns, widths)


def _row_lines(cells: Sequence[Sequence[str]], columns: Sequence[Column], widths: Sequence[int]) -> list[str]:
    lines = []
    for at in range(max(len(one) for one in cells)):
        parts = []
        for words, column, width in zip(cells, columns, widths, strict=True):
            text = words[at] if at < len(words) else ""
            parts.append(pad_right(text, width) if column.measure is Measure.WORDS else pad_left(text, width))
        lines.append(("  " + (" " * _GAP).join(parts)).rstrip())
    return lines


def _cards(columns: Sequence[Column], cells: Sequence[Sequence[Shown]], screen: Screen) -> list[str]:
    name_at = next(i for i, column in enumerate(columns) if column.measure is Measure.WORDS)
    lines: list[str] = []
    for row in cells:
        lines += ["", *screen.prose(row[name_at].text, indent=2)]
        rest = [(columns[i].label, one.text, one.unit) for i, one in enumerate(row) if i != name_at]
        lines += screen.inner_figures(rest)
    return lines[1:]
