"""What if I am wrong: the range as filed, what moves it, and live answers to the plainest doubts."""

from __future__ import annotations

from ledger.doubt.words import in_words
from ledger.views.figures import Measure, unit_of
from ledger.views.live import Live, label
from ledger.views.live_breakeven import Straight, break_evens, straight
from ledger.views.live_builds import BuildRows
from ledger.views.live_steps import Steps
from ledger.views.live_years import LEFT, Places, YearPlaces
from ledger.views.rows_money import doubt_rows
from ledger.views.sheet import Paper, Sheet, paragraph, set_widths

HEAT_PARTS = (0.0, 0.25, 0.5, 0.75, 1.25, 1.5)
PRICE_PARTS = (0.5, 0.75, 1.25, 1.5)
CAPITAL_PARTS = (0.8, 1.2)
RATES = (0.0, 0.03, 0.06, 0.09, 0.12)
FEWER_YEARS = (5, 10, 15, 20)
AS_FILED = (
    "As filed: reckoned by the program from draws of all uncertain values together, or by many runs. These values do "
    "not move when an input is changed here; run the program on the changed ledger for new ones."
)


def doubt_sheet(live: Live, places: Places, years: YearPlaces, builds: BuildRows, steps: Steps) -> None:
    """Live what-ifs first, then the break-evens, then range and drivers as the program filed them."""
    a = live.appraisal
    sheet = live.sheet("what if I am wrong", Paper.ACROSS)
    if live.known and builds.rows:
        moves = straight(live, places, builds)
        _what_ifs(live, sheet, moves, places, years)
        _fewer_years(live, sheet, steps)
        break_evens(live, sheet, moves, places, steps)
        sheet.blank()
    sheet.words("How sure it is, as filed", bold=True, size=12)
    paragraph(sheet, AS_FILED, across=6, letters_wide=110)
    sheet.head(("", "Value", "Unit", "How"), right=(2,))
    for row in doubt_rows(a):
        label(sheet, row.label)
        sheet.figure(2, row.value, row.measure, if_none=row.if_none)
        sheet.note(3, unit_of(row.measure, sheet.style).replace("%", ""))
        sheet.note(4, row.source)
        sheet.at += 1
    _drivers(live, sheet)
    set_widths(sheet, first=58)


def _what_ifs(live: Live, sheet: Sheet, moves: Straight, places: Places, years: YearPlaces) -> None:
    terms = live.appraisal.source.terms
    coin, n = terms.currency, terms.study_years
    sheet.words("Live: the gain (NPV) if one thing alone were otherwise", bold=True, size=12)
    sheet.head(("What", "Gain (NPV)", "Unit"), right=(2,))
    if moves.per_kwh is not None:
        for part in HEAT_PARTS:
            gain = f"={moves.npv}+avoided_kwh*({part!r}-1)*{moves.per_kwh}"
            _line(sheet, f"heat not bought at {part:.0%} of the input", gain, coin)
    for part in PRICE_PARTS:
        gain = f"={moves.npv}+({part!r}-1)*{moves.price}"
        _line(sheet, f"all prices of {terms.against} at {part:.0%}", gain, coin)
    for part in CAPITAL_PARTS:
        _line(sheet, f"all items at {part:.0%} of their cost", f"={moves.npv}-({part!r}-1)*{moves.items}", coin)
    flows, times = f"'steps'!$B$3:$B${3 + n}", places.prices.stretch(places.prices.times)
    for rate in RATES:
        late = f"{years.year(LEFT, n)}*(1+{rate!r})^(-study_years)"
        _line(sheet, f"discount rate of {rate:.0%}", f"=SUMPRODUCT({flows},(1+{rate!r})^(-{times}))+{late}", coin)
    _line(sheet, "nothing left at the end", f"={live.names['npv_without_residual']}", coin)


def _fewer_years(live: Live, sheet: Sheet, steps: Steps) -> None:
    """What a shorter study would say, nothing left at its end."""
    n = live.appraisal.source.terms.study_years
    for years in (k for k in FEWER_YEARS if k < n):
        words = f"only {years} years looked at, nothing left at their end"
        _line(sheet, words, f"={steps.after(years)}", live.appraisal.source.terms.currency)


def _line(sheet: Sheet, words: str, formula: str, unit: str) -> None:
    label(sheet, words)
    sheet.formula(2, formula, Measure.MONEY)
    sheet.note(3, unit)
    sheet.at += 1


def _drivers(live: Live, sheet: Sheet) -> None:
    a = live.appraisal
    if not a.drivers:
        return
    sheet.blank()
    sheet.words("As filed: what moves the gain most, each alone from its low to its high end", bold=True, size=12)
    sheet.head(("Input", "NPV at its low end", "NPV at its high end", "Share of variance", "Entry"), right=(2, 3, 4))
    for driver in a.drivers:
        label(sheet, in_words(driver.input, a.source))
        sheet.figure(2, driver.npv_low, Measure.MONEY)
        sheet.figure(3, driver.npv_high, Measure.MONEY)
        sheet.figure(4, driver.variance_share, Measure.SHARE)
        sheet.note(5, driver.input)
        sheet.at += 1
