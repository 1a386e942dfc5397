"""Dated cash and what it is worth: by hand, published, properties."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.model.terms import Timing
from ledger.money.builds import builds
from ledger.money.discounting import real_rate
from ledger.money.figures import DegreeDays, project_internal_rate, worth
from ledger.money.flows import cash_flow, flows, part_left, replacements
from ledger.money.project import Project, YearMoney, project_from
from ledger.money.results import WorthFigures
from ledger.money.worth import (
    annual_cost,
    build_life_cycle_cost,
    net_saving,
    npv,
    npv_without_residual,
    present_values,
    simple_payback,
)
from tests.known import known, known_float
from tests.money.made import build, grant, item, ledger_of, part, project, year_money


def figures(
    p: Project,
    *,
    others: Mapping[str, YearMoney] | None = None,
    whole_house: Project | None = None,
    degree_days: DegreeDays | None = None,
) -> WorthFigures:
    return worth(
        p,
        against="plug heater",
        others=others or {},
        whole_house=whole_house or p,
        degree_days=degree_days or DegreeDays(),
    ).figures


# Constructed by us (checks of conventions): 10,000 at t = 0, saving 1,500 a year, 15 years, 6 %.
PLAIN = project(part(10000.0, life=15.0), saving=1500.0, years=15, d=0.06)


def test_one_project_at_the_end_and_in_the_middle_of_years() -> None:
    assert float(npv(PLAIN)) == pytest.approx(4568.37, abs=0.005)
    assert float(npv(replace(PLAIN, timing=Timing.MID_YEAR))) == pytest.approx(4999.06, abs=0.005)


def test_year_0_is_not_discounted() -> None:
    """A spreadsheet NPV() over all cells starts at t = 1 and gives 4,309.79 = ours ÷ 1.06."""
    assert float(npv(PLAIN)) / 1.06 == pytest.approx(4309.79, abs=0.005)


def test_its_internal_rate_is_12_40_percent() -> None:
    assert figures(PLAIN).irr == pytest.approx(0.1240, abs=5e-5)


def test_a_residual_of_4000_in_year_10() -> None:
    """Course CHE374, lecture 5: 20,000, 3,000 a year, 4,000 left after 10 years, 5 %: 5,621; yearly 728."""
    p = project(part(20000.0, life=10.0, residual=4000.0), saving=3000.0, years=10, d=0.05)
    assert float(npv(p)) == pytest.approx(5621, abs=0.5)
    yearly = float(npv(p)) / float(build_life_cycle_cost(p)) * float(annual_cost(p))
    assert yearly == pytest.approx(728, abs=0.5)


def test_the_other_two_choices_of_that_lecture() -> None:
    """Course CHE374, lecture 5: 40,000, 8,000 a year, 13,000 left, 5 y: 4,822; the first one cut at 5 y: −1,527."""
    second = project(part(40000.0, life=5.0, residual=13000.0), saving=8000.0, years=5, d=0.05)
    assert float(npv(second)) == pytest.approx(4822, abs=0.5)
    cut = project(part(20000.0, life=5.0, residual=7000.0), saving=3000.0, years=5, d=0.05)
    assert float(npv(cut)) == pytest.approx(-1527, abs=0.5)


def test_constant_and_current_money_at_their_own_rates() -> None:
    """Course CHE374, lecture 10: 100,000, 30,000 a year, 5 y: 26,400 at 6 % real, 16,100 at 9.18 % nominal (±50).

    In current money the constant 30,000 grows by 3 % a year, and the two agree.
    """
    constant = project(part(100000.0, life=5.0), saving=30000.0, years=5, d=0.06)
    assert float(npv(constant)) == pytest.approx(26400, abs=50)
    assert float(npv(replace(constant, discount_rate=0.0918))) == pytest.approx(16100, abs=50)
    current = replace(constant, discount_rate=0.0918, inflation=0.03, year=year_money(30000.0, fuel_growth=0.03))
    assert float(npv(current)) == pytest.approx(float(npv(constant)), rel=1e-12)


# Constructed by us (identity of the adjusted rate): I 10,000, saving 1,200, O&M 100, 3 %, 20 y, 1,500 replaced in
# year 12 (life 15, so 1,500 · 7/15 = 700 is left in year 20), laid out as an item bought in year 12.
IDENTITY = project(
    part(10000.0, life=20.0),
    part(1500.0, life=15.0, year=12),
    saving=year_money(1200.0, running_other_cost=100.0),
    years=20,
    d=0.03,
)


def test_the_identity_example_comes_out_on_both_sides() -> None:
    """PV savings 16,365.22, PV investment 10,664.50, SIR 1.534552, AIRR 0.0522921 by 436.22 and by the identity."""
    answer = figures(IDENTITY)
    values = present_values(IDENTITY)
    assert float(values.saving + values.running) == pytest.approx(16365.22, abs=0.005)
    assert -float(values.capital + values.replacement + values.residual) == pytest.approx(10664.50, abs=0.005)
    assert answer.npv == pytest.approx(5700.73, abs=0.01)
    assert answer.savings_to_investment_ratio == pytest.approx(1.534552, abs=5e-7)
    assert answer.adjusted_irr == pytest.approx(0.0522921, abs=5e-8)
    terminal = sum(1100.0 * 1.03 ** (20 - t) for t in range(1, 21))
    invested = 10000 + 1500 / 1.03**12 - 700 / 1.03**20
    assert answer.adjusted_irr == pytest.approx((terminal / invested) ** (1 / 20) - 1, abs=1e-9)


# A project followed by hand, at the end of years: 4 years, d 10 %, inflation 0.
#   trench  1,000, life 8, nothing left at its end   → left in year 4: 1,000 · 4/8 = 500
#   fan       300, life 3, 60 left at its end        → bought anew in year 3 at 300;
#                                                      left in year 4: 60 + 240 · 2/3 = 220
#   screen    200, bought in year 2, life 10         → left in year 4: 200 · 8/10 = 160
#   grant     100; saving 600; fan electricity 40; belt 10
# flows: year 0: −1,300 + 100 = −1,200; year 1: 550; year 2: 550 − 200 = 350; year 3: 550 − 300 = 250;
#        year 4: 550 + 880 = 1,430
BY_HAND = project(
    part(1000.0, life=8.0),
    part(300.0, life=3.0, residual=60.0),
    part(200.0, life=10.0, year=2),
    saving=year_money(600.0, running_energy_cost=40.0, upkeep_cost=10.0),
    years=4,
    d=0.10,
    grants=100.0,
)


def test_the_cash_flow_by_hand() -> None:
    rows = cash_flow(BY_HAND)
    assert [r.capital for r in rows] == pytest.approx([-1200, 0, -200, 0, 0])
    assert [r.replacement for r in rows] == pytest.approx([0, 0, 0, -300, 0])
    assert [r.residual for r in rows] == pytest.approx([0, 0, 0, 0, 880])
    assert [r.net for r in rows] == pytest.approx([-1200, 550, 350, 250, 1430])
    assert [r.cumulative for r in rows] == pytest.approx([-1200, -650, -300, -50, 1380])
    assert rows[2].discounted == pytest.approx(350 / 1.21)
    assert (rows[1].saving, rows[1].running, rows[1].upkeep) == pytest.approx((600, -40, -10))


def test_its_present_value_by_hand() -> None:
    """−1,200 + 550/1.1 + 350/1.21 + 250/1.331 + 1,430/1.4641 = −1,200 + 500 + 289.2562 + 187.8287 + 976.7092 = 753.794.

    Without the 880 left, 880/1.4641 = 601.0518 less: 152.742.
    """
    answer = figures(BY_HAND)
    assert answer.npv == pytest.approx(753.7941, abs=1e-3)
    assert answer.npv_without_residual == pytest.approx(152.7423, abs=1e-3)


def test_its_paybacks_by_hand() -> None:
    """Simple: all items 1,500 less grant 100 over 550 a year = 2.5455; before the grant 2.7273.

    Running sum without residual: −1,200, −650, −300, −50, 500: 3 + 50/550 = 3.0909. Discounted: −1,200, −700,
    −410.7438, −222.9151, then 550/1.4641 = 375.6574: 3 + 222.9151/375.6574 = 3.5934.
    """
    answer = figures(BY_HAND)
    assert answer.simple_payback_years == pytest.approx(1400 / 550)
    assert answer.simple_payback_gross_years == pytest.approx(1500 / 550)
    assert answer.payback_with_growth_years == pytest.approx(3 + 50 / 550)
    assert answer.discounted_payback_years == pytest.approx(3 + 222.9151 / 375.6574, abs=1e-6)


def test_its_ratios_by_hand() -> None:
    """PV of 550 a year = 550 · 3.169865 = 1,743.426. Divisor: 1,200 + 200/1.21 + 300/1.331 − 601.0518 = 989.6317.

    SIR 1.761691; AIRR 1.1 · 1.761691^(1/4) − 1 = 0.267286. MIRR: only year 0 is negative, so FV of the others
    (550 · 1.331 + 350 · 1.21 + 250 · 1.1 + 1,430 = 2,860.55) ÷ 1,200 = 2.383792; ^(1/4) − 1 = 0.242561.
    """
    answer = figures(BY_HAND)
    assert answer.savings_to_investment_ratio == pytest.approx(1743.426 / 989.6317, abs=1e-5)
    assert answer.adjusted_irr == pytest.approx(1.1 * (1743.426 / 989.6317) ** 0.25 - 1, abs=1e-5)
    assert answer.mirr == pytest.approx(2.383792**0.25 - 1, abs=1e-6)


def test_its_costs_per_unit_by_hand() -> None:
    """Own costs: 989.6317 + 50 · 3.169865 = 1,148.125; ÷ 3.169865 = 362.200 a year; ÷ 1,000 kWh = 0.3622.

    The avoided price: 600 a year, level, ÷ 1,000 kWh = 0.60. Degree-days: 400 indoors, 50 by the build.
    """
    answer = figures(BY_HAND, degree_days=DegreeDays(400.0, 200.0, 50.0))
    assert answer.build_life_cycle_cost == pytest.approx(1148.125, abs=1e-3)
    assert answer.build_annual_cost == pytest.approx(362.200, abs=1e-3)
    assert answer.heat_cost_per_kwh == pytest.approx(0.362200, abs=1e-6)
    assert answer.avoided_price_per_kwh == pytest.approx(0.60, rel=1e-12)
    assert answer.cost_per_gdd_by_build == pytest.approx(362.200 / 50, abs=1e-4)
    assert answer.cost_per_gdd_indoor == pytest.approx(362.200 / 400, abs=1e-5)


def test_whole_house_degree_days_are_charged_with_all_capital() -> None:
    """The whole house costs 5,000 more in year 0 (life 8): half is left, 5,000 − 2,500/1.4641 = 3,292.466 more."""
    whole = replace(BY_HAND, items=(*BY_HAND.items, part(5000.0, life=8.0)))
    answer = figures(BY_HAND, whole_house=whole, degree_days=DegreeDays(400.0, 200.0, None))
    assert answer.cost_per_gdd_over_outdoors == pytest.approx((362.200 + 3292.466 / 3.169865) / 200, abs=1e-4)
    assert answer.cost_per_gdd_by_build is None


def test_own_work_is_put_in_once_and_neither_replaced_nor_left() -> None:
    """300 of which 60 own work, life 3, four years: 240 are paid again in year 3, 240 · 2/3 = 160 are left."""
    p = project(part(300.0, life=3.0, work=60.0), saving=100.0, years=4, d=0.05)
    rows = cash_flow(p)
    assert (rows[0].capital, rows[3].replacement, rows[4].residual) == pytest.approx((-300, -240, 160))


def test_inflation_raises_the_replacement_and_what_is_left() -> None:
    """2 %: the fan of year 3 costs 300 · 1.061208; what is left 880 · 1.08243216; the screen of year 2 stays 200."""
    rows = cash_flow(replace(BY_HAND, inflation=0.02))
    assert rows[3].replacement == pytest.approx(-318.3624)
    assert rows[4].residual == pytest.approx(952.5403, abs=1e-4)
    assert rows[2].capital == -200.0
    assert rows[1].upkeep == pytest.approx(-10.2)


def test_streams_grow_from_the_first_year_by_their_own_rate() -> None:
    p = replace(
        BY_HAND,
        inflation=0.02,
        year=year_money(
            600.0, fuel_growth=0.05, avoided_labour_cost=50.0, running_energy_cost=40.0, energy_growth=0.03
        ),
    )
    rows = cash_flow(p)
    assert rows[2].saving == pytest.approx(600 * 1.1025 + 50 * 1.0404)
    assert rows[2].running == pytest.approx(-40 * 1.0609)


def test_a_known_later_tariff_replaces_the_growth() -> None:
    p = replace(BY_HAND, year=year_money(600.0, fuel_growth=0.5, fuel_price_path=np.array([1.0, 1.5, 1.5, 2.0])))
    assert [r.saving for r in cash_flow(p)] == pytest.approx([0, 600, 900, 900, 1200])


def test_mid_year_moves_all_streams_but_the_residual() -> None:
    """d 21 %, so half a year is 1.1: −1,200 + 550/1.1 + 350/1.1³ + 250/1.1⁵ + 550/1.1⁷ + 880/1.1⁸."""
    p = replace(BY_HAND, discount_rate=0.21, timing=Timing.MID_YEAR)
    expected = -1200 + 550 / 1.1 + 350 / 1.1**3 + 250 / 1.1**5 + 550 / 1.1**7 + 880 / 1.1**8
    assert float(npv(p)) == pytest.approx(expected, rel=1e-12)


# Replacements: (life, year bought, study) → years of replacement, part of life left in the last year.
@pytest.mark.parametrize(
    ("life", "year", "study", "again", "left"),
    [
        (10.0, 0, 25, [10, 20], 0.5),
        (5.0, 0, 20, [5, 10, 15], 0.0),  # in year N not replaced
        (25.0, 0, 25, [], 0.0),
        (30.0, 0, 25, [], 5 / 30),
        (10.0, 3, 25, [13, 23], 0.8),
        (10.0, 25, 25, [], 1.0),
        (2.5, 0, 8, [3, 5], 0.0),  # ends at 2.5, 5.0, 7.5: third end lies in year 8 = N
        (12.4, 0, 25, [13], (24.8 - 25 + 0) / 12.4),  # ends at 12.4, 24.8; the second in year 25 = N: nothing left
        (0.5, 0, 2, [1, 1], 0.0),  # twice a year
        (0.1, 0, 2, [1] * 10, 0.0),
    ],
)
def test_a_unit_is_replaced_in_the_year_in_which_its_life_ends(
    life: float, year: int, study: int, again: list[int], left: float
) -> None:
    unit = part(1.0, life=life, year=year)
    bought = [k for k, n in enumerate(replacements(unit, study)) for _ in range(int(n))]
    assert bought == again
    assert float(part_left(unit, study)) == pytest.approx(max(left, 0.0), abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 40), st.integers(0, 30), st.integers(1, 60))
def test_whole_lives_are_replaced_as_a_plain_loop_does_it(life: int, year: int, study: int) -> None:
    if year > study:
        return
    expected, installed = [], year
    while installed + life < study:
        installed += life
        expected.append(installed)
    unit = part(1.0, life=float(life), year=year)
    assert [k for k, n in enumerate(replacements(unit, study)) if n] == expected
    assert float(part_left(unit, study)) == pytest.approx(1 - (study - installed) / life, abs=1e-9)


def test_lives_may_be_drawn() -> None:
    together = replacements(part(1.0, life=np.array([3.0, 10.0])), 8)
    assert together.shape == (2, 9)
    assert together.sum(axis=-1).tolist() == [2.0, 0.0]


def test_a_cash_payback_counts_no_own_work_at_all() -> None:
    """5,000 of which 1,000 own work, grant 400: 3,600 in cash. Fuel 700, own work saved 200; fan 60, its tending 30,
    belt 40: cash 700 − 60 − 40 = 600 → 6.0; with own work 4,600 ÷ 770."""
    p = project(
        part(5000.0, work=1000.0),
        saving=year_money(
            700.0, avoided_labour_cost=200.0, running_energy_cost=60.0, running_labour_cost=30.0, upkeep_cost=40.0
        ),
        years=20,
        d=0.05,
        grants=400.0,
    )
    assert figures(p).simple_payback_cash_years == pytest.approx(6.0)
    assert figures(p).simple_payback_years == pytest.approx(4600 / 770)


def test_an_unknown_running_cost_leaves_the_figures_before_it_and_says_so() -> None:
    unknown = replace(BY_HAND, year=replace(BY_HAND.year, running_energy_cost=None))
    answer = worth(unknown, against="x", others={}, whole_house=unknown, degree_days=DegreeDays())
    assert "running-unknown" in [n.code for n in answer.notices]
    assert answer.figures.npv == pytest.approx(753.7941 + 40 * 3.169865, abs=1e-3)
    assert net_saving(unknown.year) == 590.0


def test_an_unknown_saving_leaves_money_open_but_not_the_build_s_own_cost() -> None:
    unknown = replace(BY_HAND, year=replace(BY_HAND.year, avoided_fuel_cost=None, avoided_kwh=None))
    answer = worth(unknown, against="x", others={"x": unknown.year}, whole_house=unknown, degree_days=DegreeDays())
    f = answer.figures
    assert (f.npv, f.simple_payback_years, f.irr, f.heat_cost_per_kwh, f.npv_against) == (None,) * 4 + ({"x": None},)
    assert f.build_life_cycle_cost == pytest.approx(1148.125, abs=1e-3)
    assert "saving-unknown" in [n.code for n in answer.notices]


def test_every_figure_that_is_none_is_explained() -> None:
    losing = replace(BY_HAND, year=year_money(30.0, avoided_kwh=0.0, running_energy_cost=40.0))
    answer = worth(losing, against="x", others={}, whole_house=losing, degree_days=DegreeDays())
    told = {n.path for n in answer.notices}
    for name in answer.figures.__slots__:
        if getattr(answer.figures, name) is None:
            assert f"worth.{name}" in told, name


def test_a_positive_worth_only_through_the_residual_is_said() -> None:
    """1,000, life 100, 30 a year, 10 y, 1 %: sums never reach 0, but 900/1.1046 is left."""
    p = project(part(1000.0, life=100.0), saving=30.0, years=10, d=0.01)
    answer = worth(p, against="x", others={}, whole_house=p, degree_days=DegreeDays())
    assert known(answer.figures.npv) > 0
    assert answer.figures.discounted_payback_years is None
    assert any("value left at the end" in n.text for n in answer.notices)


def test_an_item_dated_after_the_study_takes_no_part_and_is_named() -> None:
    late = replace(BY_HAND, items=(*BY_HAND.items, part(777.0, year=9)))
    answer = worth(late, against="x", others={}, whole_house=late, degree_days=DegreeDays())
    assert answer.figures.npv == pytest.approx(753.7941, abs=1e-3)
    assert "item-after-study" in [n.code for n in answer.notices]


def test_the_worth_against_each_source_changes_the_saving_only() -> None:
    others = {"dear": year_money(1200.0, running_energy_cost=40.0, upkeep_cost=10.0), "same": BY_HAND.year}
    answer = figures(BY_HAND, others=others)
    assert answer.npv_against["same"] == answer.npv
    assert answer.npv_against["dear"] == pytest.approx(known(answer.npv) + 600 * 3.169865, abs=1e-3)


def test_each_build_has_its_own_capital_payback_and_worth() -> None:
    """Tubes 4,000 less a grant of 400 against 300 a year: 12 years. Tank 1,000 with no known part."""
    book = ledger_of(
        build("tubes", item("4000")), build("tank", item("1000")), grants=(grant("400", for_build="tubes"),)
    )
    tubes, tank = builds(book, {"tubes": year_money(300.0, avoided_kwh=1500.0), "tank": None})
    assert (tubes.net_capital, tubes.avoided_kwh) == (3600.0, 1500.0)
    assert tubes.simple_payback_years == pytest.approx(12.0)
    assert tubes.npv == pytest.approx(-3600 + 300 * (1 - 1.06**-25) / 0.06, rel=1e-9)
    assert (tank.net_capital, tank.simple_payback_years, tank.npv, tank.avoided_kwh) == (1000.0, None, None, None)


def test_builds_with_their_own_parts_add_up_to_the_whole() -> None:
    book = ledger_of(build("tubes", item("4000", life=12.0)), build("tank", item("1000")), grants=(grant("500"),))
    whole = project_from(book, year_money(500.0, running_other_cost=40.0))
    parts = builds(book, {"tubes": year_money(350.0, running_other_cost=40.0), "tank": year_money(150.0)})
    assert sum(known(b.npv) for b in parts) == pytest.approx(float(npv(whole)), rel=1e-12)


money = st.floats(0, 1e5)


@st.composite
def any_project(draw: st.DrawFn) -> Project:
    n = draw(st.integers(1, 40))
    items = draw(
        st.lists(
            st.builds(part, money, life=st.floats(0.5, 60), year=st.integers(0, 5), residual=st.floats(0, 100)),
            min_size=1,
            max_size=4,
        )
    )
    return project(
        *items,
        saving=year_money(
            draw(money),
            fuel_growth=draw(st.floats(-0.02, 0.08)),
            running_energy_cost=draw(st.floats(0, 1e3)),
            upkeep_cost=draw(st.floats(0, 1e3)),
        ),
        years=n,
        d=draw(st.floats(0.0, 0.15)),
        inflation=draw(st.floats(0.0, 0.05)),
        timing=draw(st.sampled_from(list(Timing))),
        grants=draw(st.floats(0, 1e3)),
    )


@settings(max_examples=60, deadline=None)
@given(any_project())
def test_the_present_value_is_saving_less_the_build_s_own_costs(p: Project) -> None:
    size = 1e-9 * (1 + float(np.abs(flows(p).net).sum()))
    assert float(npv(p)) == pytest.approx(float(present_values(p).saving - build_life_cycle_cost(p)), abs=size)
    assert cash_flow(p)[-1].cumulative_discounted == pytest.approx(float(npv(p)), abs=size)


@settings(max_examples=60, deadline=None)
@given(any_project())
def test_the_adjusted_rate_is_the_ratio_s(p: Project) -> None:
    f = figures(p)
    if f.adjusted_irr is not None:
        n, d = p.study_years, p.discount_rate
        assert ((1 + f.adjusted_irr) / (1 + d)) ** n == pytest.approx(f.savings_to_investment_ratio, rel=1e-9)


@settings(max_examples=60, deadline=None)
@given(any_project())
def test_where_there_is_an_internal_rate_the_project_is_worth_nothing_at_it(p: Project) -> None:
    rate = project_internal_rate(flows(p)).rate
    if rate is not None:
        streams = flows(p)
        size = float((np.abs(streams.net) * (1 + rate) ** -streams.times_years).sum()) + 1e-6
        assert abs(float(npv(replace(p, discount_rate=rate)))) < 1e-8 * size


@settings(max_examples=60, deadline=None)
@given(any_project(), st.floats(0.01, 100))
def test_all_money_times_a_factor_changes_no_rate_and_no_payback(p: Project, factor: float) -> None:
    year = p.year
    scaled = replace(
        p,
        items=tuple(
            replace(i, counted=i.counted * factor, residual_counted=i.residual_counted * factor) for i in p.items
        ),
        grants=p.grants * factor,
        year=replace(
            year,
            avoided_fuel_cost=known_float(year.avoided_fuel_cost) * factor,
            running_energy_cost=known_float(year.running_energy_cost) * factor,
            upkeep_cost=year.upkeep_cost * factor,
        ),
    )
    size = 1e-9 * factor * (1 + float(np.abs(flows(p).net).sum()))
    assert float(npv(scaled)) == pytest.approx(factor * float(npv(p)), abs=size)
    assert float(simple_payback(scaled)) == pytest.approx(float(simple_payback(p)), rel=1e-9, nan_ok=True)


@settings(max_examples=40, deadline=None)
@given(any_project())
def test_real_rates_and_nominal_rates_give_the_same_worth(p: Project) -> None:
    """All growths at inflation: the nominal project is worth what the real one is, at the real rate without inflation.

    Only at year ends: mid-year streams take the price of the whole year k, half a year's inflation more. And only
    with items of year 0, since later receipts stand at face value.
    """
    year = replace(p.year, fuel_growth=p.inflation, energy_growth=p.inflation)
    items = tuple(replace(i, year=0) for i in p.items)
    nominal = replace(p, year=year, items=items, timing=Timing.END_OF_YEAR)
    real = replace(
        nominal,
        discount_rate=real_rate(p.discount_rate, p.inflation),
        inflation=0.0,
        year=replace(year, fuel_growth=0.0, energy_growth=0.0),
    )
    size = 1e-9 * (1 + float(np.abs(flows(nominal).net).sum()))
    assert float(npv(real)) == pytest.approx(float(npv(nominal)), abs=size)
    assert float(annual_cost(real)) == pytest.approx(float(annual_cost(nominal)), rel=1e-9, abs=1e-6)


@settings(max_examples=25, deadline=None)
@given(any_project(), st.integers(2, 5))
def test_draws_give_what_each_draw_gives_alone(p: Project, draws: int) -> None:
    factors = np.linspace(0.8, 1.2, draws)
    items = tuple(replace(i, life_years=i.life_years * factors, counted=i.counted * factors) for i in p.items)
    together = replace(
        p, items=items, discount_rate=p.discount_rate * factors, year=replace(p.year, fuel_growth=0.02 * factors)
    )
    for k, f in enumerate(factors):
        alone = replace(
            p,
            items=tuple(replace(i, life_years=i.life_years * f, counted=i.counted * f) for i in p.items),
            discount_rate=p.discount_rate * f,
            year=replace(p.year, fuel_growth=0.02 * f),
        )
        assert float(npv(together)[k]) == pytest.approx(float(npv(alone)), rel=1e-9, abs=1e-6)
        assert float(npv_without_residual(together)[k]) == pytest.approx(
            float(npv_without_residual(alone)), rel=1e-9, abs=1e-6
        )
