"""The cash flow year by year, live: every stream from the inputs, its sums, and its worth today."""

from __future__ import annotations

from dataclasses import dataclass

from openpyxl.styles import Alignment
from openpyxl.utils import get_column_letter as letter

from ledger.views.figures import Measure
from ledger.views.live import Live, cell_of, column_of, label
from ledger.views.live_capital import W_END, W_PAID, W_YEARS, CapitalPlaces, WearPlaces
from ledger.views.live_heat import UNITS, WORK, HeatRow, HeatRows
from ledger.views.live_inputs import InputNames
from ledger.views.live_prices import PricePlaces
from ledger.views.sheet import Paper, Sheet, freeze_heads, letters, set_widths
from ledger.views.tables import CASH_COLUMNS

FIRST = 3
YEAR, CAPITAL, SAVING, RUNNING, UPKEEP, NEW, LEFT, NET, TODAY, SUM, SUM_TODAY, CASH, SAVED_FUEL = range(1, 14)


@dataclass(frozen=True, slots=True)
class Places:
    """Everything that the years hang on."""

    names: InputNames
    capital: CapitalPlaces
    wear: WearPlaces
    prices: PricePlaces
    heat: HeatRows

    def against(self, source: str) -> tuple[tuple[HeatRow, ...], tuple[HeatRow, ...]]:
        """A source's heat with nothing built, and with all of it."""
        return self.heat.get((source, None), ()), self.heat.get((source, 0), ())


@dataclass(frozen=True, slots=True)
class YearPlaces:
    """Where the years stand."""

    sheet: Sheet
    last: int

    def stretch(self, column: int, *, start: int = 0) -> str:
        """A column from a year on."""
        return column_of(self.sheet, column, FIRST + start, self.last)

    def year(self, column: int, k: int) -> str:
        """One year's cell."""
        return cell_of(self.sheet, FIRST + k, column)

    def total(self, column: int) -> str:
        """The sum of a column."""
        return cell_of(self.sheet, self.last + 1, column)


def years_sheet(live: Live, places: Places) -> YearPlaces:
    """Years 0 to N: costs negative, the saving against the headline's source."""
    ledger = live.appraisal.source
    sheet = live.sheet("years", Paper.ACROSS)
    label(sheet, f"In {ledger.terms.currency}, costs negative; saving against {ledger.terms.against}")
    sheet.page.cell(1, 1).alignment = Alignment(wrap_text=False)
    sheet.at = 2
    heads = [*(column.label for column in CASH_COLUMNS), "Cash, own work apart", "of the saving, fuel"]
    sheet.head(heads, right=range(1, len(heads) + 1))
    freeze_heads(sheet, row=FIRST, column=2)
    years = ledger.terms.study_years
    for k in range(years + 1):
        sheet.figure(YEAR, float(k), Measure.YEAR_NUMBER)
        for column, formula in _streams(live, places, k).items():
            sheet.formula(column, formula, Measure.COIN)
        sheet.at += 1
    label(sheet, "Sum", bold=True)
    for column in (*range(CAPITAL, SUM), CASH, SAVED_FUEL):
        c = letter(column)
        sheet.formula(column, f"=SUM({c}{FIRST}:{c}{sheet.at - 1})", Measure.COIN).font = letters(bold=True)
    set_widths(sheet, widest=14, first=8)
    return YearPlaces(sheet, FIRST + years)


def _streams(live: Live, places: Places, k: int) -> dict[int, str]:
    row = FIRST + k
    p, wear = places.prices, places.wear
    items = W_YEARS + k
    grown, today = p.of_year(p.grown, k), p.of_year(p.today, k)
    bought = f"SUMIF({places.capital.column(11)},$A{row},{places.capital.column(8)})"
    fuel = fuel_saved(live, places, k)
    work = work_saved(live, places)
    own = places.names.groups[0] if places.names.groups else None
    new = f"=-SUMPRODUCT({wear.of_items(items)},{wear.of_items(W_PAID)})*{grown}" if wear.items else "=0"
    last = k == live.appraisal.source.terms.study_years
    none = k == 0 or own is None
    running = "=0" if none or own is None else (
        f"=-({own.energy}*{p.of_year(p.electricity, k)}+({own.hours}*labour_rate+{own.other})*{grown})"
    )  # fmt: skip
    upkeep = "=0" if none or own is None else f"=-({own.upkeep}+{own.upkeep_hours}*labour_rate)*{grown}"
    paid = "=0" if none or own is None else (
        f"=M{row}-{own.energy}*{p.of_year(p.electricity, k)}-({own.other}+{own.upkeep})*{grown}+F{row}"
    )  # fmt: skip
    end = f"=SUM({wear.of_items(W_END)})*{grown}" if last and wear.items else "=0"
    at_end = f"+G{row}*(1+discount_rate)^(-A{row})"
    before = row - 1
    return {
        CAPITAL: f"=-{bought}" + ("+grants" if k == 0 else ""),
        SAVED_FUEL: "=0" if k == 0 else f"={fuel}",
        SAVING: "=0" if k == 0 else f"=M{row}+{work}*{grown}",
        RUNNING: running,
        UPKEEP: upkeep,
        NEW: new,
        LEFT: end,
        NET: f"=SUM(B{row}:G{row})",
        TODAY: f"=SUM(B{row}:F{row})*{today}{at_end}",
        SUM: f"=H{row}" if k == 0 else f"=J{before}+H{row}",
        SUM_TODAY: f"=I{row}" if k == 0 else f"=K{before}+I{row}",
        CASH: paid,
    }


def fuel_saved(live: Live, places: Places, k: int) -> str:
    """Units avoided at the price of a year, of one source or two."""
    alone, built = places.against(live.appraisal.source.terms.against)
    parts = [
        f"({one.at(UNITS)}-{two.at(UNITS)})*{places.prices.of_year(places.prices.source(one.source), k)}"
        for one, two in zip(alone, built, strict=False)
    ]
    return "(" + "+".join(parts) + ")" if parts else "0"


def work_saved(live: Live, places: Places) -> str:
    """Own work that the avoided units would have taken, priced."""
    alone, built = places.against(live.appraisal.source.terms.against)
    parts = [f"({one.at(WORK)}-{two.at(WORK)})" for one, two in zip(alone, built, strict=False)]
    return "(" + "+".join(parts) + ")" if parts else "0"
