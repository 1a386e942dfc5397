"""Prices year by year, each path in a column of its own, and what a later year is worth today."""

from __future__ import annotations

from dataclasses import dataclass

from openpyxl.styles import Alignment
from openpyxl.utils import get_column_letter as letter

from ledger.money.prices import electric_source, has_later_tariff
from ledger.views.figures import Measure
from ledger.views.live import Live, column_of, label
from ledger.views.live_inputs import InputNames, SourceNames
from ledger.views.sheet import Paper, Sheet, freeze_heads, set_widths

FIRST = 3
_TIME, _TODAY, _GROWN, _ELECTRICITY, _SOURCES = 2, 3, 4, 5, 6


@dataclass(frozen=True, slots=True)
class PricePlaces:
    """Where the prices stand: columns by source, the first and last year's row, and sums over the study."""

    sheet: Sheet
    last: int
    columns: dict[str, int]

    @property
    def sums(self) -> int:
        """The row that holds the worth today of one unit a year."""
        return self.last + 2

    def stretch(self, column: int) -> str:
        """Years 0 to N of a column."""
        return column_of(self.sheet, column, FIRST, self.last)

    def of_year(self, column: int, k: int) -> str:
        """One year's cell, its column fixed."""
        return f"'prices'!${letter(column)}${FIRST + k}"

    def whole(self, column: int) -> str:
        """What one unit bought every year is worth today, or one of money that grows as inflation does."""
        return f"'prices'!${letter(column)}${self.sums}"

    @property
    def discounts(self) -> tuple[str, str]:
        """Inflation's factor and the discount factor, years 0 to N."""
        return self.stretch(_GROWN), self.stretch(_TODAY)

    def source(self, name: str) -> int:
        """The column of a source's price."""
        return self.columns[name]

    grown: int = _GROWN
    today: int = _TODAY
    times: int = _TIME
    electricity: int = _ELECTRICITY


def price_sheet(live: Live, names: InputNames) -> PricePlaces:
    """Year by year: time, discount factor, inflation, the price of electricity and of each source's unit."""
    ledger = live.appraisal.source
    sheet = live.sheet("prices", Paper.ACROSS)
    coin = ledger.terms.currency
    label(sheet, f"Price of a unit year by year, {coin}; a later tariff takes the place of growth from its year on")
    sheet.page.cell(1, 1).alignment = Alignment(wrap_text=False)
    sheet.at = 2
    heads = ["Year", "Falls at, years", "1 then is worth today", "Grown by inflation", "Electricity, kWh"]
    heads += [f"{source.name}, {source.unit}" for source in ledger.sources]
    sheet.head(heads, right=range(1, len(heads) + 1))
    freeze_heads(sheet, row=FIRST, column=2)
    columns = {source.name: _SOURCES + place for place, source in enumerate(ledger.sources)}
    years = ledger.terms.study_years
    places = PricePlaces(sheet, FIRST + years, columns)
    for k in range(years + 1):
        row = sheet.at
        sheet.figure(1, float(k), Measure.YEAR_NUMBER)
        sheet.formula(_TIME, f"=IF(A{row}=0,0,A{row}-early_by_years)", Measure.RATIO)
        sheet.formula(_TODAY, f"=(1+discount_rate)^(-B{row})", Measure.PRICE)
        sheet.formula(_GROWN, f"=(1+inflation_in_flows)^A{row}", Measure.PRICE)
        sheet.formula(_ELECTRICITY, _electricity(live, names, places, row), Measure.PRICE)
        for name, column in columns.items():
            sheet.formula(column, path_formula(names.sources[name], row), Measure.PRICE)
        sheet.at += 1
    sheet.at = places.sums
    label(sheet, "One a year, today")
    for column in (_GROWN, _ELECTRICITY, *columns.values()):
        c = letter(column)
        first = FIRST + 1
        formula = f"=SUMPRODUCT({c}{first}:{c}{places.last},$C{first}:$C{places.last})"
        sheet.formula(column, formula, Measure.PRICE)
    set_widths(sheet, widest=16)
    return places


def path_formula(own: SourceNames, row: int) -> str:
    """The price of year A(row): base price grown, or the latest tariff begun, grown from its year."""
    formula = f"{own.price}*(1+{own.growth})^A{row}"
    for year, tariff in own.tariffs:
        formula = f"IF(A{row}>={year},{tariff}*(1+{own.growth})^MAX(A{row}-{year},0),{formula})"
    return f"={formula}"


def _electricity(live: Live, names: InputNames, places: PricePlaces, row: int) -> str:
    ledger = live.appraisal.source
    if ledger.electricity.price is not None:
        return f"=electricity_price*(1+electricity_price_growth)^A{row}"
    source = electric_source(ledger)
    if source is None:
        return "=0"
    own = names.sources[source.name]
    if has_later_tariff(source, base_date=ledger.terms.base_date):
        return f"={letter(places.source(source.name))}{row}/{own.heat_per_unit}"
    return f"={own.price}/{own.heat_per_unit}*(1+electricity_price_growth)^A{row}"
