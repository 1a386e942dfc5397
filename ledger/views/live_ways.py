"""Ways to heat, live: every plan's first year, capital and life-cycle cost, and their rank."""

from __future__ import annotations

from ledger.model.heaters import Source
from ledger.money.avoided import second_source
from ledger.plans.results import Plan
from ledger.views.answer import HEATER_CAUTION
from ledger.views.figures import Measure
from ledger.views.live import Live, label, live_or_words, say_agreement
from ledger.views.live_builds import NET, RUNNING, SHARE, UPKEEP, BuildRows
from ledger.views.live_capital import W_CAPITAL_PV, W_LEFT_PV, W_NEW_PV, W_PAID, W_YEAR
from ledger.views.live_heat import BUY, FUEL, FUEL_PV, HOURS, WORK, WORK_PV, total
from ledger.views.live_years import Places
from ledger.views.row import nothing_to_compare
from ledger.views.sheet import Paper, Sheet, paragraph, set_widths
from ledger.views.tables import plan_table

HEADS = ("Way to heat", "Rank", "To put in", "First year", "Level cost a year", "All years (life-cycle cost)",
         "as filed", "Agrees", "Heat to buy, kWh", "Fuel", "Work, hours", "Work, priced", "Fuel, today",
         "Work, today", "Upkeep of heaters, today", "Heaters bought less left, today", "The build's own, today",
         "May rank (1)")  # fmt: skip
(NAME, RANK, PUT_IN, FIRST_YEAR, LEVEL, ALL, FILED, AGREES, HEAT, FUEL_COST, WORK_HOURS, WORK_COST, FUEL_TODAY,
 WORK_TODAY, KEPT_TODAY, HEATERS_TODAY, BUILD_TODAY, MAY) = range(1, 19)  # fmt: skip


def ways_sheet(live: Live, places: Places, builds: BuildRows) -> dict[str, int]:
    """Every plan of the answer; the rows of the plans by name."""
    a = live.appraisal
    sheet = live.sheet("ways to heat", Paper.ACROSS)
    if not a.plans:
        sheet.words(nothing_to_compare(a))
        set_widths(sheet)
        return {}
    sheet.head(HEADS, right=(2, 3, 4, 5, 6, 7, *range(9, 19)))
    sheet.page.freeze_panes = "B2"  # its heads are not those of the tables below it: they are printed once
    first, last = sheet.at, sheet.at + len(a.plans) - 1
    rows = {}
    for plan in sorted(a.plans, key=lambda one: (one.rank is None, one.rank or 0)):
        rows[plan.name] = sheet.at
        _plan(live, sheet, plan, places, builds)
        if plan.rank is not None:
            own = f"F{sheet.at}"
            cheaper = f"SUMPRODUCT((R${first}:R${last}=1)*(F${first}:F${last}<{own}))"
            same = f"(F${first}:F${last}={own})*(C${first}:C${last}<C{sheet.at})"
            tie = f"SUMPRODUCT((R${first}:R${last}=1)*{same})"
            sheet.formula(RANK, f"=1+{cheaper}+{tie}", Measure.YEAR_NUMBER)
        sheet.at += 1
    _as_filed(live, sheet)
    sheet.blank()
    paragraph(sheet, HEATER_CAUTION, across=9, letters_wide=110)
    set_widths(sheet, widest=13, first=34)
    return rows


def _as_filed(live: Live, sheet: Sheet) -> None:
    """What hangs on the log's nights and stays as the program filed it."""
    sheet.blank()
    sheet.words("As filed: what hangs on the log's nights and on each heater's output", bold=True)
    keys = ("name", "fuel_units", "fuel_cost_per_delivered_kwh", "peak_need_kw", "output_kw", "unmet_kwh",
            "holds_design_night", "works_in_power_cut", "nights_to_tend")  # fmt: skip
    sheet.table(plan_table(live.appraisal).only(keys))


def _group(live: Live, plan: Plan) -> int | None:
    names = [build.name for build in live.appraisal.source.builds]
    if not plan.builds:
        return None
    if len(plan.builds) == len(names):
        return 0
    return names.index(plan.builds[0]) + 1


def _sources(live: Live, plan: Plan) -> tuple[Source, ...]:
    if plan.source is None:
        return ()
    ledger = live.appraisal.source
    first = ledger.source(plan.source)
    second = second_source(ledger, first)
    return (first,) if second is None else (first, second)


def _plan(live: Live, sheet: Sheet, plan: Plan, places: Places, builds: BuildRows) -> None:
    row, group = sheet.at, _group(live, plan)
    label(sheet, plan.name)
    sources = _sources(live, plan)
    heat = places.heat.get((plan.source, group), ()) if plan.source is not None else ()
    kept = "+".join(f"{places.names.sources[s.name].upkeep}*{s.units}" for s in sources) or "0"
    grown = places.prices.whole(places.prices.grown)
    own = "0" if group is None else f"{builds.at(group, RUNNING)}+{builds.at(group, UPKEEP)}"
    if heat:
        sheet.formula(HEAT, f"={heat[0].at(BUY)}", Measure.HEAT)
    else:
        less = "" if group is None else f"-avoided_kwh*{builds.at(group, SHARE)}"
        sheet.formula(HEAT, f"=need_kwh{less}", Measure.HEAT)
    known_work = all(plan.labour_hours is not None for _ in heat)
    sums = {
        FUEL_COST: (total(heat, FUEL), True),
        WORK_HOURS: (total(heat, HOURS), known_work),
        WORK_COST: (total(heat, WORK), plan.labour_cost is not None),
        FUEL_TODAY: (total(heat, FUEL_PV), True),
        WORK_TODAY: (total(heat, WORK_PV), True),
        KEPT_TODAY: (f"({kept})*{grown}", True),
        BUILD_TODAY: ("0" if group is None else builds.costs_today(group), True),
    }
    for column, (formula, known) in sums.items():
        text = "=0" if formula == "()" else f"={formula}"
        live_or_words(sheet, column, text if known else None, Measure.COIN)
    work = total(heat, WORK) if heat else "0"
    sheet.formula(FIRST_YEAR, f"=J{row}+{work}+{kept}+{own}", Measure.COIN)
    priced = plan.life_cycle_cost is not None
    live_or_words(sheet, HEATERS_TODAY, _heaters_today(places, sources) if priced else None, Measure.COIN)
    live_or_words(sheet, ALL, f"=SUM(M{row}:Q{row})" if priced else None, Measure.COIN)
    live_or_words(sheet, LEVEL, f"=F{row}/{grown}" if priced else None, Measure.COIN)
    live_or_words(sheet, PUT_IN, _put_in(places, builds, sources, group) if priced else None, Measure.COIN)
    sheet.figure(FILED, plan.life_cycle_cost, Measure.COIN)
    say_agreement(sheet, AGREES, f"F{row}", f"G{row}")
    sheet.figure(MAY, float(plan.rank is not None), Measure.YEAR_NUMBER)


def _heaters_today(places: Places, sources: tuple[Source, ...]) -> str:
    parts = []
    for source in sources:
        if source.name in places.wear.sources:
            at = [places.wear.of_source(source.name, row) for row in (W_CAPITAL_PV, W_NEW_PV, W_LEFT_PV)]
            parts.append(f"({at[0]}+{at[1]}-{at[2]})")
    return "=" + ("+".join(parts) or "0")


def _put_in(places: Places, builds: BuildRows, sources: tuple[Source, ...], group: int | None) -> str:
    parts = ["0" if group is None else builds.at(group, NET)]
    for source in sources:
        if source.name not in places.wear.sources:
            continue
        paid, year = places.wear.of_source(source.name, W_PAID), places.wear.of_source(source.name, W_YEAR)
        parts.append(paid if source.bought is None else f"IF({year}>0,{paid},0)")
    return "=" + "+".join(parts)
