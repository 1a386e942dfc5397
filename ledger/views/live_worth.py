"""The figures of worth, live: present values, paybacks, rates, costs per unit, each beside what the program filed."""

from __future__ import annotations

from dataclasses import dataclass

from openpyxl.utils import get_column_letter as letter

from ledger.money.figures import LEAST_DIVISOR
from ledger.views.figures import Measure, in_unit
from ledger.views.live import Live, label, live_or_words, say_agreement
from ledger.views.live_builds import (
    OVER,
    PAYBACK,
    RUNNING,
    RUNNING_PV,
    SAVING,
    SAVING_PV,
    UPKEEP,
    UPKEEP_PV,
    BuildRows,
)
from ledger.views.live_capital import W_PART, W_UNIT_LEFT_PV, W_UNIT_NEW_PV, W_YEAR
from ledger.views.live_heat import FUEL, total
from ledger.views.live_steps import Steps
from ledger.views.live_years import CAPITAL, NEW, TODAY, Places, YearPlaces
from ledger.views.live_years import LEFT as LEFT_YEAR
from ledger.views.live_years import RUNNING as RUNNING_YEAR
from ledger.views.live_years import SAVING as SAVING_YEAR
from ledger.views.live_years import UPKEEP as UPKEEP_YEAR
from ledger.views.sheet import Paper, letters, set_widths


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure: result key, words, formula (None: not known), what was filed, how it is reckoned."""

    key: str
    words: str
    formula: str | None
    filed: float | None
    measure: Measure
    how: str
    name: str = ""


def figures_of(live: Live, places: Places, years: YearPlaces, builds: BuildRows, steps: Steps) -> tuple[Figure, ...]:
    """Every live figure, headline first."""
    if not builds.rows:
        return ()
    return (
        *_headline(live, builds, years),
        *_paybacks(live, builds, places, steps),
        *_rates(live, years, steps),
        *_unit_costs(live, builds, places),
    )


def _headline(live: Live, builds: BuildRows, years: YearPlaces) -> tuple[Figure, ...]:
    a = live.appraisal
    w, heat, known = a.worth, a.typical_heat, live.known
    n = a.source.terms.study_years
    late = f"{years.year(LEFT_YEAR, n)}*(1+discount_rate)^(-study_years)"
    steps = f"NPV(discount_rate,'steps'!$B$4:$B${3 + n})*(1+discount_rate)^early_by_years"
    return (
        Figure("capital.net", "Net capital", "=net_capital", a.capital.net, Measure.COIN, "share for heat less grants",
               "net_capital_of_the_answer"),
        Figure("typical_year.avoided_kwh", "Heat not bought", None if heat is None else "=avoided_kwh",
               None if heat is None else heat.avoided_kwh, Measure.HEAT, "an input", "avoided_kwh_of_the_answer"),
        Figure("worth.simple_payback_years", "Years to pay back", f"={builds.at(0, PAYBACK)}" if known else None,
               w.simple_payback_years, Measure.YEARS, "net capital ÷ first year's net saving"),
        Figure("worth.npv", "Gain in today's money (NPV)", f"='steps'!$B$3+{steps}+{late}" if known else None, w.npv,
               Measure.MONEY, "year 0 + NPV() of years 1 to N + what is left, from the end of year N"),
        Figure("worth.npv_without_residual", "the same, nothing left at the end",
               f"='steps'!$B$3+{steps}" if known else None, w.npv_without_residual, Measure.MONEY, "without residual"),
    )  # fmt: skip


def _paybacks(live: Live, builds: BuildRows, places: Places, steps: Steps) -> tuple[Figure, ...]:
    a = live.appraisal
    w, known, money = a.worth, live.known, a.typical_money
    over, saving = builds.at(0, OVER), builds.at(0, SAVING)
    own = places.names.groups[0]
    against = a.source.terms.against
    fuel = f"({total(places.heat.get((against, None), ()), FUEL)}-{total(places.heat.get((against, 0), ()), FUEL)})"
    base = places.prices.of_year(places.prices.electricity, 0)
    cash = f"({fuel}-{own.energy}*{base}-{own.other}-{own.upkeep})"
    paid = "MAX(paid_for_heat-grants,0)"
    running = None if money is None or money.running_cost is None else f"={builds.at(0, RUNNING)}"
    filed = (None,) * 4 if money is None else (money.avoided_cost, money.running_cost, money.upkeep_cost,
                                               money.net_saving)  # fmt: skip
    rows = (
        ("typical_year.avoided_cost", "Avoided heat at its price, first year", f"={saving}", filed[0], Measure.MONEY,
         "units avoided at base-date prices, with their work"),
        ("typical_year.net_saving", "Net saving, first year", f"={over}", filed[3], Measure.MONEY,
         "less running and upkeep"),
        ("worth.simple_payback_gross_years", "Years to pay back before grants",
         f'=IF({over}>0,MAX(share_for_heat,0)/{over},"never")', w.simple_payback_gross_years, Measure.YEARS,
         "share for heat ÷ the same"),
        ("worth.simple_payback_cash_years", "Years to pay back, own work not counted",
         f'=IF({cash}>0,{paid}/{cash},"never")', w.simple_payback_cash_years, Measure.YEARS, "cash only"),
        ("worth.payback_with_growth_years", "Years to pay back as prices rise", steps.payback,
         w.payback_with_growth_years, Measure.YEARS, "last crossing of the running sum"),
        ("worth.discounted_payback_years", "Years to pay back with interest", steps.discounted_payback,
         w.discounted_payback_years, Measure.YEARS, "last crossing, discounted"),
    )  # fmt: skip
    more = (
        Figure("typical_year.running_cost", "Running, first year", running, filed[1], Measure.MONEY, "builds"),
        Figure("typical_year.upkeep_cost", "Upkeep, first year",
               f"={builds.at(0, UPKEEP)}" if money is not None else None, filed[2], Measure.MONEY, "builds"),
    )  # fmt: skip
    return (*(Figure(k, words, f if known else None, v, m, how) for k, words, f, v, m, how in rows), *more)


def _rates(live: Live, years: YearPlaces, steps: Steps) -> tuple[Figure, ...]:
    w, known = live.appraisal.worth, live.known
    today = years.stretch(TODAY)
    up, down = f'SUMIF({today},">0")', f'SUMIF({today},"<0")'
    ratio = _sir(live, years)
    rows = (
        ("worth.mirr", "Modified internal rate (MIRR)",
         f'=IF(AND({up}>0,{down}<0),({up}/-{down})^(1/study_years)*(1+discount_rate)-1,"not defined")', w.mirr,
         Measure.RATE, "gains put by at the discount rate"),
        ("worth.savings_to_investment_ratio", "Savings ÷ investment (SIR)", ratio, w.savings_to_investment_ratio,
         Measure.RATIO, "present values"),
        ("worth.adjusted_irr", "Adjusted internal rate",
         '=IF(ISNUMBER(savings_to_investment_ratio),IF(savings_to_investment_ratio>0,(1+discount_rate)'
         '*savings_to_investment_ratio^(1/study_years)-1,"not defined"),"not defined")', w.adjusted_irr, Measure.RATE,
         "(1 + d) · SIR^(1/N) − 1"),
    )  # fmt: skip
    rate = Figure("worth.irr", "Internal rate (IRR)", f"={steps.rate}" if known else None, w.irr, Measure.RATE,
                  "only where one rate makes NPV 0")  # fmt: skip
    return (rate, *(Figure(k, words, f if known else None, v, m, how) for k, words, f, v, m, how in rows))


def _sir(live: Live, years: YearPlaces) -> str:
    """Present value of the saving net of running and upkeep ÷ that of capital and replacements less residual."""
    n = live.appraisal.source.terms.study_years
    factor = f"'prices'!$C$3:$C${3 + n}"
    late = f"{years.year(LEFT_YEAR, n)}*(1+discount_rate)^(-study_years)"
    gain = "+".join(f"SUMPRODUCT({years.stretch(c)},{factor})" for c in (SAVING_YEAR, RUNNING_YEAR, UPKEEP_YEAR))
    put = "+".join(f"SUMPRODUCT({years.stretch(c)},{factor})" for c in (CAPITAL, NEW))
    return f'=IF(-({put}+{late})>0,({gain})/-({put}+{late}),"not defined")'


def _unit_costs(live: Live, builds: BuildRows, places: Places) -> tuple[Figure, ...]:
    a = live.appraisal
    w, heat = a.worth, a.typical_heat
    grown = places.prices.whole(places.prices.grown)
    whole = f"(({_whole_house(places)}+{builds.at(0, RUNNING_PV)}+{builds.at(0, UPKEEP_PV)})/{grown})"
    days = (None,) * 3 if heat is None else (heat.gdd_indoor_k_d, heat.gdd_over_outdoors_k_d, heat.gdd_by_build_k_d)
    style, saved = places.prices.sheet.style, builds.at(0, SAVING_PV)
    per = [None if v is None else in_unit(v, Measure.COST_PER_DEGREE_DAY, style) for v in
           (w.cost_per_gdd_indoor, w.cost_per_gdd_over_outdoors, w.cost_per_gdd_by_build)]  # fmt: skip
    rows = [
        Figure("worth.build_life_cycle_cost", "The build over all years (life-cycle cost)",
               f"={builds.costs_today(0)}", w.build_life_cycle_cost, Measure.MONEY, "present value of its own costs"),
        Figure("worth.build_annual_cost", "the same as a level yearly cost", f"=build_life_cycle_cost/{grown}",
               w.build_annual_cost, Measure.MONEY, "annuity in base-date money"),
        Figure("worth.heat_cost_per_kwh", "Heat from the build costs, a kWh",
               None if heat is None else _over("build_annual_cost", "avoided_kwh"),
               w.heat_cost_per_kwh, Measure.PRICE_PER_KWH, "level yearly cost ÷ avoided heat"),
        Figure("worth.avoided_price_per_kwh", "Heat from the other source costs, a kWh",
               None if heat is None or not live.known else _over(f"({saved}/{grown})", "avoided_kwh"),
               w.avoided_price_per_kwh, Measure.PRICE_PER_KWH, "its level price by the same annuity"),
    ]  # fmt: skip
    for key, cost, count, filed in zip(("indoor", "over_outdoors", "by_build"), (whole, whole, "build_annual_cost"),
                                       days, per, strict=True):  # fmt: skip
        known = count is not None and filed is not None
        rows.append(Figure(f"worth.cost_per_gdd_{key}", f"A growing degree-day costs: {key.replace('_', ' ')}",
                           _over(cost, f"gdd_{key}") if known else None, filed, Measure.RATIO,
                           "level yearly cost ÷ degree-days"))  # fmt: skip
    return tuple(rows)


def _over(cost: str, count: str) -> str:
    return f'=IF({count}>={LEAST_DIVISOR!r},{cost}/{count},"not defined")'


def _whole_house(places: Places) -> str:
    """Present value of all items at share 1 with all grants off, bought anew and less what is left."""
    sheet = places.wear.sheet
    row = places.wear.last_year + 2
    sheet.page.cell(row, 1).value = "At share 1: all costs less what is left, today's money"
    for place, own in enumerate(places.names.items):
        at = f"{letter(2 + place)}$"
        year = f"{at}{W_YEAR}"
        time = f"IF({year}>0,{year}-early_by_years,0)"
        left = f"IF({year}>study_years,0,{own.residual}+({own.amount}-{own.residual})*{at}{W_PART})"
        paid = f"({own.amount}+{own.hours}*labour_rate)*(1+discount_rate)^(-{time})"
        cell = sheet.page.cell(row, 2 + place)
        cell.value = f"=IF({year}>study_years,0,{paid})+{own.amount}*{at}{W_UNIT_NEW_PV}-{left}*{at}{W_UNIT_LEFT_PV}"
        cell.number_format = "#,##0.00"
    sums = f"SUM({places.wear.of_items(row)})" if places.names.items else "0"
    grants = "+".join(places.names.grants) or "0"
    return f"({sums}-({grants}))"


def worth_sheet(live: Live, figures: tuple[Figure, ...]) -> dict[str, int]:
    """All live figures with what was filed; the row of each by its key."""
    sheet = live.sheet("worth", Paper.ACROSS)
    sheet.head(("Figure", "Live", "As filed", "Agrees", "How", "Result key", "Name"), right=(2, 3))
    rows = {}
    for figure in figures:
        rows[figure.key] = sheet.at
        label(sheet, figure.words)
        live_or_words(sheet, 2, figure.formula, figure.measure)
        sheet.figure(3, figure.filed, figure.measure)
        say_agreement(sheet, 4, f"B{sheet.at}", f"C{sheet.at}")
        for column, text in ((5, figure.how), (6, figure.key)):
            sheet.note(column, text)
        sheet.note(7, live.name(figure.name or figure.key.split(".")[1], sheet, 2))
        sheet.page.cell(sheet.at, 2).font = letters(bold=True)
        sheet.at += 1
    set_widths(sheet, first=42, wide={5: 40})
    return rows
