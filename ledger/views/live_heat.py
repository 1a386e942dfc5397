"""Heat bought from each source, live: units of fuel, their cost and the work they take, with and without the builds."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.money.prices import FREE_OF_WORK
from ledger.views.figures import Measure
from ledger.views.live import Live, cell_of, label
from ledger.views.live_facts import Facts, Way
from ledger.views.live_inputs import InputNames
from ledger.views.live_prices import PricePlaces
from ledger.views.sheet import Paper, Sheet, freeze_heads, set_widths

HEADS = ("Heat from", "With", "Heat to buy, kWh", "as filed, kWh", "Given by", "Gross heat as filed, kWh",
         "Gross for each kWh more", "Units", "Fuel, base-date prices", "Own work, hours", "Work, priced",
         "Fuel over all years, today's money", "Work over all years, today's money")  # fmt: skip
BUY, FILED, GROSS, SLOPE, UNITS, FUEL, HOURS, WORK, FUEL_PV, WORK_PV = 3, 4, 6, 7, 8, 9, 10, 11, 12, 13


@dataclass(frozen=True, slots=True)
class HeatRow:
    """One source's part of a year's heat: its row."""

    sheet: Sheet
    source: str
    row: int

    def at(self, column: int) -> str:
        """A cell of the row."""
        return cell_of(self.sheet, self.row, column)


HeatRows = dict[tuple[str, int | None], tuple[HeatRow, ...]]


def heat_sheet(live: Live, facts: Facts, names: InputNames, prices: PricePlaces) -> HeatRows:
    """One row for each source and group of builds; two where another source gives the heat above its output."""
    sheet = live.sheet("heat bought", Paper.ACROSS)
    sheet.head(HEADS, right=range(3, len(HEADS) + 1))
    freeze_heads(sheet, row=2, column=3)
    groups = {group.number: group for group in facts.groups}
    rows: HeatRows = {}
    for (source, number), way in facts.ways.items():
        group = None if number is None else groups[number]
        said = "nothing built" if group is None else group.name
        share = 0.0 if group is None or group.share is None else group.share
        rows[source, number] = _way(live, sheet, _Said(source, said, share), way, names, prices)
    set_widths(sheet, widest=20)
    return rows


@dataclass(frozen=True, slots=True)
class _Said:
    source: str
    built: str
    share: float


def _way(
    live: Live, sheet: Sheet, said: _Said, way: Way, names: InputNames, prices: PricePlaces
) -> tuple[HeatRow, ...]:
    found = []
    ledger = live.appraisal.source
    for part in way.parts:
        row, own = sheet.at, names.sources[part.source]
        label(sheet, said.source)
        label(sheet, said.built, column=2)
        sheet.formula(BUY, f"=need_kwh-avoided_kwh*{said.share!r}", Measure.HEAT)
        sheet.figure(FILED, way.heat_kwh, Measure.HEAT)
        label(sheet, part.source, column=5)
        sheet.figure(GROSS, part.input_kwh, Measure.HEAT)
        sheet.figure(SLOPE, part.input_per_kwh, Measure.PRICE)
        per_unit = f"({own.heat_per_unit}*{own.efficiency})"
        sheet.formula(UNITS, f"=(F{row}+(C{row}-D{row})*G{row})/{per_unit}", Measure.RATIO)
        column = prices.source(part.source)
        sheet.formula(FUEL, f"=H{row}*{prices.of_year(column, 0)}", Measure.COIN)
        if own.hours_per_unit is not None:
            sheet.formula(HOURS, f"=H{row}*{own.hours_per_unit}", Measure.RATIO)
        elif ledger.source(part.source).kind in FREE_OF_WORK:
            sheet.figure(HOURS, 0.0, Measure.RATIO)
        else:
            sheet.figure(HOURS, None, Measure.RATIO)
        sheet.formula(WORK, f"=IF(ISNUMBER(J{row}),J{row}*labour_rate,0)", Measure.COIN)
        sheet.formula(FUEL_PV, f"=H{row}*{prices.whole(column)}", Measure.COIN)
        sheet.formula(WORK_PV, f"=K{row}*{prices.whole(prices.grown)}", Measure.COIN)
        found.append(HeatRow(sheet, part.source, row))
        sheet.at += 1
    return tuple(found)


def total(rows: tuple[HeatRow, ...], column: int) -> str:
    """The sum of a column over rows, as a formula's part."""
    return "(" + "+".join(row.at(column) for row in rows) + ")"
