"""Build by build and together, live: capital, running, upkeep and saving over all years in today's money."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.views.figures import Measure
from ledger.views.live import Live, cell_of, label, live_or_words, say_agreement
from ledger.views.live_capital import W_CAPITAL_PV, W_LEFT_PV, W_NEW_PV, W_NUMBER
from ledger.views.live_facts import Facts, Group
from ledger.views.live_heat import FUEL, FUEL_PV, WORK, WORK_PV, total
from ledger.views.live_years import Places
from ledger.views.sheet import Paper, Sheet, freeze_heads, print_in_parts, set_widths

HEADS = ("Build", "Part of the saving", "Net capital", "Running, first year", "Upkeep, first year",
         "Saving, first year", "Left over, first year", "Years to pay back", "Capital, today", "Bought anew, today",
         "Left at the end, today",
         "Running, today", "Upkeep, today", "Saving, today", "Gain (NPV)", "as filed", "Agrees")  # fmt: skip
SHARE, NET, RUNNING, UPKEEP, SAVING, OVER, PAYBACK = 2, 3, 4, 5, 6, 7, 8
CAPITAL_PV, NEW_PV, LEFT_PV, RUNNING_PV, UPKEEP_PV, SAVING_PV, NPV, FILED, AGREES = range(9, 18)


@dataclass(frozen=True, slots=True)
class BuildRows:
    """The row of each group of builds."""

    sheet: Sheet
    rows: dict[int, int]

    def at(self, group: int, column: int) -> str:
        """A cell of a group's row."""
        return cell_of(self.sheet, self.rows[group], column)

    def costs_today(self, group: int) -> str:
        """All costs of a group, positive, less what is left at the end."""
        return f"({'+'.join(self.at(group, c) for c in (CAPITAL_PV, NEW_PV, RUNNING_PV, UPKEEP_PV))}" \
               f"-{self.at(group, LEFT_PV)})"  # fmt: skip


def builds_sheet(live: Live, facts: Facts, places: Places) -> BuildRows:
    """All builds together, then each of several."""
    a = live.appraisal
    sheet = live.sheet("builds", Paper.ACROSS)
    sheet.head(HEADS, right=range(2, AGREES))
    freeze_heads(sheet, row=2, column=2)
    rows: dict[int, int] = {}
    filed = {0: a.worth.npv}
    if len(a.source.builds) > 1:
        filed |= {place: build.npv for place, build in enumerate(a.builds, start=1)}
    known = live.known
    for group in facts.groups:
        rows[group.number] = sheet.at
        _row(live, sheet, group, places, known=known)
        sheet.figure(FILED, filed.get(group.number), Measure.COIN)
        say_agreement(sheet, AGREES, f"O{sheet.at}", f"P{sheet.at}")
        sheet.at += 1
    set_widths(sheet, widest=13, first=24)
    print_in_parts(sheet, last_row=sheet.at - 1, parts=((1, PAYBACK), (CAPITAL_PV, AGREES)))
    return BuildRows(sheet, rows)


def _row(live: Live, sheet: Sheet, group: Group, places: Places, *, known: bool) -> None:
    row, number, p = sheet.at, group.number, places.prices
    own = places.names.groups[number]
    label(sheet, group.name)
    sheet.figure(SHARE, group.share, Measure.SHARE)
    sheet.formula(NET, f"={places.capital.counted_of[number]}-{places.capital.grants_of[number]}", Measure.COIN)
    rest = f"({own.hours}*labour_rate+{own.other})"
    kept = f"({own.upkeep}+{own.upkeep_hours}*labour_rate)"
    sheet.formula(RUNNING, f"={own.energy}*{p.of_year(p.electricity, 0)}+{rest}", Measure.COIN)
    sheet.formula(UPKEEP, f"={kept}", Measure.COIN)
    for column, wear in ((CAPITAL_PV, W_CAPITAL_PV), (NEW_PV, W_NEW_PV), (LEFT_PV, W_LEFT_PV)):
        sheet.formula(column, "=" + _of_items(places, number, wear), Measure.COIN)
    cell = sheet.page.cell(row, CAPITAL_PV)
    cell.value = f"{cell.value}-{places.capital.grants_of[number]}"
    grown = p.whole(p.grown)
    sheet.formula(RUNNING_PV, f"={own.energy}*{p.whole(p.electricity)}+{rest}*{grown}", Measure.COIN)
    sheet.formula(UPKEEP_PV, f"={kept}*{grown}", Measure.COIN)
    saving = known and group.share is not None
    alone, built = places.against(live.appraisal.source.terms.against)
    first = f"=({total(alone, FUEL)}+{total(alone, WORK)}-{total(built, FUEL)}-{total(built, WORK)})*B{row}"
    today = f"=({total(alone, FUEL_PV)}+{total(alone, WORK_PV)}-{total(built, FUEL_PV)}-{total(built, WORK_PV)})*B{row}"
    live_or_words(sheet, SAVING, first if saving else None, Measure.COIN)
    live_or_words(sheet, OVER, f"=F{row}-D{row}-E{row}" if saving else None, Measure.COIN)
    back = f'=IF(G{row}>0,MAX(C{row},0)/G{row},"never")'
    live_or_words(sheet, PAYBACK, back if saving else None, Measure.YEARS)
    live_or_words(sheet, SAVING_PV, today if saving else None, Measure.COIN)
    live_or_words(sheet, NPV, f"=N{row}-I{row}-J{row}+K{row}-L{row}-M{row}" if saving else None, Measure.COIN)


def _of_items(places: Places, number: int, row: int) -> str:
    wear = places.wear
    if not wear.items:
        return "0"
    if number == 0:
        return f"SUM({wear.of_items(row)})"
    return f"SUMIF({wear.of_items(W_NUMBER)},{number},{wear.of_items(row)})"
