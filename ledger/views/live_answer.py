"""The first sheet: the answer in words, each headline figure twice, and whether the two agree."""

from __future__ import annotations

from openpyxl.styles import Alignment

from ledger.appraisal import Appraisal
from ledger.views.answer import ESTIMATE_ONLY, VERDICTS
from ledger.views.doubts import FIND_OUT
from ledger.views.figures import Measure, unit_of
from ledger.views.live import Live, agreement, label
from ledger.views.live_worth import Figure
from ledger.views.row import is_placeholder
from ledger.views.rows import headline_rows
from ledger.views.sheet import Paper, Sheet, paragraph, set_widths
from ledger.views.text import sentence

PLACEHOLDER_NOTE = (
    "Low and high are the two ends of a span; the value between them is a placeholder, since the bare house is only "
    "assumed."
)
EMPTY_LIVE = (
    "As filed: what the program reckoned. Live: the same by formula, from the sheet of inputs. Where the live column "
    "is empty or shows 0, this program has not calculated yet: open the file in a spreadsheet program (not a preview), "
    "allow editing, and have it recalculate all (often Ctrl+Shift+F9). Where they do not agree, an input was changed: "
    "then the live column is the answer to the changed inputs, and the words above are those of the filed one."
)


def answer_sheet(live: Live) -> Sheet:
    """The words of the answer; the figures are filled in by `fill_answer` once all sheets stand."""
    a = live.appraisal
    sheet = live.sheet("answer", Paper.ACROSS)
    sheet.words(a.identity.title or "Growing house", bold=True, size=14)
    for words, text in (("for", a.source.prepared_for), ("by", a.source.prepared_by), ("why", a.source.purpose)):
        if text:
            sheet.words(f"{words}: {text}")
    sheet.blank()
    sheet.words(VERDICTS.get(a.verdict, a.verdict), bold=True, size=12)
    paragraph(sheet, sentence(a.why))
    if is_placeholder(a):
        paragraph(sheet, FIND_OUT)
    sheet.blank()
    return sheet


def fill_answer(live: Live, sheet: Sheet, figures: tuple[Figure, ...], rows: dict[str, int], checks: str) -> None:
    """Headline figures first, then the other live ones, then what to do when the live column is empty."""
    a = live.appraisal
    sheet.head(("", "As filed", "Live", "Unit", "Agrees", "Low", "High", "From"), right=(2, 3, 6, 7))
    shown = set()
    for row in headline_rows(a):
        shown.add(row.key)
        label(sheet, row.label)
        sheet.figure(2, row.value, row.measure, if_none=row.if_none)
        _live(sheet, rows.get(row.key), row.measure, row.if_none)
        sheet.note(4, unit_of(row.measure, sheet.style))
        for column, value in ((6, row.low), (7, row.high)):
            if value is not None:
                sheet.figure(column, value, row.measure)
        sheet.note(8, row.source)
        sheet.at += 1
    if is_placeholder(a):
        paragraph(sheet, PLACEHOLDER_NOTE)
    sheet.blank()
    paragraph(sheet, EMPTY_LIVE)
    sheet.blank()
    sheet.head(("The others", "As filed", "Live", "Unit", "Agrees"), right=(2, 3))
    for figure in figures:
        if figure.key in shown:
            continue
        label(sheet, figure.words)
        sheet.figure(2, figure.filed, figure.measure)
        _live(sheet, rows[figure.key], figure.measure, "")
        sheet.note(4, unit_of(figure.measure, sheet.style).replace("%", ""))
        sheet.at += 1
    sheet.blank()
    label(sheet, "Does every total come out the same a second way? (sheet adds up)")
    sheet.page.cell(sheet.at, 3).value = f"={checks}"
    sheet.page.cell(sheet.at, 3).alignment = Alignment(horizontal="right", vertical="top")
    sheet.at += 2
    paragraph(sheet, ESTIMATE_ONLY)
    paragraph(sheet, _identity(a))
    set_widths(sheet, first=46)
    sheet.page.page_setup.fitToHeight = 1


def _live(sheet: Sheet, row: int | None, measure: Measure, words: str) -> None:
    if row is None:
        sheet.figure(3, None, measure, if_none=words or "not known")
    else:
        sheet.formula(3, f"='worth'!$B${row}", measure).alignment = Alignment(horizontal="right", vertical="top")
    cell = sheet.page.cell(sheet.at, 5)
    cell.value = agreement(f"C{sheet.at}", f"B{sheet.at}")
    cell.alignment = Alignment(horizontal="left", indent=1, vertical="top")


def _identity(a: Appraisal) -> str:
    return f"{a.program.name} {a.program.version}; ledger {a.identity.file} {a.identity.sha256[:12]}; logs: where from"
