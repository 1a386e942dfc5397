"""One row of the inputs: value, unit, basis, source, range, name; framed where it may be changed."""

from __future__ import annotations

from dataclasses import dataclass

from openpyxl.styles import Alignment

from ledger.model.ledger import Ledger
from ledger.model.values import MoneyRange, Spread
from ledger.views.live import MAY_CHANGE, Live, framed, label
from ledger.views.sheet import Sheet, put_text
from ledger.views.text import cell_width


@dataclass(frozen=True, slots=True)
class Entry:
    """A row: words, value, unit, how it is shown, how it is known and from where, its range.

    `follows`: a formula that gives the value as long as nothing is typed over it; it may be changed like a value.
    """

    label: str
    value: float | str
    unit: str
    form: str = "General"
    basis: str = ""
    source: str = ""
    low: float | None = None
    high: float | None = None
    follows: str | None = None


@dataclass(frozen=True, slots=True)
class Form:
    """A number's unit, how it is shown, where it is from, and the formula that it follows if any."""

    unit: str
    form: str
    source: str = ""
    follows: str | None = None


RATE = Form("a year", "0.00%")
FOLLOWS = "a formula until typed over"
_ONE_LINE = 105
"""Signs of a text that may run on over the empty cells beside it."""


@dataclass(frozen=True, slots=True)
class Pad:
    """The sheet of inputs being filled."""

    live: Live
    sheet: Sheet

    @property
    def ledger(self) -> Ledger:
        """What was read."""
        return self.live.appraisal.source

    @property
    def coin(self) -> str:
        """The ledger's currency."""
        return self.ledger.terms.currency

    def money(self, name: str, words: str, value: MoneyRange, *, source: str = "") -> str:
        """A row of money; its name."""
        ranged = value.low != value.high
        low, high = (float(value.low), float(value.high)) if ranged else (None, None)
        likely, said = float(value.likely), source or value.note
        return self.put(name, Entry(words, likely, self.coin, "#,##0.00", value.basis.value, said, low, high))

    def spread(self, name: str, words: str, value: Spread, form: Form) -> str:
        """A row of a number; its name."""
        ranged = not value.exact and value.low != value.high
        low, high = (value.low, value.high) if ranged else (None, None)
        said = form.source or value.note
        if form.follows is not None:
            said = f"{said}, {FOLLOWS}" if said else FOLLOWS
        shown = (form.unit, form.form, value.basis.value, said, low, high, form.follows)
        return self.put(name, Entry(words, value.likely, *shown))

    def put(self, name: str, entry: Entry, *, here: str = MAY_CHANGE) -> str:
        """A row; the name that its value got."""
        sheet = self.sheet
        label(sheet, entry.label)
        for column, text in ((3, entry.unit), (4, entry.basis), (5, entry.source), (8, here)):
            if not text:
                continue
            cell = put_text(sheet.page.cell(sheet.at, column), text)
            cell.alignment = Alignment(wrap_text=True, vertical="top", horizontal="left", indent=1)
        for column, value in ((2, entry.value), (6, entry.low), (7, entry.high)):
            self._value(column, value, entry.form)
        if entry.follows is not None:
            sheet.page.cell(sheet.at, 2).value = entry.follows
        if here == MAY_CHANGE:
            framed(sheet, 2)
        given = self.live.name(name, sheet, 2)
        sheet.note(9, given)
        sheet.at += 1
        return given

    def _value(self, column: int, value: float | str | None, form: str) -> None:
        cell = self.sheet.page.cell(self.sheet.at, column)
        if isinstance(value, str):
            runs_on = not self.sheet.page.cell(self.sheet.at, 3).value and cell_width(value) <= _ONE_LINE
            put_text(cell, value).alignment = Alignment(
                wrap_text=not runs_on, vertical="top", horizontal="left", indent=1
            )
        elif value is not None:
            cell.value, cell.number_format = float(value), form
            cell.alignment = Alignment(vertical="top")
