"""What if I am wrong: the range as filed, what moves it, and live answers to the plainest doubts."""

from __future__ import annotations

from ledger.doubt.words import in_words
from ledger.views.figures import Measure, unit_of
from ledger.views.live import Live, label
from ledger.views.live_builds import NPV, SAVING_PV, BuildRows
from ledger.views.live_years import LEFT, Places, YearPlaces
from ledger.views.rows_money import break_even_rows, doubt_rows
from ledger.views.sheet import Paper, Sheet, put_text, set_widths

HEAT_PARTS = (0.0, 0.25, 0.5, 0.75, 1.25, 1.5)
RATES = (0.0, 0.03, 0.06, 0.09, 0.12)


def doubt_sheet(live: Live, places: Places, years: YearPlaces, builds: BuildRows) -> None:
    """Live what-ifs first, then the range, the drivers and the break-evens as the program filed them."""
    a = live.appraisal
    sheet = live.sheet("what if I am wrong", Paper.ACROSS)
    if live.known and builds.rows:
        _what_ifs(live, sheet, places, years, builds)
    sheet.words("How sure it is, as filed", bold=True, size=12)
    sheet.head(("", "Value", "Unit", "How"), right=(2,))
    for row in doubt_rows(a):
        label(sheet, row.label)
        sheet.figure(2, row.value, row.measure, if_none=row.if_none)
        sheet.note(3, unit_of(row.measure, sheet.style).replace("%", ""))
        sheet.note(4, row.source)
        sheet.at += 1
    _drivers(live, sheet)
    _break_evens(live, sheet)
    set_widths(sheet)


def _what_ifs(live: Live, sheet: Sheet, places: Places, years: YearPlaces, builds: BuildRows) -> None:
    coin = live.appraisal.source.terms.currency
    n = live.appraisal.source.terms.study_years
    sheet.words("Live: the gain (NPV) if one thing alone were otherwise", bold=True, size=12)
    sheet.head(("What", "Gain (NPV)", "Unit"), right=(2,))
    npv, saving = builds.at(0, NPV), builds.at(0, SAVING_PV)
    alone = [row for (name, group), rows in places.heat.items() if group is None for row in rows
             if name == live.appraisal.source.terms.against]  # fmt: skip
    if len(alone) == 1:
        for part in HEAT_PARTS:
            _line(sheet, f"avoided heat at {part:.0%} of the input", f"={npv}-{saving}*(1-{part!r})", coin)
    flows, times = f"'steps'!$B$3:$B${3 + n}", places.prices.stretch(places.prices.times)
    for rate in RATES:
        late = f"{years.year(LEFT, n)}*(1+{rate!r})^(-study_years)"
        _line(sheet, f"discount rate of {rate:.0%}", f"=SUMPRODUCT({flows},(1+{rate!r})^(-{times}))+{late}", coin)
    _line(sheet, "nothing left at the end", f"={live.names['npv_without_residual']}", coin)
    if len(alone) == 1:
        label(sheet, "Avoided heat at which it just pays")
        sheet.formula(2, f'=IF({saving}>0,avoided_kwh*(1-{npv}/{saving}),"no such value")', Measure.HEAT)
        sheet.note(3, "kWh a year")
        live.name("break_even_avoided_kwh", sheet, 2)
        sheet.at += 1
    _line(sheet, "Net capital at which it just pays, paid today", f"=net_capital+{npv}", coin)
    sheet.blank()


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


def _break_evens(live: Live, sheet: Sheet) -> None:
    a = live.appraisal
    pairs = break_even_rows(a)
    if not pairs:
        return
    sheet.blank()
    sheet.words(f"As filed: where it just pays, each alone and against {a.worth.against}", bold=True, size=12)
    sheet.head(("What", "Now", "Just pays at", "Unit"), right=(2, 3))
    for now, then in pairs:
        put_text(sheet.page.cell(sheet.at, 1), now.label)
        sheet.figure(2, now.value, now.measure)
        sheet.figure(3, then.value, then.measure, if_none=then.if_none)
        sheet.note(4, unit_of(now.measure, sheet.style).replace("%", ""))
        sheet.at += 1
