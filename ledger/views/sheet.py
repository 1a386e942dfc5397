"""One sheet of a workbook: text that stays text, figures with formats, widths, frozen heads, a page that prints."""

from __future__ import annotations

import datetime
import io
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from openpyxl import Workbook
from openpyxl.cell.cell import Cell as SheetCell
from openpyxl.styles import Alignment, Border, Font, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from ledger.model.ledger import Show
from ledger.views.figures import PARTS_OF_ONE, Measure, Style, in_unit, unit_of
from ledger.views.tables import Cell, Table
from ledger.views.text import cell_width, clean, fit_cells, wrap

MOST_SIGNS = 32_000
NARROWEST, WIDEST = 7, 46
LINE_POINTS, HIGHEST_POINTS = 14.5, 409.0
_RUNS_ON, _FIGURE = 30, 11
_A4, _LETTER = 9, 1
_LOOKS_LIKE_FORMULA = ("=", "+", "-", "@")
_RULE = Border(bottom=Side(style="thin"))
_FIXED_TIME = (1980, 1, 1, 0, 0, 0)
_FIXED_DAY = datetime.datetime(2000, 1, 1)
_CORE = "docProps/core.xml"


class Paper(Enum):
    """Which way a page lies."""

    UPRIGHT = "portrait"
    ACROSS = "landscape"


@dataclass(slots=True)
class Sheet:
    """A sheet being filled from the top; `at` is the row that comes next."""

    page: Worksheet
    style: Style
    at: int = 1

    def words(self, text: str, *, bold: bool = False, size: int = 11, across: int = 1) -> None:
        """A line of text; with `across`, it runs over that many columns and wraps."""
        cell = put_text(self.page.cell(self.at, 1), text)
        cell.font = letters(bold=bold, size=size)
        if across > 1:
            self.page.merge_cells(start_row=self.at, end_row=self.at, start_column=1, end_column=across)
            cell.alignment = Alignment(wrap_text=True, vertical="top")
        self.at += 1

    def blank(self) -> None:
        """An empty line."""
        self.at += 1

    def head(self, labels: Sequence[str], *, right: Sequence[int] = ()) -> None:
        """Column heads, bold with a rule under them; the columns named in `right` hold figures."""
        for column, label in enumerate(labels, start=1):
            cell = put_text(self.page.cell(self.at, column), label)
            cell.font = letters(bold=True)
            cell.border = _RULE
            side = "right" if column in right else "left"
            step = int(side == "left" and column > 1)
            cell.alignment = Alignment(wrap_text=True, vertical="bottom", horizontal=side, indent=step)
        self.at += 1

    def table(self, table: Table) -> None:
        """A table of results: heads with units, then every row."""
        heads = []
        for column in table.columns:
            unit = unit_of(column.measure, self.style)
            heads.append(f"{column.label}, {unit}" if unit and unit != "%" else column.label)
        self.head(heads, right=[n for n, c in enumerate(table.columns, start=1) if c.measure is not Measure.WORDS])
        for row in table.rows:
            for place, (value, column) in enumerate(zip(row, table.columns, strict=True), start=1):
                self.figure(place, value, column.measure, if_none=column.if_none)
            self.at += 1

    def figure(self, column: int, value: Cell, measure: Measure, *, if_none: str = "not known") -> SheetCell:
        """One figure in the current row, unrounded, in the ledger's units, with a format of its kind."""
        cell: SheetCell = self.page.cell(self.at, column)
        if value is None:
            put_text(cell, if_none).alignment = Alignment(horizontal="right", vertical="top")
        elif isinstance(value, bool):
            put_text(cell, "yes" if value else "no").alignment = Alignment(horizontal="left", vertical="top", indent=1)
        elif isinstance(value, str):
            put_text(cell, value).alignment = Alignment(horizontal="left", wrap_text=True, vertical="top", indent=1)
        else:
            share = measure in PARTS_OF_ONE
            cell.value = float(value) if share else in_unit(float(value), measure, self.style)
            cell.number_format = number_format(measure, self.style)
            cell.alignment = Alignment(vertical="top")
        return cell

    def note(self, column: int, text: str) -> SheetCell:
        """A short text in the current row, a step away from the figure on its left."""
        cell = put_text(self.page.cell(self.at, column), text)
        cell.alignment = Alignment(horizontal="left", vertical="top", indent=1)
        return cell

    def sideways(self, table: Table) -> None:
        """A table turned on its side: one line a figure, one column a row, for what has more figures than rows."""
        names = [str(row[0]) for row in table.rows]
        self.head(["", *names, ""], right=range(2, len(names) + 2))
        freeze_heads(self, row=self.at, column=2)
        for place, column in enumerate(table.columns[1:], start=1):
            put_text(self.page.cell(self.at, 1), column.label)
            for number, row in enumerate(table.rows, start=2):
                cell = self.figure(number, row[place], column.measure, if_none=column.if_none)
                cell.alignment = Alignment(horizontal="right", wrap_text=isinstance(row[place], str))
            unit = unit_of(column.measure, self.style)
            self.note(len(names) + 2, "" if unit == "%" else unit)
            self.at += 1

    def formula(self, column: int, formula: str, measure: Measure) -> SheetCell:
        """A live formula in the current row."""
        cell: SheetCell = self.page.cell(self.at, column)
        cell.value = formula
        cell.number_format = number_format(measure, self.style)
        cell.alignment = Alignment(vertical="top")
        return cell


def paragraph(sheet: Sheet, text: str, *, across: int = 8, letters_wide: int = 105) -> None:
    """A merged line, high enough for its text at the width of the columns below it."""
    sheet.words(text, across=across)
    lines = max(1, -(-len(text) // letters_wide))
    sheet.page.row_dimensions[sheet.at - 1].height = min(HIGHEST_POINTS, LINE_POINTS * lines)


def letters(*, bold: bool = False, size: int = 11) -> Font:
    """The one face that all sheets are set in."""
    return Font(name="Calibri", bold=bold, size=size)


def put_text(cell: SheetCell, text: str) -> SheetCell:
    """Text that stays text, whatever it begins with."""
    safe = fit_cells(clean(text), MOST_SIGNS)
    cell.value = safe
    if safe.startswith(_LOOKS_LIKE_FORMULA):
        cell.data_type = "s"
        cell.quotePrefix = True
    return cell


def number_format(measure: Measure, style: Style) -> str:
    """How a figure of a kind is shown; the cell holds it unrounded."""
    coin = f"#,##0.{'0' * style.coin_digits}" if style.coin_digits else "#,##0"
    match measure:
        case Measure.MONEY | Measure.COIN:
            return f"{coin};-{coin}"
        case Measure.PRICE | Measure.PRICE_PER_KWH | Measure.COST_PER_DEGREE_DAY | Measure.DENSITY:
            return "0.0000"
        case Measure.RATIO:
            return "0.00"
        case Measure.RATE | Measure.SHARE | Measure.CHANCE:
            return "0.0%"
        case Measure.TEMPERATURE | Measure.DIFFERENCE | Measure.YEARS:
            return "#,##0.0"
        case Measure.POWER:
            return "#,##0" if style.show is Show.US else "#,##0.0"
        case Measure.YEAR_NUMBER | Measure.COUNT:
            return "0.##" if measure is Measure.COUNT else "0"
        case _:
            return "#,##0"


def new_sheet(book: Workbook, name: str, style: Style, *, title: str, paper: Paper) -> Sheet:
    """An empty sheet that prints on one page across, A4 or Letter after the ledger's units."""
    page = book.create_sheet(name)
    page.page_setup.orientation = paper.value
    page.page_setup.paperSize = _LETTER if style.show is Show.US else _A4
    page.page_setup.fitToWidth, page.page_setup.fitToHeight = 1, 0
    page.sheet_properties.pageSetUpPr.fitToPage = True
    page.oddHeader.left.text = clean(title).replace("&", "&&")[:120]
    page.oddHeader.right.text = "&A"
    page.oddFooter.right.text = "&P / &N"
    page.sheet_view.showGridLines = False
    return Sheet(page, style)


def freeze_heads(sheet: Sheet, *, row: int, column: int = 1) -> None:
    """Keep what stands above a row (and left of a column) in sight, and print the row above it on every page."""
    sheet.page.freeze_panes = f"{get_column_letter(column)}{row}"
    sheet.page.print_title_rows = f"{row - 1}:{row - 1}"


def set_widths(
    sheet: Sheet, *, widest: int = WIDEST, first: int | None = None, wide: Mapping[int, int] | None = None
) -> None:
    """Make every column as wide as what stands in it, within limits; or as wide as said, the first or any by number.

    Merged lines do not count, nor does a text that may run on over empty cells beside it.
    """
    merged = {(r.min_row, r.min_col) for r in sheet.page.merged_cells.ranges}
    given = {**({} if first is None else {1: first}), **(wide or {})}
    for column in sheet.page.iter_cols():
        needed, number = NARROWEST, column[0].column
        for cell in column:
            if cell.value is None or (cell.row, cell.column) in merged or _runs_on(cell):
                continue
            needed = max(needed, _wide(cell) + 2)
        sheet.page.column_dimensions[get_column_letter(number)].width = given.get(number, min(widest, needed))
    _set_heights(sheet, merged)


def print_in_parts(sheet: Sheet, *, last_row: int, parts: Sequence[tuple[int, int]], more: Sequence[str] = ()) -> None:
    """Print a wide table in parts, each on a page of its own with the first column beside it.

    `parts`: first and last column of each; `more`: areas that come after them.
    """
    areas = [f"{get_column_letter(one)}1:{get_column_letter(two)}{last_row}" for one, two in parts]
    sheet.page.print_area = ",".join([*areas, *more])
    if len(parts) > 1:
        sheet.page.print_title_cols = "A:A"


def _runs_on(cell: SheetCell) -> bool:
    """Whether a long text may run over the cells beside it: not wrapped, and nothing stands to its right."""
    if not isinstance(cell.value, str) or cell.data_type == "f" or cell.alignment.wrap_text:
        return False
    beside = cell.parent.cell(cell.row, cell.column + 1).value if cell.parent.max_column > cell.column else None
    return cell_width(cell.value) > _RUNS_ON and beside is None and cell.alignment.horizontal != "right"


def _set_heights(sheet: Sheet, merged: set[tuple[int, int]]) -> None:
    """Make every row high enough for the text that wraps in it; not every program does so by itself."""
    for row in sheet.page.iter_rows():
        lines = 1
        for cell in row:
            if isinstance(cell.value, str) and cell.alignment.wrap_text and (cell.row, cell.column) not in merged:
                room = int(sheet.page.column_dimensions[cell.column_letter].width) - 1
                room -= int(bool(cell.font.bold)) + int(cell.alignment.indent)
                lines = max(lines, len(wrap(cell.value, max(4, room))))
        if lines > 1:
            sheet.page.row_dimensions[row[0].row].height = min(HIGHEST_POINTS, LINE_POINTS * lines)


def _wide(cell: SheetCell) -> int:
    """Columns that a cell wants: a figure eleven, a text its length, a text that may wrap its longest word or 24."""
    if not isinstance(cell.value, str) or cell.data_type == "f":
        return _FIGURE
    whole = cell_width(cell.value)
    longest = max(cell_width(word) for word in cell.value.split(" "))
    if not cell.alignment.wrap_text:
        return whole + int(cell.alignment.indent)
    return min(whole, max(longest, 12 if cell.alignment.vertical == "bottom" else 24))


def book_bytes(book: Workbook) -> bytes:
    """The workbook as a file whose bytes depend on its content alone: no hour of making, no order of chance."""
    book.properties.creator = "warmledger"
    book.properties.created = _FIXED_DAY
    raw = io.BytesIO()
    book.save(raw)
    fixed = io.BytesIO()
    with zipfile.ZipFile(raw) as made, zipfile.ZipFile(fixed, "w", zipfile.ZIP_DEFLATED) as kept:
        for entry in made.infolist():
            content = made.read(entry)
            if entry.filename == _CORE:
                content = _without_hour(content)
            info = zipfile.ZipInfo(entry.filename, _FIXED_TIME)
            info.compress_type = zipfile.ZIP_DEFLATED
            info.external_attr = 0o600 << 16
            kept.writestr(info, content)
    return fixed.getvalue()


def _without_hour(core: bytes) -> bytes:
    """The properties of the document with the fixed day as the last change."""
    begin = core.index(b"<dcterms:modified")
    begin = core.index(b">", begin) + 1
    end = core.index(b"</dcterms:modified>")
    return core[:begin] + _FIXED_DAY.strftime("%Y-%m-%dT%H:%M:%SZ").encode() + core[end:]
