"""Workbooks of random ledgers, and workbooks in which an input was changed, reckoned by an office suite."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from itertools import pairwise
from math import isclose
from typing import TypedDict, Unpack

import pytest
from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st
from openpyxl.workbook import Workbook

from ledger.appraisal import Appraisal, Identity, Program
from ledger.doubt.breakeven import HIGHEST_FACTOR, HIGHEST_RATE, NONE_SENSIBLE, BreakEven
from ledger.doubt.puts import scale_prices
from ledger.heat.results import HouseFigures, TypicalHeat
from ledger.model.build import Item
from ledger.model.ledger import Ledger
from ledger.model.terms import Posting, Timing
from ledger.model.values import Assumption, Basis, MoneyRange, Spread
from ledger.money.avoided import typical_money
from ledger.money.builds import builds
from ledger.money.capital import capital
from ledger.money.figures import DegreeDays, worth
from ledger.money.flows import cash_flow
from ledger.money.loans import loans
from ledger.money.prices import price_in_force
from ledger.money.project import project_from, whole_house_project
from ledger.money.results import Percentiles, WorthFigures, WorthRange
from ledger.money.running import typical_running, typical_upkeep
from ledger.money.worth import npv, npv_without_residual
from ledger.money.year import NO_HEAT_KWH, build_years, year_money
from ledger.plans.compare import compare
from ledger.views.workbook import workbook_bytes
from tests.money.made import loan, sure
from tests.outside.office import changed, disagreements, errors, read_values, recalculated, values
from tests.plans.random_ledgers import ledgers, typical_years

pytestmark = pytest.mark.outside
EXAMPLES = 6
DRAWN = 60
HEX = "0" * 64
NOT_RANGED = WorthRange(Percentiles(None, None, None), Percentiles(None, None, None), None, 0, 0)
BREAK_EVENS = {
    "break_even_price": "price", "break_even_net": "capital.net", "break_even_avoided_kwh": "typical_year.avoided_kwh",
    "break_even_discount_rate": "money.discount_rate", "break_even_study_years": "money.study_years",
}  # fmt: skip
FIGURES = (
    "npv", "npv_without_residual", "irr", "mirr", "simple_payback_years", "simple_payback_gross_years",
    "simple_payback_cash_years", "payback_with_growth_years", "discounted_payback_years", "savings_to_investment_ratio",
    "adjusted_irr", "build_life_cycle_cost", "build_annual_cost", "heat_cost_per_kwh", "avoided_price_per_kwh",
    "cost_per_gdd_indoor",
)  # fmt: skip


def answered(ledger: Ledger, heat: TypicalHeat) -> Appraisal:
    """The money rooms' answer on a typical year, composed as the program composes it, without log or draws."""
    running, _ = typical_running(ledger, ledger.builds, fan_kwh=None)
    upkeep = typical_upkeep(ledger, ledger.builds)
    years = {s.name: year_money(ledger, heat, s, running=running, upkeep=upkeep)[0] for s in ledger.sources}
    year = years[ledger.terms.against]
    project = project_from(ledger, year)
    each = {b.name: 1.0 / len(ledger.builds) for b in ledger.builds}
    shares = each if abs(heat.avoided_kwh) > NO_HEAT_KWH else None
    figures = worth(project, against=ledger.terms.against, others=years,
                    whole_house=whole_house_project(ledger, year),
                    degree_days=DegreeDays(heat.gdd_indoor_k_d, None, None)).figures  # fmt: skip
    return Appraisal(
        program=Program("warmledger", "0"), identity=Identity(ledger.title, "EUR", "ledger.toml", HEX, ()),
        source=ledger, house=HouseFigures(300.0, 30.0, 20.0, 350.0, 350.0, 1.0, 60.0, 160.0, 120.0), record=None,
        log=None, seasons=(), typical_heat=heat, typical_money=typical_money(year, running=running, upkeep=upkeep),
        capital=capital(ledger), worth=figures, worth_range=NOT_RANGED, drivers=(), verdict="not yet known", why="",
        builds=builds(ledger, build_years(ledger, year, shares, fan_kwh=None)), cash_flow=cash_flow(project),
        loans=loans(ledger.terms, project),
        plans=compare(ledger, heat, fan_kwh=None, coldest_logged_c=-14.0, shares=shares).plans, assumed=ledger.assumed,
        break_evens=solved(ledger, heat, figures),
    )  # fmt: skip


def gain(ledger: Ledger, heat: TypicalHeat, *, residual: bool = True) -> float:
    """NPV by the money rooms."""
    running, _ = typical_running(ledger, ledger.builds, fan_kwh=None)
    upkeep = typical_upkeep(ledger, ledger.builds)
    source = ledger.source(ledger.terms.against)
    project = project_from(ledger, year_money(ledger, heat, source, running=running, upkeep=upkeep)[0])
    return float(npv(project) if residual else npv_without_residual(project))


def on_the_line(at_one: float, at_two: float) -> float | None:
    """Where a straight line through its values at 1 and 2 is 0, if inside the ten times that the program looks at."""
    if at_one == at_two:
        return None
    root = 1.0 - at_one / (at_two - at_one)
    return root if 0.0 <= root <= HIGHEST_FACTOR else None


def times_capital(ledger: Ledger, factor: str) -> Ledger:
    """All items, their own work and what is left of them, so many times as dear."""
    times = Decimal(factor)

    def dearer(one: Item) -> Item:
        money = one.amount.likely * times, one.residual.likely * times
        hours = None if one.hours is None else sure(one.hours.likely * float(times))
        return replace(one, amount=MoneyRange(*money[:1] * 3), residual=MoneyRange(*money[1:] * 3), hours=hours)

    return replace(ledger, builds=tuple(replace(b, items=tuple(map(dearer, b.items))) for b in ledger.builds))


def with_heat(heat: TypicalHeat, avoided_kwh: float) -> TypicalHeat:
    return replace(heat, avoided_kwh=avoided_kwh, to_buy_kwh=heat.need_kwh - avoided_kwh)


def solved(ledger: Ledger, heat: TypicalHeat, figures: WorthFigures) -> tuple[BreakEven, ...]:
    """Where it just pays, by two runs of the money rooms each: NPV is straight in price, capital and avoided heat."""
    terms, source = ledger.terms, ledger.source(ledger.terms.against)
    price = price_in_force(source, terms.base_date).likely
    times = on_the_line(*(gain(scale_prices(ledger, source.name, f), heat) for f in (1.0, 2.0)))
    dear = on_the_line(*(gain(times_capital(ledger, f), heat) for f in ("1", "2")))
    put_in = capital(ledger)
    net = None if dear is None else dear * put_in.share_for_heat - put_in.grants
    one, two = (gain(ledger, with_heat(heat, kwh)) for kwh in (0.0, 100.0))
    kwh = None if one == two else one / (one - two) * 100.0
    most = max(heat.need_kwh, heat.avoided_kwh)
    rate = figures.irr if figures.irr is not None and 0.0 <= figures.irr <= HIGHEST_RATE else None
    shorter = (k for k in range(1, terms.study_years + 1)
               if gain(replace(ledger, terms=replace(terms, study_years=k)), heat, residual=False) >= 0.0)  # fmt: skip
    found = {f"source[{source.name}].price": None if times is None else times * price, "capital.net": net,
             "typical_year.avoided_kwh": kwh if kwh is not None and 0.0 <= kwh <= most else None,
             "money.discount_rate": rate, "money.study_years": next(shorter, None)}  # fmt: skip
    return tuple(BreakEven(path, path, "", 0.0, at, None, "" if at is not None else NONE_SENSIBLE)
                 for path, at in found.items())  # fmt: skip


def with_loan(ledger: Ledger, posting: Posting, rate: float = 0.0525) -> Ledger:
    lent = loan("2500.00", rate, 4, payments_per_year=12, posting=posting, start=date(2025, 10, 3))
    more = loan("900.00", 0.04, 2, posting=Posting.CENTS, name="neighbour")
    return replace(ledger, terms=replace(ledger.terms, loans=(lent, more)))


def with_defaults(ledger: Ledger) -> Ledger:
    """The same with every growth left open: as inflation, or 0 with real rates, and said to be so."""
    growth = Spread.sure(0.0 if ledger.terms.rates_are_real else ledger.terms.inflation.likely, Basis.ASSUMED)
    paths = ["electricity.price_growth", *(f"source[{n}].price_growth" for n in range(1, len(ledger.sources) + 1))]
    return replace(
        ledger,
        electricity=replace(ledger.electricity, price_growth=growth),
        sources=tuple(replace(s, price_growth=growth) for s in ledger.sources),
        assumed=tuple(Assumption(path, "", "as inflation") for path in paths),
    )


def drawn_ledgers() -> list[tuple[Ledger, TypicalHeat]]:
    """So many random ledgers with typical years."""
    found: list[tuple[Ledger, TypicalHeat]] = []

    @seed(1)
    @settings(max_examples=DRAWN, database=None, deadline=None, phases=(Phase.generate,),
              suppress_health_check=list(HealthCheck))  # fmt: skip
    @given(ledgers(), typical_years(), st.sampled_from([None, *Posting]), st.none() | st.floats(10, 900))
    def gather(ledger: Ledger, heat: TypicalHeat, posting: Posting | None, days: float | None) -> None:
        whole = ledger if posting is None else with_loan(ledger, posting)
        found.append((whole, replace(heat, gdd_indoor_k_d=days)))

    gather()
    return found


def _sign(answer: Appraisal) -> str:
    return "gains" if (answer.worth.npv or 0.0) > 0.0 else "does not gain"


def some_ledgers() -> list[tuple[Ledger, TypicalHeat]]:
    """A few of them, first those in which something just pays that just paid in none before, one that gains, one not.

    What is drawn hangs on more than the seed: on every module that was loaded before.
    """
    chosen: list[tuple[Ledger, TypicalHeat]] = []
    others: list[tuple[Ledger, TypicalHeat]] = []
    met: set[str] = set()
    for ledger, heat in drawn_ledgers():
        answer = answered(ledger, heat)
        new = {b.path for b in answer.break_evens if b.at is not None}
        new = {"price" if path.startswith("source[") else path for path in new} | {_sign(answer)}
        new -= met
        (chosen if new else others).append((ledger, heat))
        met |= new
    return [*chosen, *others][:EXAMPLES]


@dataclass(frozen=True)
class Case:
    """A workbook, what is typed into it, and the answer that it must then give."""

    book: bytes
    typed: Mapping[str, float | str]
    expected: Appraisal


def _new_rate(ledger: Ledger) -> tuple[Ledger, dict[str, float]]:
    return replace(ledger, terms=replace(ledger.terms, discount_rate=sure(0.083))), {"discount_rate": 0.083}


def _new_price(ledger: Ledger) -> tuple[Ledger, dict[str, float]]:
    """The price of the first source on the base date: that of the tariff then in force, if there is one."""
    first, base = ledger.sources[0], ledger.terms.base_date
    begun = [t for t in first.tariffs if t.since <= base]
    if begun:
        last = max(begun, key=lambda t: t.since)
        tariffs = tuple(replace(t, price=sure(0.37)) if t is last else t for t in first.tariffs)
        first = replace(first, tariffs=tariffs)
    else:
        first = replace(first, price=sure(0.37))
    return replace(ledger, sources=(first, *ledger.sources[1:])), {"source_1_price": 0.37}


class ItemCells(TypedDict, total=False):
    """Of a receipt, what stands in a yellow cell."""

    amount: MoneyRange
    share: Spread
    life_years: Spread


def _new_item(ledger: Ledger, **new: Unpack[ItemCells]) -> Ledger:
    build = ledger.builds[0]
    item = replace(build.items[0], **new)
    return replace(ledger, builds=(replace(build, items=(item, *build.items[1:])), *ledger.builds[1:]))


def _new_life(ledger: Ledger) -> tuple[Ledger, dict[str, float]]:
    return _new_item(ledger, life_years=sure(4.5)), {"item_1_life_years": 4.5}


def _new_share(ledger: Ledger) -> tuple[Ledger, dict[str, float]]:
    return _new_item(ledger, share=sure(0.35)), {"item_1_share": 0.35}


def _new_amount(ledger: Ledger) -> tuple[Ledger, dict[str, float]]:
    amount = Decimal("1234.56")
    return _new_item(ledger, amount=MoneyRange(amount, amount, amount)), {"item_1_amount": 1234.56}


def _new_growth(ledger: Ledger) -> tuple[Ledger, dict[str, float]]:
    sources = tuple(replace(s, price_growth=sure(0.041)) for s in ledger.sources)
    typed = {f"source_{n}_price_growth": 0.041 for n in range(1, len(sources) + 1)}
    return replace(ledger, sources=sources), typed


def _new_inflation(ledger: Ledger) -> tuple[Ledger, dict[str, float]]:
    """Growths that were left open follow inflation; with real rates they stay at 0."""
    other = replace(ledger, terms=replace(ledger.terms, inflation=sure(0.047)))
    return with_defaults(other), {"inflation": 0.047}


def _new_loan(ledger: Ledger) -> tuple[Ledger, dict[str, float]]:
    """Another sum, rate and length of the first loan."""
    first, *rest = ledger.terms.loans
    other = replace(first, principal=Decimal("3120.50"), annual_rate=0.0375, years=6.0)
    typed = {"loan_1_principal": 3120.5, "loan_1_annual_rate": 0.0375, "loan_1_years": 6.0}
    return replace(ledger, terms=replace(ledger.terms, loans=(other, *rest))), typed


def _shorter_loan(ledger: Ledger) -> tuple[Ledger, dict[str, float]]:
    """A length of one year and no interest."""
    first, *rest = ledger.terms.loans
    other = replace(first, annual_rate=0.0, years=1.0)
    return replace(ledger, terms=replace(ledger.terms, loans=(other, *rest))), {"loan_1_annual_rate": 0.0,
                                                                               "loan_1_years": 1.0}  # fmt: skip


Change = Callable[[Ledger], tuple[Ledger, dict[str, float]]]
CHANGES: tuple[Change, ...] = (_new_rate, _new_price, _new_life, _new_share, _new_amount, _new_growth)
CHANGES_OF_LOANS: tuple[Change, ...] = (_new_loan, _shorter_loan)


def cases() -> list[Case]:
    """Each random ledger as it is, and with one thing changed in the file and in the ledger alike."""
    made = []
    for number, (ledger, heat) in enumerate(some_ledgers()):
        made.append(case(ledger, ledger, heat, {}))
        made.append(case(ledger, *_swapped(CHANGES[number % len(CHANGES)], ledger, heat)))
        if number % 2:
            made.append(case(with_defaults(ledger), *_swapped(_new_inflation, ledger, heat)))
        else:
            lent = with_loan(ledger, list(Posting)[number % 4 // 2])
            made.append(case(lent, *_swapped(CHANGES_OF_LOANS[number % 4 // 2], lent, heat)))
    less = with_heat(heat, heat.avoided_kwh * 0.6)
    made.append(case(ledger, ledger, less, {"avoided_kwh": less.avoided_kwh}, before=heat))
    tiny = with_heat(heat, 4e-4)
    made.append(case(ledger, ledger, tiny, {}))
    return made


def _swapped(change: Change, ledger: Ledger, heat: TypicalHeat) -> tuple[Ledger, TypicalHeat, dict[str, float]]:
    other, typed = change(ledger)
    return other, heat, typed


def case(ledger: Ledger, other: Ledger, heat: TypicalHeat, typed: Mapping[str, float], *,
         before: TypicalHeat | None = None) -> Case:  # fmt: skip
    """The workbook of one ledger, what is typed into it, and the answer to the other."""
    return Case(workbook_bytes(answered(ledger, before or heat)), typed, answered(other, heat))


@pytest.fixture(scope="module")
def reckoned(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[Case, Workbook]]:
    folder = tmp_path_factory.mktemp("random")
    everything = cases()
    files = []
    for number, case in enumerate(everything):
        plain = folder / f"plain-{number}.xlsx"
        plain.write_bytes(case.book)
        files.append(changed(plain, case.typed, folder / f"case-{number}.xlsx") if case.typed else plain)
    return [(case, read_values(file)) for case, file in zip(everything, recalculated(files, folder), strict=True)]


def test_there_are_ledgers_that_pay_and_ledgers_that_do_not(reckoned: list[tuple[Case, Workbook]]) -> None:
    values_today = [case.expected.worth.npv for case, _ in reckoned]
    assert len(reckoned) == 3 * EXAMPLES + 2
    assert any(npv is not None and npv > 0 for npv in values_today)
    assert any(npv is not None and npv < 0 for npv in values_today)


def test_no_cell_of_a_random_ledgers_workbook_holds_an_error(reckoned: list[tuple[Case, Workbook]]) -> None:
    assert [errors(book) for _, book in reckoned] == [[]] * len(reckoned)


def test_every_total_comes_out_a_second_way_whatever_was_changed(reckoned: list[tuple[Case, Workbook]]) -> None:
    for case, book in reckoned:
        assert values(book)["all_adds_up"] == "yes", [row for row in disagreements(book) if row.startswith("adds up")]
        if not case.typed:
            assert disagreements(book) == []


def test_every_named_figure_is_the_programs_on_the_changed_ledger(reckoned: list[tuple[Case, Workbook]]) -> None:
    """1e-9 of the figure; of a present value, of the money that it is the difference of."""
    wrong = []
    for case, book in reckoned:
        found = values(book)
        net_capital = found["net_capital"]
        assert isinstance(net_capital, int | float)
        assert isclose(net_capital, case.expected.capital.net, rel_tol=1e-9, abs_tol=1e-6)
        for key in FIGURES:
            expected, live = getattr(case.expected.worth, key), found[key]
            if key == "irr" and case.typed and not isinstance(live, int | float) and turns(case.expected) > 1:
                continue  # of changed flows that turn more than once only the program counts the rates
            if expected is None or not isinstance(live, int | float):
                same = (expected is None) == (not isinstance(live, int | float))
            else:
                size = case.expected.worth.build_life_cycle_cost or 0.0
                slack = 1e-9 * max(1.0, abs(size)) if "npv" in key or "cost" in key else 1e-9
                same = isclose(live, expected, rel_tol=1e-9, abs_tol=slack)
            if not same:
                wrong.append((dict(case.typed), key, expected, live))
    assert wrong == [], wrong


def turns(answer: Appraisal) -> int:
    """How often the dated flows change their sign; at mid-year what is left comes half a year after the last flow."""
    flows = [one.net for one in answer.cash_flow]
    if answer.source.terms.timing is Timing.MID_YEAR:
        flows = [one.net - one.residual for one in answer.cash_flow] + [answer.cash_flow[-1].residual]
    signs = [flow > 0 for flow in flows if abs(flow) > 1e-9]
    return sum(before != after for before, after in pairwise(signs))


def test_where_it_just_pays_is_where_two_runs_of_the_program_put_it(reckoned: list[tuple[Case, Workbook]]) -> None:
    """Solved to 1e-7 of the value: near a line that hardly rises a last digit of NPV moves its root by more."""
    wrong, met = [], set()
    for case, book in reckoned:
        found = values(book)
        against = case.expected.source.terms.against
        filed = {one.path: one.at for one in case.expected.break_evens}
        for name, path in BREAK_EVENS.items():
            live = found.get(name)
            expected = filed[f"source[{against}].price" if path == "price" else path]
            if name not in found or (name == "break_even_discount_rate" and turns(case.expected) > 1):
                continue
            if expected is None or not isinstance(live, int | float):
                same = (expected is None) == (not isinstance(live, int | float))
            else:
                met.add(name)
                same = isclose(live, expected, rel_tol=1e-7, abs_tol=1e-7)
            if not same:
                wrong.append((dict(case.typed), name, expected, live))
    assert wrong == [], wrong
    assert met >= set(BREAK_EVENS) - {"break_even_discount_rate"}  # that one is the internal rate, compared above


def test_the_loans_are_the_programs_and_end_at_nothing_owed(reckoned: list[tuple[Case, Workbook]]) -> None:
    seen = 0
    for case, book in reckoned:
        found = values(book)
        for number, one in enumerate(case.expected.loans, start=1):
            seen += 1
            assert found[f"loan_{number}_payment"] == pytest.approx(one.payment, rel=1e-9)
            assert found[f"loan_{number}_payments"] == len(one.rows)
            assert one.rows[-1].balance == 0.0
        for one in case.expected.loans[:1]:
            page = {row[0].value: row for row in book["loan"].iter_rows(max_row=2 + len(one.saving_cover))}
            for year in one.saving_cover:
                live = page[year.year][3].value
                assert live == (pytest.approx(year.amount, rel=1e-9) if year.amount is not None else "none due")
            lowest = "none due" if one.lowest is None else pytest.approx(one.lowest.saving_cover, rel=1e-9)
            assert found["lowest_saving_cover"] == lowest
    assert seen > 10
