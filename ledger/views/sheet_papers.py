"""Sheets of what was read: seasons, holes of the record, where every figure comes from."""

from __future__ import annotations

from collections.abc import Sequence

from openpyxl.styles import Alignment

from ledger.errors import Notice
from ledger.series.holes import holes_of
from ledger.views.assumed import assumed_value
from ledger.views.figures import Measure, unit_of
from ledger.views.holes import REASONS
from ledger.views.live import Live
from ledger.views.row import Row
from ledger.views.rows import blocks
from ledger.views.sheet import Paper, Sheet, freeze_heads, paragraph, put_text, set_widths
from ledger.views.tables import season_table

_LETTERS_OF_A_WARNING = 125
_ROW_HEADS = ("", "Value", "Unit", "Low", "High", "Known by", "From", "Result key")


def seasons_sheet(live: Live) -> None:
    """Season by season, heat and money as filed."""
    sheet = live.sheet("seasons", Paper.UPRIGHT)
    table = season_table(live.appraisal)
    if not table.rows:
        sheet.words("There is no season yet: no log reaches into one.")
        set_widths(sheet)
        return
    sheet.sideways(table)
    set_widths(sheet)


def holes_sheet(live: Live) -> None:
    """Every stretch of the log that was not read well."""
    a = live.appraisal
    sheet = live.sheet("holes", Paper.UPRIGHT)
    if a.record is None:
        sheet.words("There is no log.")
        set_widths(sheet)
        return
    sheet.head(("From", "To", "Hours", "of them in the season", "Why"), right=(3, 4))
    freeze_heads(sheet, row=2)
    first = sheet.at
    for hole in holes_of(a.record, season=a.source.hold.season):
        put_text(sheet.page.cell(sheet.at, 1), hole.begins.isoformat(sep=" ", timespec="minutes"))
        put_text(sheet.page.cell(sheet.at, 2), hole.ends.isoformat(sep=" ", timespec="minutes"))
        sheet.figure(3, float(hole.hours), Measure.HOURS)
        sheet.figure(4, float(hole.hours_in_season), Measure.HOURS)
        sheet.note(5, REASONS.get(hole.reason, hole.reason))
        sheet.at += 1
    if sheet.at == first:
        sheet.words("None: every hour was read well.")
    else:
        put_text(sheet.page.cell(sheet.at, 1), "Sum")
        for column, letter in ((3, "C"), (4, "D")):
            sheet.formula(column, f"=SUM({letter}{first}:{letter}{sheet.at - 1})", Measure.HOURS)
    set_widths(sheet)


def sources_sheet(live: Live) -> None:
    """Which files, which program, every single figure with its basis, what was assumed, what was warned of."""
    a = live.appraisal
    sheet = live.sheet("where from", Paper.ACROSS)
    sheet.words("Files and program", bold=True, size=12)
    sheet.head(("File", "SHA-256 of what was read"))
    for file, digest in ((a.identity.file, a.identity.sha256), *((log.file, log.sha256) for log in a.identity.logs)):
        _texts(sheet, (file, digest))
    _texts(sheet, (a.program.name, a.program.version))
    sheet.blank()
    sheet.words("Every single figure, as filed", bold=True, size=12)
    for block in blocks(a):
        if block.rows:
            sheet.words(block.question, bold=True)
            _rows(sheet, block.rows)
    sheet.blank()
    sheet.head(("Assumed, since the ledger does not say", "Value", "", "", "", "", "Source"))
    for one in a.assumed:
        _texts(sheet, (one.path, assumed_value(one.value, a.source.show), "", "", "", "", one.source))
    sheet.blank()
    _warnings(sheet, a.warnings)
    set_widths(sheet, widest=40, wide={2: 16})


def _warnings(sheet: Sheet, warnings: Sequence[Notice]) -> None:
    sheet.head(("Warning", "", "", "", "", "", "About", "Line of the ledger"), right=(8,))
    for notice in warnings:
        put_text(sheet.page.cell(sheet.at, 7), notice.path).alignment = Alignment(vertical="top")
        if notice.line is not None:
            sheet.figure(8, float(notice.line), Measure.YEAR_NUMBER)
        paragraph(sheet, notice.text, across=6, letters_wide=_LETTERS_OF_A_WARNING)


def _texts(sheet: Sheet, texts: Sequence[str]) -> None:
    for column, text in enumerate(texts, start=1):
        if text:
            cell = put_text(sheet.page.cell(sheet.at, column), text)
            cell.alignment = Alignment(wrap_text=column in (1, 7), vertical="top")
    sheet.at += 1


def _rows(sheet: Sheet, rows: Sequence[Row]) -> None:
    sheet.head(_ROW_HEADS, right=(2, 4, 5))
    for row in rows:
        put_text(sheet.page.cell(sheet.at, 1), row.label).alignment = Alignment(wrap_text=True, vertical="top")
        cell = sheet.figure(2, row.value, row.measure, if_none=row.if_none)
        cell.alignment = Alignment(horizontal="right", vertical="top")
        sheet.note(3, unit_of(row.measure, sheet.style).replace("%", ""))
        for column, value in ((4, row.low), (5, row.high)):
            if value is not None:
                sheet.figure(column, value, row.measure)
        for column, text in ((6, row.basis), (7, row.source), (8, row.key)):
            sheet.note(column, text)
        sheet.at += 1
