"""Where it just pays, live: what is straight in one input is solved by a formula; the rest stands as filed."""

from __future__ import annotations

from dataclasses import dataclass

from openpyxl.styles import Alignment

from ledger.doubt.breakeven import HIGHEST_FACTOR, HIGHEST_RATE, NONE_SENSIBLE
from ledger.doubt.inputs import DISCOUNT_RATE
from ledger.money.prices import electric_source
from ledger.views.figures import unit_of
from ledger.views.live import Live, say_agreement
from ledger.views.live_builds import CAPITAL_PV, LEFT_PV, NEW_PV, NPV, BuildRows
from ledger.views.live_heat import FUEL_PV, SLOPE, HeatRow
from ledger.views.live_steps import Steps
from ledger.views.live_years import Places
from ledger.views.rows_money import break_even_rows
from ledger.views.sheet import Sheet, put_text

BY_A_RUN = "by a run of the program"


@dataclass(frozen=True, slots=True)
class Straight:
    """How NPV moves with one input alone, as parts of formulas. None: not straight in it, or not known.

    `price`: today's money that hangs on the source's prices. `items`: that of the items, replacements in it, less
    what is left. `per_kwh`: what one more kilowatt-hour avoided each year is worth.
    """

    npv: str
    price: str
    items: str
    per_kwh: str | None


def straight(live: Live, places: Places, builds: BuildRows) -> Straight:
    """Gather how NPV moves with the price of the source, with the capital, with the heat avoided."""
    against = live.appraisal.source.terms.against
    alone, built = places.against(against)
    spared = _fuel(alone, against), _fuel(built, against)
    price = f"(({spared[0]})-({spared[1]}){_electricity(live, places)})"
    items = f"({builds.at(0, CAPITAL_PV)}+grants+{builds.at(0, NEW_PV)}-{builds.at(0, LEFT_PV)})"
    per_kwh = _per_kwh(built[0], places) if len(alone) == len(built) == 1 else None
    return Straight(builds.at(0, NPV), price, items, per_kwh)


def _fuel(rows: tuple[HeatRow, ...], source: str) -> str:
    """Fuel of one source over all years in today's money; a second source that gives the rest has prices of its own."""
    return "+".join(row.at(FUEL_PV) for row in rows if row.source == source) or "0"


def _electricity(live: Live, places: Places) -> str:
    """What the builds use has the price of the electric source where the ledger gives electricity none."""
    ledger = live.appraisal.source
    source = electric_source(ledger)
    if ledger.electricity.price is not None or source is None or source.name != ledger.terms.against:
        return ""
    return f"-{places.names.groups[0].energy}*{places.prices.whole(places.prices.electricity)}"


def _per_kwh(built: HeatRow, places: Places) -> str:
    own, prices = places.names.sources[built.source], places.prices
    work = "" if own.hours_per_unit is None else f"+{own.hours_per_unit}*labour_rate*{prices.whole(prices.grown)}"
    units = f"{built.at(SLOPE)}/({own.heat_per_unit}*{own.efficiency})"
    return f"({units}*({prices.whole(prices.source(built.source))}{work}))"


def break_evens(live: Live, sheet: Sheet, moves: Straight, places: Places, steps: Steps) -> None:
    """Each of the program's break-evens, live where a formula can say it, beside what was filed."""
    a = live.appraisal
    pairs = break_even_rows(a)
    if not pairs:
        return
    sheet.blank()
    sheet.words(f"Where it just pays, each alone and against {a.worth.against}", bold=True, size=12)
    sheet.head(("What", "Just pays at", "Unit", "as filed", "Agrees", "Now, as filed"), right=(2, 4, 6))
    for now, then in pairs:
        put_text(sheet.page.cell(sheet.at, 1), now.label)
        formula = _formula(live, now.key, moves, places, steps)
        if formula is None:
            put_text(sheet.page.cell(sheet.at, 2), BY_A_RUN).alignment = Alignment(horizontal="right", vertical="top")
        else:
            sheet.formula(2, formula, now.measure)
            say_agreement(sheet, 5, f"B{sheet.at}", f"D{sheet.at}")
            live.name(f"break_even_{now.key.split('.')[-1]}", sheet, 2)
        sheet.note(3, unit_of(now.measure, sheet.style).replace("%", ""))
        sheet.figure(4, then.value, then.measure, if_none=then.if_none)
        sheet.figure(6, now.value, now.measure)
        sheet.at += 1


def _formula(live: Live, key: str, moves: Straight, places: Places, steps: Steps) -> str | None:
    """The formula of one break-even; None where NPV is not straight in it."""
    a = live.appraisal
    names = places.names.sources[a.worth.against]
    none = f'"{NONE_SENSIBLE}"'
    if key == f"source[{a.worth.against}].price":
        times = f"(1-{moves.npv}/{moves.price})"
        return _within(f"{moves.price}=0", times, f"{times}*{names.price}")
    if key == "capital.net":
        times = f"(1+{moves.npv}/{moves.items})"
        return _within(f"{moves.items}=0", times, f"{times}*share_for_heat-grants")
    if key == "typical_year.avoided_kwh" and moves.per_kwh is not None:
        kwh = f"(avoided_kwh-{moves.npv}/{moves.per_kwh})"
        inside = f"IF({kwh}>=0,IF({kwh}<=MAX(need_kwh,avoided_kwh),{kwh},{none}),{none})"
        return f"=IF({moves.per_kwh}=0,{none},{inside})"
    if key == DISCOUNT_RATE and a.worth.irr is not None:
        rate = live.names["irr"]
        inside = f"IF({rate}>=0,IF({rate}<={HIGHEST_RATE!r},{rate},{none}),{none})"
        return f"=IF(ISNUMBER({rate}),{inside},{none})"
    filed = next((one.at for one in a.break_evens if one.path == key), None)
    if key == "money.study_years" and (filed is None or filed <= a.source.terms.study_years):
        return f"=IF({steps.first_paid}<=study_years,{steps.first_paid},{none})"
    return None


def _within(never: str, times: str, value: str) -> str:
    none = f'"{NONE_SENSIBLE}"'
    return f"=IF({never},{none},IF({times}>=0,IF({times}<={HIGHEST_FACTOR!r},{value},{none}),{none}))"
