"""The sheet that adds up: every total once more by another way."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.views.figures import Measure
from ledger.views.live import Live, label, say_agreement
from ledger.views.live_builds import CAPITAL_PV, LEFT_PV, NEW_PV, RUNNING_PV, SAVING_PV, UPKEEP_PV, BuildRows
from ledger.views.live_builds import NPV as BUILD_NPV
from ledger.views.live_years import (
    CAPITAL,
    LEFT,
    NET,
    NEW,
    RUNNING,
    SAVING,
    SUM,
    SUM_TODAY,
    TODAY,
    UPKEEP,
    Places,
    YearPlaces,
)
from ledger.views.sheet import Paper, letters, set_widths


@dataclass(frozen=True, slots=True)
class Workings:
    """Everything that is added up again; `plans`: rows by name."""

    places: Places
    years: YearPlaces
    builds: BuildRows
    plans: dict[str, int]


def checks_sheet(live: Live, work: Workings, *, extra: list[tuple[str, str, str]]) -> str:
    """Pairs of totals with their difference and yes or no; the cell that says whether all are yes."""
    sheet = live.sheet("adds up", Paper.ACROSS)
    sheet.head(("Total", "One way", "Another way", "Agrees"), right=(2, 3))
    first = sheet.at
    for words, one, other in (*_pairs(live, work), *extra):
        label(sheet, words)
        sheet.formula(2, f"={one}", Measure.COIN)
        sheet.formula(3, f"={other}", Measure.COIN)
        say_agreement(sheet, 4, f"B{sheet.at}", f"C{sheet.at}")
        sheet.at += 1
    last = max(first, sheet.at - 1)
    sheet.blank()
    label(sheet, "All of them", bold=True)
    cell = sheet.page.cell(sheet.at, 4)
    cell.value = f'=IF(COUNTIF(D{first}:D{last},"no")=0,"yes","no")'
    cell.font = letters(bold=True)
    place = f"'adds up'!$D${sheet.at}"
    live.name("all_adds_up", sheet, 4)
    sheet.at += 1
    set_widths(sheet, first=70)
    return place


def _pairs(live: Live, work: Workings) -> list[tuple[str, str, str]]:
    places, years, builds, plans = work.places, work.years, work.builds, work.plans
    a = live.appraisal
    n, capital = a.source.terms.study_years, places.capital
    pairs = [
        ("Receipts: sum of amounts, and item by item from the inputs", "gross",
         "+".join(own.amount for own in places.names.items) or "0"),
        ("Counted for the heat: sum, and amounts and work times shares", "share_for_heat",
         f"SUMPRODUCT({capital.column(5)},{capital.column(6)})+SUM({capital.column(7)})"),
        ("Net flows of all years: by year, and by stream", years.total(NET),
         "+".join(years.total(c) for c in (CAPITAL, SAVING, RUNNING, UPKEEP, NEW, LEFT))),
        ("The running sum's last year, and the sum of net flows", years.year(SUM, n), years.total(NET)),
        ("The running sum of today's money, and its total", years.year(SUM_TODAY, n), years.total(TODAY)),
    ]  # fmt: skip
    if not builds.rows:
        return pairs
    for words, column, stream, sign in (
        ("Capital", CAPITAL_PV, CAPITAL, "-"), ("Bought anew", NEW_PV, NEW, "-"), ("Running", RUNNING_PV, RUNNING, "-"),
        ("Upkeep", UPKEEP_PV, UPKEEP, "-"),
    ):  # fmt: skip
        other = f"{sign}SUMPRODUCT({years.stretch(stream)},{places.prices.stretch(places.prices.today)})"
        pairs.append((f"{words} in today's money: item by item, and year by year", builds.at(0, column), other))
    at_end = f"{years.year(LEFT, n)}*(1+discount_rate)^(-study_years)"
    pairs.append(("Left at the end in today's money: item by item, and from the years", builds.at(0, LEFT_PV), at_end))
    if len(builds.rows) > 1:
        each = "+".join(builds.at(k, CAPITAL_PV) for k in builds.rows if k)
        pairs.append(("Capital in today's money: all builds, and each", builds.at(0, CAPITAL_PV), each))
    if live.known:
        against = a.source.terms.against
        if against in _compared(live, plans):
            alone, built = plans[f"{against} alone"], plans[f"build + {against}"]
            by_plans = f"'ways to heat'!$F${alone}-'ways to heat'!$F${built}"
            pairs.append(("NPV, and life-cycle cost alone less with the builds", live.names["npv"], by_plans))
        pairs += _worth_pairs(live, work)
    pairs += [
        (f"NPV against {name}: heater alone less with the builds, and what it spares less what the builds cost",
         f"'ways to heat'!$F${plans[f'{name} alone']}-'ways to heat'!$F${plans[f'build + {name}']}",
         _costs(plans, name, builds))
        for name in _compared(live, plans)
    ]  # fmt: skip
    return pairs


def _costs(plans: dict[str, int], name: str, builds: BuildRows) -> str:
    """NPV by fuel, work and the build's costs: heat bought without less with, less what the build costs."""
    alone, built = plans[f"{name} alone"], plans[f"build + {name}"]
    parts = "+".join(f"('ways to heat'!${c}${alone}-'ways to heat'!${c}${built})" for c in "MN")
    return f"{parts}-{builds.costs_today(0)}"


def _compared(live: Live, plans: dict[str, int]) -> list[str]:
    a = live.appraisal
    priced = {plan.name for plan in a.plans if plan.life_cycle_cost is not None}
    names = [source.name for source in a.source.sources]
    return [name for name in names if f"{name} alone" in priced and f"build + {name}" in priced & set(plans)]


def _worth_pairs(live: Live, work: Workings) -> list[tuple[str, str, str]]:
    years, builds, places = work.years, work.builds, work.places
    npv = live.names["npv"]
    factor = places.prices.stretch(places.prices.today)
    pairs = [
        ("NPV: by NPV(), and the sum of the years in today's money", npv, years.total(TODAY)),
        ("NPV: by NPV(), and by stream over all years", npv, builds.at(0, BUILD_NPV)),
        ("Saving in today's money: by units, and year by year", builds.at(0, SAVING_PV),
         f"SUMPRODUCT({years.stretch(SAVING)},{factor})"),
        ("Life-cycle cost of the build, and saving less NPV", "build_life_cycle_cost",
         f"{builds.at(0, SAVING_PV)}-{npv}"),
    ]  # fmt: skip
    if live.known:
        n = live.appraisal.source.terms.study_years
        flows, times = f"'steps'!$J$3:$J${3 + 2 * n}", f"'steps'!$I$3:$I${3 + 2 * n}"
        irr = live.names["irr"]
        worths = f"(1+{irr})^(-{times}/2)"  # set against its flows: at a rate far below 0 they grow without bound
        at_rate = f"IF(ISNUMBER({irr}),SUMPRODUCT({flows},{worths})/SUMPRODUCT(ABS({flows}),{worths}),0)"
        pairs.append(("NPV at the internal rate, as a part of its flows, and nothing", at_rate, "0"))
    return pairs
