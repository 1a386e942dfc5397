"""The sheet of what is recovered so far: running sums by formulas, and their chart."""

from __future__ import annotations

from openpyxl.chart import LineChart, Reference

from ledger.views.figures import Measure
from ledger.views.live import Live
from ledger.views.season_sums import season_sums
from ledger.views.sheet import Paper, Sheet, put_text, set_widths

NAME = "recovered"
_HEADS = ("Season", "Left over", "Recovered so far", "The plan so far", "To be recovered")
_DASHES = (("solid", "diamond"), ("dash", "none"), ("sysDot", "none"))
_INK = "22324A"
_WHAT = (
    "The plan is the net saving of a typical year as the first season told it, at prices of the base date. What is "
    "left over is each season's own, in its own weather and at its own prices, as filed."
)


def recovered_sheet(live: Live) -> None:
    """Each season's saving as filed; its running sum, the plan's, and the chart of both by the spreadsheet itself."""
    sheet = live.sheet(NAME, Paper.ACROSS)
    sums = season_sums(live.appraisal)
    if sums is None:
        sheet.words("Not yet: it takes two seasons whose saving is known, and more than an assumed lift.")
        set_widths(sheet)
        return
    coin = live.appraisal.source.terms.currency
    sheet.head([f"{head}, {coin}" if n else head for n, head in enumerate(_HEADS)], right=range(2, 6))
    first = sheet.at
    put_text(sheet.page.cell(first, 1), "before")
    for column in (3, 4):
        sheet.figure(column, 0.0, Measure.COIN)
    sheet.figure(5, sums.to_recover, Measure.COIN)
    sheet.at += 1
    for name, saving in zip(sums.seasons, sums.savings, strict=True):
        row = sheet.at
        put_text(sheet.page.cell(row, 1), name)
        sheet.figure(2, saving, Measure.COIN)
        sheet.formula(3, f"=C{row - 1}+B{row}", Measure.COIN)
        sheet.formula(4, f"=D{row - 1}+B${first + len(sums.seasons) + 2}", Measure.COIN)
        sheet.formula(5, f"=E{row - 1}", Measure.COIN)
        sheet.at += 1
    last = sheet.at - 1
    sheet.at += 1
    put_text(sheet.page.cell(sheet.at, 1), "The plan, a season")
    sheet.figure(2, sums.plan_a_season, Measure.COIN)
    sheet.at += 1
    set_widths(sheet)
    sheet.words(_WHAT, across=8)
    sheet.page.row_dimensions[sheet.at - 1].height = 32
    _draw(sheet, coin, first, last)


def _draw(sheet: Sheet, coin: str, first: int, last: int) -> None:
    """Lines told apart by dash and mark."""
    chart = LineChart()
    chart.title, chart.y_axis.title = "Recovered so far, against the plan", coin
    chart.x_axis.delete = chart.y_axis.delete = False
    chart.y_axis.number_format, chart.y_axis.majorGridlines = "#,##0", None
    chart.x_axis.tickLblPos, chart.legend.position = "low", "b"
    chart.width, chart.height = 24, 9
    page = sheet.page
    chart.add_data(Reference(page, min_col=3, max_col=5, min_row=first - 1, max_row=last), titles_from_data=True)
    chart.set_categories(Reference(page, min_col=1, min_row=first, max_row=last))
    for series, (dash, mark) in zip(chart.series, _DASHES, strict=True):
        series.graphicalProperties.line.dashStyle = dash
        series.graphicalProperties.line.solidFill = _INK
        series.graphicalProperties.line.width = 22000
        series.marker.symbol = mark
        series.smooth = False
    page.add_chart(chart, f"A{sheet.at + 1}")
