"""The inputs of the workbook: what may be changed stands in a frame, and every formula hangs on it."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace

from openpyxl.styles import Alignment

from ledger.model.heaters import Source
from ledger.model.terms import Loan, Timing
from ledger.model.values import Spread
from ledger.money.prices import price_in_force
from ledger.money.project import year_of
from ledger.views.inputs import input_rows
from ledger.views.live import NOT_HERE, Live, label
from ledger.views.live_facts import Facts, Group
from ledger.views.live_follow import discount_formula, electric_growth_formula, growth_formula, price_formula
from ledger.views.live_pad import RATE, Entry, Form, Pad
from ledger.views.sheet import Paper, freeze_heads, set_widths

HEADS = ("Input", "Value", "Unit", "Known by", "From", "Low", "High", "Here", "Name")
HOLD_NOTE = "the degree-hours are values from the log, so another hold temperature asks for another run"
YEARS_NOTE = (
    "every sheet has a row for each of them, so other years ask for another run; what fewer would be worth: see what "
    "if I am wrong"
)
ROOMY_LOAN_YEARS = 15
_WIDE = {1: 58, 2: 13, 3: 17, 4: 11, 5: 46, 6: 11, 7: 11, 8: 18}
_LIVE_PATHS = re.compile(
    r"^(build\[\d+\]\.item\[\d+\]\.(amount|share|life_years|hours|residual)"
    r"|source\[\d+\]\.(price|price_growth|heat_per_unit|efficiency|hours_per_unit|capital|life_years|upkeep_per_year)"
    r"|source\[\d+\]\.tariff\[\d+\].*|electricity\..*|labour.*"
    r"|money\.(discount_rate|inflation|study_years|timing|rates_are_real)"
    r"|money\.grant\[\d+\]\.amount|money\.loan\[\d+\]\.(principal|annual_rate|years))$"
)


@dataclass(frozen=True, slots=True)
class ItemNames:
    """Names of one item's inputs."""

    amount: str
    share: str
    hours: str
    life: str
    residual: str


@dataclass(frozen=True, slots=True)
class SourceNames:
    """Names of one source's inputs; `capital` None: unknown. `tariffs`: year of the study and name, as they begin."""

    price: str
    growth: str
    heat_per_unit: str
    efficiency: str
    hours_per_unit: str | None
    capital: str | None
    life: str
    upkeep: str
    tariffs: tuple[tuple[int, str], ...]


@dataclass(frozen=True, slots=True)
class GroupNames:
    """Names of what some builds together use in a typical year."""

    energy: str
    hours: str
    other: str
    upkeep: str
    upkeep_hours: str


@dataclass(frozen=True, slots=True)
class LoanNames:
    """Names of one loan's inputs."""

    principal: str
    rate: str
    years: str


@dataclass(slots=True)
class InputNames:
    """Every name that formulas hang on."""

    items: list[ItemNames] = field(default_factory=list)
    grants: list[str] = field(default_factory=list)
    sources: dict[str, SourceNames] = field(default_factory=dict)
    groups: list[GroupNames] = field(default_factory=list)
    loans: list[LoanNames] = field(default_factory=list)


def inputs_sheet(live: Live, facts: Facts) -> InputNames:
    """Lay out the inputs; the names that the other sheets reckon with."""
    sheet = live.sheet("inputs", Paper.ACROSS)
    label(sheet, "Values in a frame may be changed; every sheet follows. All others come from a run of the program.")
    sheet.page.merge_cells(start_row=1, end_row=1, start_column=1, end_column=len(HEADS))
    sheet.at = 2
    sheet.head(HEADS, right=(2, 6, 7))
    freeze_heads(sheet, row=3, column=2)
    pad, names = Pad(live, sheet), InputNames()
    _terms(pad)
    _heat(pad, facts)
    for number, source in enumerate(pad.ledger.sources, start=1):
        names.sources[source.name] = _source(pad, source, number)
    names.groups += [_group(pad, group) for group in facts.groups]
    _items(pad, names)
    for number, grant in enumerate(pad.ledger.terms.grants, start=1):
        names.grants.append(pad.money(f"grant_{number}_amount", f"grant: {grant.name}", grant.amount))
    names.loans += [_loan(pad, loan, number) for number, loan in enumerate(pad.ledger.terms.loans, start=1)]
    _rest(pad)
    set_widths(sheet, widest=34, wide=_WIDE)
    return names


def _terms(pad: Pad) -> None:
    terms, rate, power = pad.ledger.terms, pad.ledger.labour_rate_per_h, pad.ledger.electricity
    years = Entry("years of the study", terms.study_years, "years", "0", source=YEARS_NOTE)
    pad.put("study_years", years, here=NOT_HERE)
    rated = replace(RATE, follows=discount_formula(pad.ledger))
    pad.spread("discount_rate", "discount rate", terms.discount_rate, rated)
    pad.spread("inflation", "inflation", terms.inflation, RATE)
    pad.put("rates_are", Entry("rates are (nominal or real)", "real" if terms.rates_are_real else "nominal", ""))
    early = 0.5 if terms.timing is Timing.MID_YEAR else 0.0
    words = "yearly streams come before the end of their year by (0 or 0.5)"
    pad.put("early_by_years", Entry(words, early, "years", "0.0", source=terms.timing.value))
    _inflation_in_flows(pad)
    if rate is None:
        none = Entry("own work, an hour", 0.0, pad.coin, "0.00", source="no rate given: hours without money")
        pad.put("labour_rate", none)
    else:
        pad.spread("labour_rate", "own work, an hour", rate, Form(pad.coin, "0.00##"))
    if power.price is not None:
        pad.spread("electricity_price", "electricity", power.price, Form(f"{pad.coin}/kWh", "0.0000##"))
    grown = replace(RATE, follows=electric_growth_formula(pad.ledger))
    pad.spread("electricity_price_growth", "electricity, growth of its price", power.price_growth, grown)


def _inflation_in_flows(pad: Pad) -> None:
    sheet = pad.sheet
    label(sheet, "inflation in the cash flow (0 with real rates)")
    cell = sheet.page.cell(sheet.at, 2)
    cell.value, cell.number_format = '=IF(rates_are="real",0,inflation)', "0.00%"
    sheet.note(8, "a formula")
    sheet.note(9, pad.live.name("inflation_in_flows", sheet, 2))
    sheet.at += 1


def _heat(pad: Pad, facts: Facts) -> None:
    heat = pad.live.appraisal.typical_heat
    if heat is None:
        return
    said, band = f"typical year, {heat.basis}", heat.avoided_range_kwh
    form = ("kWh", "#,##0.0", "reckoned", said)
    pad.put("need_kwh", Entry("heat needed without the build, a typical year", heat.need_kwh, *form))
    pad.put("avoided_kwh", Entry("heat not bought, a typical year", heat.avoided_kwh, *form, band.p10, band.p90))
    for key, words, days in (
        ("gdd_indoor", "growing degree-days indoors", heat.gdd_indoor_k_d),
        ("gdd_over_outdoors", "growing degree-days over outdoors", heat.gdd_over_outdoors_k_d),
        ("gdd_by_build", "growing degree-days by the build", heat.gdd_by_build_k_d),
    ):
        if days is not None:
            shown = facts.shown_degree_days(days)
            entry = Entry(words, shown, facts.degree_day_unit, "#,##0.0", "reckoned", said)
            pad.put(key, entry, here=NOT_HERE)


def _source(pad: Pad, source: Source, number: int) -> SourceNames:
    own, name, base = f"source_{number}", source.name, pad.ledger.terms.base_date
    per_unit = Form(f"{pad.coin} per {source.unit}", "0.00####")
    now = price_in_force(source, base)
    stated = replace(per_unit, follows=price_formula(pad.ledger, source, number))
    price = pad.spread(f"{own}_price", f"{name}: price on the base date", now, stated)
    rise = replace(RATE, follows=growth_formula(pad.ledger, number))
    growth = pad.spread(f"{own}_price_growth", f"{name}: growth of its price", source.price_growth, rise)
    tariffs = []
    for tariff in sorted(source.tariffs, key=lambda t: t.since):
        year = year_of(tariff.since, base=base)
        if year >= 1:
            words = f"{name}: price from {tariff.since.isoformat()} on (year {year})"
            tariffs.append((year, pad.spread(f"{own}_price_from_year_{year}", words, tariff.price, per_unit)))
    heat = Form(f"kWh per {source.unit}", "#,##0.0###")
    in_unit = pad.spread(f"{own}_heat_per_unit", f"{name}: heat in a unit", source.heat_per_unit_kwh, heat)
    words = f"{name}: delivered ÷ gross" + (" (in its curve: leave at 1)" if source.cop else "")
    share = Spread.sure(1.0) if source.cop else source.efficiency
    part = pad.spread(f"{own}_efficiency", words, share, Form("", "0.0##"))
    hours = None
    if source.hours_per_unit is not None:
        form = Form("hours", "0.0##")
        hours = pad.spread(f"{own}_hours_per_unit", f"{name}: own work for a unit", source.hours_per_unit, form)
    capital = None
    if source.capital is not None:
        owned = " (owned already)" if source.bought else ""
        capital = pad.money(f"{own}_capital", f"{name}: to buy one{owned}", source.capital)
    life = pad.spread(f"{own}_life_years", f"{name}: life", source.life_years, Form("years", "0.0"))
    upkeep = pad.money(f"{own}_upkeep", f"{name}: upkeep of one, a year", source.upkeep_per_year)
    return SourceNames(price, growth, in_unit, part, hours, capital, life, upkeep, tuple(tariffs))


def _group(pad: Pad, group: Group) -> GroupNames:
    own = f"builds_{group.number}" if group.number else "build"
    running, upkeep, coin = group.running, group.upkeep, pad.coin
    basis, kept = running.basis.value, upkeep.basis.value
    unknown = " (not known: taken as 0)" if running.energy_cost is None else ""
    rows = (
        ("energy", f"energy used a year{unknown}", running.energy_kwh, "kWh", "#,##0.0##", basis),
        ("work_hours", "own work of running, a year", running.own_hours, "hours", "0.0##", basis),
        ("other_running", "other running cost a year", running.other_cost, coin, "#,##0.00", basis),
        ("upkeep", "upkeep paid a year", upkeep.cost, coin, "#,##0.00", kept),
        ("upkeep_hours", "own work of upkeep, a year", upkeep.own_hours, "hours", "0.0##", kept),
    )
    made = [
        pad.put(f"{own}_{key}", Entry(f"{group.name}: {words}", float(value), unit, form, source=said))
        for key, words, value, unit, form, said in rows
    ]
    return GroupNames(*made)


def _items(pad: Pad, names: InputNames) -> None:
    pairs = [(build, item) for build in pad.ledger.builds for item in build.items]
    for number, (build, item) in enumerate(pairs, start=1):
        own, what = f"item_{number}", f"{build.name}: {item.what}"
        hours = item.hours if item.hours is not None else Spread.sure(0.0)
        names.items.append(
            ItemNames(
                pad.money(f"{own}_amount", f"{what}, amount", item.amount, source=item.paper or item.status.value),
                pad.spread(f"{own}_share", f"{what}, share for heat", item.share, Form("", "0.0%", item.why_share)),
                pad.spread(f"{own}_hours", f"{what}, own work", hours, Form("hours", "0.0##")),
                pad.spread(f"{own}_life_years", f"{what}, life", item.life_years, Form("years", "0.0")),
                pad.money(f"{own}_residual", f"{what}, left at its end", item.residual),
            )
        )


def _loan(pad: Pad, loan: Loan, number: int) -> LoanNames:
    own, words = f"loan_{number}", f"loan: {loan.name}"
    most = f"years, {most_payments(loan) / loan.payments_per_year:g} here at most"
    return LoanNames(
        pad.put(f"{own}_principal", Entry(f"{words}, principal", float(loan.principal), pad.coin, "#,##0.00")),
        pad.put(f"{own}_annual_rate", Entry(f"{words}, yearly rate", loan.annual_rate, "a year", "0.00%")),
        pad.put(f"{own}_years", Entry(f"{words}, years", float(loan.years), most, "0.0##")),
    )


def most_payments(loan: Loan) -> int:
    """For how many payments the schedule has room: those of fifteen years, or its own if they are more."""
    return max(round(loan.years * loan.payments_per_year), ROOMY_LOAN_YEARS * loan.payments_per_year, 1)


def _rest(pad: Pad) -> None:
    """The other entries of the ledger: they enter by way of the log and ask for another run."""
    pad.sheet.blank()
    text = "Other entries of the ledger, as read: they act through the log's hours, or are dates and names"
    pad.sheet.words(text)
    pad.sheet.page.cell(pad.sheet.at - 1, 1).alignment = Alignment(wrap_text=False)
    for row in input_rows(pad.ledger):
        if not _LIVE_PATHS.match(row.path):
            said = HOLD_NOTE if row.path == "hold.temperature" else row.note
            form = ("#,##0.####", row.basis, said, row.low, row.high)
            named = row.path.replace("[", "_").replace("]", "")
            pad.put(named, Entry(row.path, row.value, row.unit, *form), here=NOT_HERE)
