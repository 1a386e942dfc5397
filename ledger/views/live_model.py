"""The fitted house model in the workbook: what was fitted, why it is believed or not, each build's part, what-ifs."""

from __future__ import annotations

from ledger.heat.housemodel.answer import SeasonModel
from ledger.views.adds_up_rows import Pair, pairs_of_heat
from ledger.views.figures import Measure, unit_of
from ledger.views.live import Live, label
from ledger.views.model_rows import (
    NOT_BELIEVED,
    SIZE_WORDS,
    fan_words,
    held_out_words,
    last_told,
    no_difference_words,
    shared_words,
    split_table,
    split_words,
    what_if_table,
)
from ledger.views.row import style_of
from ledger.views.sheet import Paper, Sheet, freeze_heads, paragraph, put_text, set_widths

NAME = "house model"
ADDS_UP = "adds up"
_FITTED = ("Fitted figure", "Value", "Before the log", "low", "high", "Unit")
_ACROSS = 6


def model_sheet(live: Live) -> None:
    """A sheet of its own for the newest season that the model ran; none where it ran none."""
    a = live.appraisal
    season = last_told(a)
    if season is None or a.model is None:
        return
    sheet = live.sheet(NAME, Paper.UPRIGHT)
    _figures(sheet, season)
    sheet.blank()
    _belief(sheet, season, a.model.why_not)
    told = season.answer.told
    for table, words in (
        (split_table(told, a), (shared_words(told, a), split_words(a))),
        (
            what_if_table(told, a) if season.believed else None,
            (SIZE_WORDS, no_difference_words(told, a), fan_words(told, a)),
        ),
    ):
        if table is None:
            continue
        sheet.blank()
        sheet.table(table)
        for text in (*words, "" if season.believed else NOT_BELIEVED):
            if text:
                paragraph(sheet, text, across=_ACROSS)
    set_widths(sheet, widest=16, first=44)


def heat_pairs(live: Live) -> None:
    """Heat figures side by side under the totals of the sheet that adds up."""
    pairs = pairs_of_heat(live.appraisal)
    if not pairs:
        return
    page = live.book[ADDS_UP]
    sheet = Sheet(page, style_of(live.appraisal), page.max_row + 2)
    sheet.head(("Heat that must agree (values)", "One figure", "The other", "What it says"), right=(2, 3))
    for pair in pairs:
        _pair(sheet, pair)
    set_widths(sheet, first=70, wide={4: 40})


def _pair(sheet: Sheet, pair: Pair) -> None:
    unit = unit_of(pair.measure, sheet.style)
    label(sheet, f"Season {pair.season}, {pair.words}{f', {unit}' if unit else ''}")
    sheet.figure(2, pair.one, pair.measure)
    sheet.figure(3, pair.other, pair.measure)
    sheet.figure(4, pair.said, Measure.WORDS)
    sheet.at += 1


def _figures(sheet: Sheet, season: SeasonModel) -> None:
    sheet.head(_FITTED, right=(2, 3, 4, 5))
    freeze_heads(sheet, row=2)
    for one in season.figures:
        label(sheet, one.figure[0].upper() + one.figure[1:])
        for column, value in ((2, one.value), (3, one.prior), (4, one.low), (5, one.high)):
            cell = sheet.figure(column, value, Measure.RATIO)
            cell.number_format = "#,##0.00" if abs(value) < 1e4 else "0.00E+00"
        sheet.note(6, one.unit)
        sheet.at += 1
    sheet.words("Low to high in eight cases of ten, as the log and what was known before leave it.")


def _belief(sheet: Sheet, season: SeasonModel, why_not: tuple[str, ...]) -> None:
    sheet.words(f"Is it believed? Season {season.season}: {'yes' if season.believed else 'no'}", bold=True)
    for reason in why_not:
        paragraph(sheet, reason, across=_ACROSS)
    paragraph(sheet, held_out_words(season), across=_ACROSS)
    fixed = ", ".join(season.contrasts) or "nothing"
    paragraph(sheet, f"What in the log fixes kilowatt-hours and not only ratios: {fixed}.", across=_ACROSS)
    if season.far:
        paragraph(sheet, f"Far from what was known before: {', '.join(season.far)}.", across=_ACROSS)
    for words, share in season.structures.items():
        put_text(sheet.page.cell(sheet.at, 1), f"Say of the {words}")
        sheet.figure(2, share, Measure.SHARE)
        sheet.at += 1
