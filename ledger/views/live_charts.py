"""Charts that the spreadsheet program draws itself: the running sum, the ways to heat, the nights of the winter."""

from __future__ import annotations

from openpyxl.chart import BarChart, LineChart, Reference
from openpyxl.utils import get_column_letter

from ledger.views.live import Live
from ledger.views.live_nights import HEADS as NIGHT_HEADS
from ledger.views.live_nights import NightPlaces
from ledger.views.live_ways import ALL, NAME
from ledger.views.live_years import FIRST, SUM, SUM_TODAY, YEAR, YearPlaces

_DASHES = ("solid", "dash", "sysDot")
_INK = ("22324A", "A4552A", "5B7F3B")
_ROW_CM = 0.5


def draw_charts(live: Live, years: YearPlaces, plans: dict[str, int], nights: NightPlaces) -> None:
    """One below each table that it is drawn from; lines differ by dash, not by colour alone."""
    coin = live.appraisal.source.terms.currency
    chart = _line("Running sum, costs negative", coin, "Year")
    page = years.sheet.page
    chart.add_data(Reference(page, min_col=SUM, max_col=SUM_TODAY, min_row=FIRST - 1, max_row=years.last),
                   titles_from_data=True)  # fmt: skip
    chart.set_categories(Reference(page, min_col=YEAR, min_row=FIRST, max_row=years.last))
    _dashes(chart)
    page.add_chart(chart, f"A{years.last + 4}")
    if plans:
        _ways(live, plans, coin)
    if nights.last >= nights.first:
        _nights(live, nights)


def _ways(live: Live, plans: dict[str, int], coin: str) -> None:
    page = live.book["ways to heat"]
    rows = plans.values()
    chart = BarChart()
    chart.type, chart.style, chart.legend = "bar", 1, None
    chart.title, chart.y_axis.title = "All years (life-cycle cost)", coin
    chart.add_data(Reference(page, min_col=ALL, min_row=min(rows), max_row=max(rows)))
    chart.set_categories(Reference(page, min_col=NAME, min_row=min(rows), max_row=max(rows)))
    chart.series[0].graphicalProperties.solidFill = _INK[0]
    chart.y_axis.number_format, chart.y_axis.majorGridlines = "#,##0", None
    chart.x_axis.scaling.orientation = "maxMin"
    chart.x_axis.delete = chart.y_axis.delete = False
    chart.width, chart.height = 26, 4 + 0.8 * len(plans)
    below, lines = page.max_row, 3 + int(chart.height / _ROW_CM)
    page.add_chart(chart, f"A{below + 2}")
    last, end = max(rows), below + 2 + lines
    page.print_area = f"A1:I{last},J1:R{last},A{last + 2}:I{below},A{below + 2}:I{end}"
    page.print_title_cols = "A:A"


def _nights(live: Live, nights: NightPlaces) -> None:
    page = live.book["nights"]
    chart = _line("Nights: coldest hour", nights.unit, "")
    for column in nights.lines:
        chart.add_data(Reference(page, min_col=column, min_row=nights.first - 1, max_row=nights.last),
                       titles_from_data=True)  # fmt: skip
    chart.set_categories(Reference(page, min_col=1, min_row=nights.first, max_row=nights.last))
    _dashes(chart)
    page.add_chart(chart, f"{nights.beside}2")
    whole = f"A1:{get_column_letter(len(NIGHT_HEADS))}{page.max_row}"
    page.print_area = f"{whole},{nights.beside}1:{nights.beside_last}{3 + int(chart.height / _ROW_CM)}"


def _line(title: str, unit: str, across: str) -> LineChart:
    chart = LineChart()
    chart.title, chart.y_axis.title = title, unit
    if across:
        chart.x_axis.title = across
    chart.x_axis.delete = chart.y_axis.delete = False
    chart.y_axis.number_format, chart.y_axis.majorGridlines = "#,##0", None
    chart.x_axis.tickLblPos = "low"
    chart.legend.position = "b"
    chart.width, chart.height = 26, 9
    return chart


def _dashes(chart: LineChart) -> None:
    for series, dash, ink in zip(chart.series, _DASHES, _INK, strict=False):
        series.graphicalProperties.line.dashStyle = dash
        series.graphicalProperties.line.solidFill = ink
        series.graphicalProperties.line.width = 22000
        series.smooth = False
