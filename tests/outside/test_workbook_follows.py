"""Workbooks of random ledgers, and workbooks in which an input was changed, reckoned by an office suite."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from math import isclose

import pytest
from hypothesis import HealthCheck, Phase, assume, given, seed, settings
from hypothesis import strategies as st
from openpyxl.workbook import Workbook

from ledger.appraisal import Appraisal, Identity, Program
from ledger.heat.results import HouseFigures, TypicalHeat
from ledger.model.ledger import Ledger
from ledger.model.terms import Posting
from ledger.model.values import MoneyRange
from ledger.money.avoided import typical_money
from ledger.money.builds import builds
from ledger.money.capital import capital
from ledger.money.figures import DegreeDays, worth
from ledger.money.flows import cash_flow
from ledger.money.loans import loans
from ledger.money.project import project_from, whole_house_project
from ledger.money.results import Percentiles, WorthRange
from ledger.money.running import typical_running, typical_upkeep
from ledger.money.year import build_years, year_money
from ledger.plans.compare import compare
from ledger.views.workbook import workbook_bytes
from tests.money.made import loan, sure
from tests.outside.office import changed, disagreements, errors, read_values, recalculated, values
from tests.plans.random_ledgers import ledgers, typical_years

pytestmark = pytest.mark.outside
EXAMPLES = 8
LEAST_KWH = 1e-3
HEX = "0" * 64
NOT_RANGED = WorthRange(Percentiles(None, None, None), Percentiles(None, None, None), None, 0, 0)
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
    shares = each if abs(heat.avoided_kwh) > LEAST_KWH else None
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
        plans=compare(ledger, heat, fan_kwh=None, coldest_logged_c=-14.0, shares=shares).plans, assumed=(),
    )  # fmt: skip


def with_loan(ledger: Ledger, posting: Posting) -> Ledger:
    lent = loan("2500.00", 0.0525, 4, payments_per_year=12, posting=posting, start=date(2025, 10, 3))
    return replace(ledger, terms=replace(ledger.terms, loans=(lent,)))


def some_ledgers() -> list[tuple[Ledger, TypicalHeat]]:
    """So many random ledgers with typical years, always the same ones."""
    found: list[tuple[Ledger, TypicalHeat]] = []

    @seed(20260115)
    @settings(max_examples=EXAMPLES, database=None, deadline=None, phases=(Phase.generate,),
              suppress_health_check=list(HealthCheck))  # fmt: skip
    @given(ledgers(), typical_years(), st.sampled_from([None, *Posting]), st.none() | st.floats(10, 900))
    def gather(ledger: Ledger, heat: TypicalHeat, posting: Posting | None, days: float | None) -> None:
        assume(heat.avoided_kwh == 0.0 or abs(heat.avoided_kwh) > LEAST_KWH)
        whole = ledger if posting is None else with_loan(ledger, posting)
        found.append((whole, replace(heat, gdd_indoor_k_d=days)))

    gather()
    return found


@dataclass(frozen=True)
class Case:
    """A workbook, what is typed into it, and the answer that it must then give."""

    book: bytes
    typed: Mapping[str, float | str]
    expected: Appraisal


def _new_rate(ledger: Ledger) -> tuple[Ledger, dict[str, float]]:
    return replace(ledger, terms=replace(ledger.terms, discount_rate=sure(0.083))), {"discount_rate": 0.083}


def _new_price(ledger: Ledger) -> tuple[Ledger, dict[str, float]]:
    """The price of the first source. Where electricity has its price from it, that follows too."""
    first = replace(ledger.sources[0], price=sure(0.37), tariffs=())
    return replace(ledger, sources=(first, *ledger.sources[1:])), {"source_1_price": 0.37}


def _new_item(ledger: Ledger, **new: object) -> Ledger:
    build = ledger.builds[0]
    item = replace(build.items[0], **new)  # type: ignore[arg-type]
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


CHANGES: tuple[Callable[[Ledger], tuple[Ledger, dict[str, float]]], ...] = (
    _new_rate, _new_price, _new_life, _new_share, _new_amount, _new_growth,
)  # fmt: skip


def cases() -> list[Case]:
    """Each random ledger as it is, and with one thing changed in the file and in the ledger alike."""
    made = []
    for number, (ledger, heat) in enumerate(some_ledgers()):
        if number % len(CHANGES) == 1:  # a tariff in force on the base date would be the price: none to be confused by
            ledger = replace(ledger, sources=tuple(replace(s, tariffs=()) for s in ledger.sources))
        book = workbook_bytes(answered(ledger, heat))
        made.append(Case(book, {}, answered(ledger, heat)))
        other, typed = CHANGES[number % len(CHANGES)](ledger)
        made.append(Case(book, typed, answered(other, heat)))
    less = replace(heat, avoided_kwh=heat.avoided_kwh * 0.6, to_buy_kwh=heat.need_kwh - heat.avoided_kwh * 0.6)
    made.append(Case(book, {"avoided_kwh": less.avoided_kwh}, answered(ledger, less)))
    return made


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
    assert len(reckoned) == 2 * EXAMPLES + 1
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
            if key == "irr" and case.typed:
                continue  # how many rates there are is counted by the program, not by the file
            expected, live = getattr(case.expected.worth, key), found[key]
            if expected is None or not isinstance(live, int | float):
                same = (expected is None) == (not isinstance(live, int | float))
            else:
                size = case.expected.worth.build_life_cycle_cost or 0.0
                slack = 1e-9 * max(1.0, abs(size)) if "npv" in key or "cost" in key else 1e-9
                same = isclose(live, expected, rel_tol=1e-9, abs_tol=slack)
            if not same:
                wrong.append((dict(case.typed), key, expected, live))
    assert wrong == [], wrong
