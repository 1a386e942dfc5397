"""A table on a screen: columns when they fit, else one small card a row."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.views.figures import Measure, Shown, Style, show_figure
from ledger.views.screen import Screen
from ledger.views.tables import Cell, Column, Table
from ledger.views.text import cell_width, pad_left, pad_right, wrap

_GAP = 2
_WIDEST_WORDS = 26


def grid_lines(table: Table, *, style: Style, screen: Screen) -> list[str]:
    """Lay a table out for a screen; a table too wide for it is shown as cards with the same words."""
    if not table.rows:
        return []
    cells = [[_shown(value, column, style) for value, column in zip(row, table.columns, strict=True)]
             for row in table.rows]  # fmt: skip
    units = [_common_unit([row[i] for row in cells]) for i in range(len(table.columns))]
    widths = _widths(table.columns, cells, units, screen)
    if sum(widths) + _GAP * (len(widths) - 1) + 2 > screen.width:
        return _cards(table.columns, cells, screen)
    lines = _row_lines([_head(c, u, screen) for c, u in zip(table.columns, units, strict=True)], table.columns, widths)
    rule = ("─" if lines and screen.say("─") == "─" else "-") * (sum(widths) + _GAP * (len(widths) - 1))
    lines.append("  " + rule)
    for row in cells:
        lines += _row_lines([screen.say(one.text) for one in row], table.columns, widths)
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


def _head(column: Column, unit: str, screen: Screen) -> str:
    words = column.short or column.label
    return screen.say(f"{words}, {unit}" if unit else words)


def _widths(
    columns: Sequence[Column], cells: Sequence[Sequence[Shown]], units: Sequence[str], screen: Screen
) -> list[int]:
    widths = []
    for i, column in enumerate(columns):
        longest_word = max(cell_width(word) for word in _head(column, units[i], screen).split(" "))
        texts = [screen.say(row[i].text) for row in cells]
        if column.measure is Measure.WORDS:
            needed = min(_WIDEST_WORDS, max(cell_width(text) for text in texts))
            longest_word = max([longest_word, *(cell_width(w) for text in texts for w in text.split(" ")
                                                if cell_width(w) <= _WIDEST_WORDS)])  # fmt: skip
        else:
            needed = max(cell_width(text) if " " not in text else _longest(text) for text in texts)
        widths.append(max(needed, longest_word))
    return widths


def _longest(text: str) -> int:
    return max(cell_width(word) for word in text.split(" "))


def _row_lines(texts: Sequence[str], columns: Sequence[Column], widths: Sequence[int]) -> list[str]:
    wrapped = [wrap(text, width) for text, width in zip(texts, widths, strict=True)]
    lines = []
    for at in range(max(len(one) for one in wrapped)):
        parts = []
        for words, column, width in zip(wrapped, columns, widths, strict=True):
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
        lines += [f"  {line}" for line in _narrower(screen).figures(rest)]
    return lines[1:]


def _narrower(screen: Screen) -> Screen:
    return Screen(screen.width - 2, screen.signs, screen.weight)
