"""The live workbook under construction: its sheets, the names of its cells, and formulas that say whether two agree."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from openpyxl import Workbook
from openpyxl.styles import Alignment, Border, Side
from openpyxl.utils import get_column_letter
from openpyxl.workbook.defined_name import DefinedName

from ledger.appraisal import Appraisal
from ledger.views.figures import Measure
from ledger.views.row import style_of
from ledger.views.sheet import Paper, Sheet, letters, new_sheet, put_text

PREFIX = "the_"
MAY_CHANGE = "may be changed"
NOT_HERE = "not here"
UNKNOWN = "not known"
_FRAME = Border(*(Side(style="medium") for _ in range(4)))
_CELL_LIKE = re.compile(r"^([a-z]{1,3}[0-9]+|r|c|r[0-9]*c[0-9]*|true|false)$")


@dataclass(slots=True)
class Live:
    """The book, the answer that it is made from, and every name given so far with the cell that it stands for."""

    book: Workbook
    appraisal: Appraisal
    names: dict[str, str] = field(default_factory=dict)

    @property
    def known(self) -> bool:
        """Whether the avoided heat and its worth could be reckoned."""
        return self.appraisal.typical_heat is not None and self.appraisal.worth.npv is not None

    def sheet(self, name: str, paper: Paper) -> Sheet:
        """A new sheet at the end of the book."""
        a = self.appraisal
        return new_sheet(self.book, name, style_of(a), title=a.identity.title, paper=paper)

    def name(self, wanted: str, sheet: Sheet, column: int) -> str:
        """Name a cell of the current row; the name that it got."""
        return self.name_at(wanted, sheet, sheet.at, column)

    def name_at(self, wanted: str, sheet: Sheet, row: int, column: int) -> str:
        """Name a cell; the name that it got: never one that is taken or could be a cell's address."""
        base = safe_name(wanted)
        name, count = base, 1
        while name in self.names:
            count += 1
            name = f"{base}_{count}"
        place = cell_of(sheet, row, column)
        self.names[name] = place
        self.book.defined_names[name] = DefinedName(name, attr_text=place)
        return name


def safe_name(wanted: str) -> str:
    """Any text as a name in snake case that no program takes for a cell."""
    plain = re.sub(r"[^a-z0-9]+", "_", wanted.lower()).strip("_")[:120]
    if not plain or not plain[0].isalpha() or _CELL_LIKE.match(plain):
        return PREFIX + (plain or "value")
    return plain


def cell_of(sheet: Sheet, row: int, column: int) -> str:
    """A cell's full address, fixed in both ways."""
    return f"'{sheet.page.title}'!${get_column_letter(column)}${row}"


def column_of(sheet: Sheet, column: int, first: int, last: int) -> str:
    """A stretch of a column's full address."""
    letter = get_column_letter(column)
    return f"'{sheet.page.title}'!${letter}${first}:${letter}${last}"


def row_of(sheet: Sheet, row: int, first: int, last: int) -> str:
    """A stretch of a row's full address."""
    return f"'{sheet.page.title}'!${get_column_letter(first)}${row}:${get_column_letter(last)}${row}"


def framed(sheet: Sheet, column: int) -> None:
    """Put a frame round a cell of the current row: it may be changed."""
    sheet.page.cell(sheet.at, column).border = _FRAME


def agreement(one: str, other: str) -> str:
    """A formula that says whether two cells agree: as numbers to a billionth, or both as words."""
    numbers = f"AND(ISNUMBER({one}),ISNUMBER({other}))"
    near = f"ABS({one}-{other})<=0.000000001*MAX(100,ABS({one}),ABS({other}))"
    words = f"AND(NOT(ISNUMBER({one})),NOT(ISNUMBER({other})))"
    return f'=IF({numbers},IF({near},"yes","no"),IF({words},"yes","no"))'


def say_agreement(sheet: Sheet, column: int, one: str, other: str) -> None:
    """The formula of `agreement` in the current row."""
    cell = sheet.page.cell(sheet.at, column)
    cell.value = agreement(one, other)
    cell.alignment = Alignment(horizontal="left", vertical="top", indent=1)


def label(sheet: Sheet, text: str, *, column: int = 1, bold: bool = False) -> None:
    """Words in the current row."""
    cell = put_text(sheet.page.cell(sheet.at, column), text)
    cell.font = letters(bold=bold)
    cell.alignment = Alignment(wrap_text=True, vertical="top")


def live_or_words(sheet: Sheet, column: int, formula: str | None, measure: Measure) -> None:
    """A formula in the current row, or the words for what is not known."""
    if formula is None:
        cell = put_text(sheet.page.cell(sheet.at, column), UNKNOWN)
        cell.alignment = Alignment(horizontal="right", vertical="top")
    else:
        sheet.formula(column, formula, measure)
