"""One row of the inputs: value, unit, basis, source, range, name; framed where it may be changed."""

from __future__ import annotations

from dataclasses import dataclass

from openpyxl.styles import Alignment

from ledger.model.ledger import Ledger
from ledger.model.values import MoneyRange, Spread
from ledger.views.live import MAY_CHANGE, Live, framed, label
from ledger.views.sheet import Sheet, put_text


@dataclass(frozen=True, slots=True)
class Entry:
    """A row: words, value, unit, how it is shown, how it is known and from where, its range."""

    label: str
    value: float | str
    unit: str
    form: str = "General"
    basis: str = ""
    source: str = ""
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class Form:
    """A number's unit, how it is shown, and where it is from."""

    unit: str
    form: str
    source: str = ""


RATE = Form("a year", "0.00%")


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
        return self.put(name, Entry(words, value.likely, form.unit, form.form, value.basis.value, said, low, high))

    def put(self, name: str, entry: Entry, *, here: str = MAY_CHANGE) -> str:
        """A row; the name that its value got."""
        sheet = self.sheet
        label(sheet, entry.label)
        for column, value in ((2, entry.value), (6, entry.low), (7, entry.high)):
            self._value(column, value, entry.form)
        for column, text in ((3, entry.unit), (4, entry.basis), (5, entry.source), (8, here)):
            cell = put_text(sheet.page.cell(sheet.at, column), text)
            cell.alignment = Alignment(wrap_text=True, vertical="top", horizontal="left", indent=1)
        if here == MAY_CHANGE:
            framed(sheet, 2)
        given = self.live.name(name, sheet, 2)
        sheet.note(9, given)
        sheet.at += 1
        return given

    def _value(self, column: int, value: float | str | None, form: str) -> None:
        cell = self.sheet.page.cell(self.sheet.at, column)
        if isinstance(value, str):
            put_text(cell, value).alignment = Alignment(wrap_text=True, horizontal="right", vertical="top")
        elif value is not None:
            cell.value, cell.number_format = float(value), form
            cell.alignment = Alignment(vertical="top")
