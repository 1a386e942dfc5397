"""The workbook: every figure of the answer by live formulas from one sheet of inputs, beside what the program filed."""

from __future__ import annotations

from openpyxl import Workbook

from ledger.appraisal import Appraisal
from ledger.views.live import Live
from ledger.views.live_answer import answer_sheet, fill_answer
from ledger.views.live_builds import BuildRows, builds_sheet
from ledger.views.live_capital import capital_sheet, print_wear, wear_sheet
from ledger.views.live_charts import draw_charts
from ledger.views.live_checks import Workings, checks_sheet
from ledger.views.live_doubt import doubt_sheet
from ledger.views.live_facts import Facts, facts_of
from ledger.views.live_heat import heat_sheet
from ledger.views.live_inputs import inputs_sheet
from ledger.views.live_loan import loan_sheet
from ledger.views.live_model import heat_pairs, model_sheet
from ledger.views.live_nights import nights_sheet
from ledger.views.live_prices import price_sheet
from ledger.views.live_recovered import recovered_sheet
from ledger.views.live_steps import steps_sheet
from ledger.views.live_ways import ways_sheet
from ledger.views.live_worth import figures_of, worth_sheet
from ledger.views.live_years import Places, YearPlaces, years_sheet
from ledger.views.sheet import Paper, book_bytes
from ledger.views.sheet_papers import holes_sheet, seasons_sheet, sources_sheet

ORDER = ("answer", "inputs", "capital", "replacements", "nights", "years", "ways to heat", "loan",
         "what if I am wrong", "holes", "where from", "adds up", "house model", "seasons", "recovered", "worth",
         "builds", "heat bought", "prices", "steps")  # fmt: skip
"""The sheets by a person's questions; the workings, which few will open, stand last."""


def workbook_bytes(appraisal: Appraisal) -> bytes:
    """The whole workbook as the bytes of an .xlsx file; the same answer gives the same bytes."""
    book = Workbook()
    book.remove(book.active)
    live = Live(book, appraisal)
    answer = answer_sheet(live)
    facts = facts_of(appraisal)
    places, years, builds = _money(live, facts)
    nights = nights_sheet(live)
    steps = steps_sheet(live, years)
    figures = figures_of(live, places, years, builds, steps)
    rows = worth_sheet(live, figures)
    plans = ways_sheet(live, places, builds)
    paid_off = loan_sheet(live, places.names, years)
    work = Workings(places, years, builds, plans)
    checks = checks_sheet(live, work, extra=[*nights.checks, *paid_off])
    if rows:
        doubt_sheet(live, places, years, builds, steps)
    else:
        live.sheet("what if I am wrong", Paper.ACROSS).words("Nothing is known of the build's worth.")
    print_wear(places.wear)
    seasons_sheet(live)
    recovered_sheet(live)
    holes_sheet(live)
    sources_sheet(live)
    fill_answer(live, answer, figures, rows, checks)
    heat_pairs(live)
    model_sheet(live)
    draw_charts(live, years, plans, nights)
    book._sheets.sort(key=lambda page: ORDER.index(page.title))
    return book_bytes(book)


def _money(live: Live, facts: Facts) -> tuple[Places, YearPlaces, BuildRows]:
    """Inputs, capital, prices, replacements, heat, years and builds, each from those before it."""
    names = inputs_sheet(live, facts)
    capital = capital_sheet(live, names)
    prices = price_sheet(live, names)
    wear = wear_sheet(live, names, capital, prices.discounts)
    heat = heat_sheet(live, facts, names, prices)
    places = Places(names, capital, wear, prices, heat)
    return places, years_sheet(live, places), builds_sheet(live, facts, places)
