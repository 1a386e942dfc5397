"""Capital by item: receipts, shares, own work, grants, and the year that holds each date."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.model.build import Status
from ledger.model.values import MoneyRange
from ledger.money.capital import capital
from ledger.money.project import anniversary, build_project, project_from, whole_house_project, year_of
from ledger.money.worth import counted
from tests.money.made import BASE, build, grant, item, ledger_of, sure, year_money

# By hand: trench 3,850.00 whole; footing 2,000.00 at 30 %; 40 h of own work at 15 on the trench.
# gross 5,850; own work 600; share for heat 3,850 + 600 + 600 = 5,050.
TUBES = build("tubes", item("3850.00", hours=sure(40.0)), item("2000.00", share=0.3))
TANK = build("tank", item("1000.00", share=0.5))


def test_the_share_for_heat_takes_each_item_s_share_and_own_work_and_gross_only_receipts() -> None:
    answer = capital(ledger_of(TUBES, labour_rate=15.0))
    assert answer.gross == Decimal("5850.00")
    assert answer.share_for_heat == pytest.approx(5050.0, rel=1e-15)
    assert answer.own_hours == 40.0
    assert answer.own_work == 600.0
    assert answer.net == pytest.approx(5050.0)


def test_own_work_takes_the_item_s_share() -> None:
    """10 h at 15 on a footing at 30 %: 0.3 · (2,000 + 150) = 645."""
    answer = capital(ledger_of(build("tubes", item("2000", share=0.3, hours=sure(10.0))), labour_rate=15.0))
    assert answer.share_for_heat == pytest.approx(645.0)
    assert answer.own_work == pytest.approx(45.0)
    assert answer.items[0].counted == pytest.approx(645.0)


def test_without_a_labour_rate_hours_are_shown_and_cost_nothing() -> None:
    answer = capital(ledger_of(TUBES))
    assert answer.own_hours == 40.0
    assert answer.share_for_heat == pytest.approx(4450.0)


def test_a_grant_for_one_build_counts_with_that_build_s_amount_weighted_share() -> None:
    """Tubes: (3,850 + 0.3 · 2,000)/5,850 = 4,450/5,850 = 0.760684; of 1,500 count 1,141.03."""
    answer = capital(ledger_of(TUBES, TANK, grants=(grant("1500", for_build="tubes"),)))
    assert answer.grants == pytest.approx(1500 * 4450 / 5850, rel=1e-12)
    assert answer.net == pytest.approx(4450 + 500 - 1141.0256, abs=1e-4)


def test_a_grant_for_everything_counts_with_the_share_of_all_items() -> None:
    """(3,850 + 600 + 500)/6,850 = 0.722628; of 1,500 count 1,083.94."""
    answer = capital(ledger_of(TUBES, TANK, grants=(grant("1500"),)))
    assert answer.grants == pytest.approx(1083.9416, abs=1e-4)


def test_a_grant_on_work_without_a_receipt_takes_the_plain_mean_share() -> None:
    own = build("tubes", item("0", share=0.4, hours=sure(10.0)), item("0", share=0.6, hours=sure(90.0)))
    assert capital(ledger_of(own, labour_rate=10.0, grants=(grant("100"),))).grants == pytest.approx(50.0)


def test_quoted_and_planned_items_count_like_paid_ones_and_are_marked() -> None:
    answer = capital(ledger_of(build("tubes", item("100"), item("200", status=Status.PLANNED))))
    assert answer.net == 300.0
    assert [i.status for i in answer.items] == ["paid", "planned"]


def test_sums_are_decimal_to_the_coin() -> None:
    """A hundred receipts of 0.10 are 10.00, not 9.99999999999998."""
    answer = capital(ledger_of(build("tubes", *[item("0.10")] * 100)))
    assert answer.gross == Decimal("10.00")
    assert answer.share_for_heat == 10.0


def test_no_builds_is_no_capital() -> None:
    answer = capital(ledger_of())
    assert (answer.gross, answer.net, answer.items) == (Decimal(0), 0.0, ())


@settings(max_examples=50, deadline=None)
@given(
    st.decimals(1, 10**6, places=2),
    st.floats(0, 1).map(lambda p: round(p, 3)),
    st.floats(0, 1).map(lambda s: round(s, 2)),
    st.decimals(0, 1000, places=2),
)
def test_splitting_a_receipt_changes_nothing(amount: Decimal, where: float, share: float, given_money: Decimal) -> None:
    first = (amount * Decimal(str(where))).quantize(Decimal("0.01"))
    whole = capital(ledger_of(build("t", item(str(amount), share=share)), grants=(grant(str(given_money)),)))
    parts = capital(
        ledger_of(
            build("t", item(str(first), share=share), item(str(amount - first), share=share)),
            grants=(grant(str(given_money)),),
        )
    )
    assert (whole.gross, whole.share_for_heat) == (parts.gross, parts.share_for_heat)
    assert parts.net == pytest.approx(whole.net, rel=1e-12, abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.decimals(0, 10**5, places=2), st.floats(0, 1), st.floats(0, 50)), min_size=1, max_size=6),
    st.floats(0, 30),
    st.decimals(0, 1000, places=2),
)
def test_the_project_holds_the_same_capital_as_the_receipts(
    rows: list[tuple[Decimal, float, float]], rate: float, given_money: Decimal
) -> None:
    items = [item(str(amount), share=share, hours=sure(hours)) for amount, share, hours in rows]
    book = ledger_of(build("t", *items), labour_rate=rate, grants=(grant(str(given_money)),))
    put_in, held = capital(book), project_from(book, year_money(1.0))
    assert float(counted(held)) == pytest.approx(put_in.share_for_heat, rel=1e-12, abs=1e-9)
    assert float(held.grants) == pytest.approx(put_in.grants, rel=1e-12, abs=1e-9)
    assert sum(i.own_work for i in held.items) == pytest.approx(put_in.own_work, rel=1e-12, abs=1e-9)


def test_the_whole_house_takes_every_item_at_share_1_and_grants_in_full() -> None:
    held = whole_house_project(ledger_of(TUBES, labour_rate=15.0, grants=(grant("1500"),)), year_money(1.0))
    assert float(counted(held)) == pytest.approx(5850 + 600)
    assert float(held.grants) == 1500.0


def test_a_general_grant_is_split_by_the_builds_money() -> None:
    """Tubes 4,450 and tank 500 counted; a general grant of 685 counts 685 · 4,950/6,850 = 495; tubes get 445."""
    book = ledger_of(TUBES, TANK, grants=(grant("685"), grant("100", for_build="tank")))
    tubes, tank = (build_project(book, name, year_money(1.0)) for name in ("tubes", "tank"))
    assert float(tubes.grants) == pytest.approx(445.0)
    assert float(tank.grants) == pytest.approx(50.0 + 50.0)
    assert float(tubes.grants + tank.grants) == pytest.approx(capital(book).grants)


def test_drawn_grants_are_split_draw_by_draw() -> None:
    """General grant of 685 or 1370, as above: the tubes get 445 or 890, the tank 50 or 100 and half of its own 100."""
    draws: Any = np.array([685.0, 1370.0])
    drawn = replace(grant("685"), amount=replace(MoneyRange.sure("685"), likely=draws))
    book = ledger_of(TUBES, TANK, grants=(drawn, grant("100", for_build="tank")))
    tubes, tank = (build_project(book, name, year_money(1.0)) for name in ("tubes", "tank"))
    assert np.asarray(tubes.grants).tolist() == pytest.approx([445.0, 890.0])
    assert np.asarray(tank.grants).tolist() == pytest.approx([100.0, 150.0])


@pytest.mark.parametrize(
    ("day", "year"),
    [
        (date(2020, 1, 1), 0),
        (date(2025, 9, 1), 0),
        (date(2025, 9, 2), 1),
        (date(2026, 9, 1), 1),
        (date(2026, 9, 2), 2),
        (date(2027, 1, 1), 2),
    ],
)
def test_year_k_ends_on_the_base_date_s_anniversary(day: date, year: int) -> None:
    assert year_of(day, base=BASE) == year


def test_a_base_date_on_29_february_has_its_anniversary_on_the_28th() -> None:
    leap = date(2024, 2, 29)
    assert anniversary(leap, 1) == date(2025, 2, 28)
    assert anniversary(leap, 4) == date(2028, 2, 29)
    assert year_of(date(2025, 2, 28), base=leap) == 1
    assert year_of(date(2025, 3, 1), base=leap) == 2
    assert year_of(date(2028, 2, 29), base=leap) == 4


@given(st.dates(date(1990, 1, 1), date(2060, 1, 1)), st.dates(date(1990, 1, 1), date(2060, 1, 1)))
def test_a_day_lies_in_the_year_whose_ends_enclose_it(day: date, base: date) -> None:
    k = year_of(day, base=base)
    if k == 0:
        assert day <= base
    else:
        assert anniversary(base, k - 1) < day <= anniversary(base, k)


def test_a_later_receipt_carries_its_year() -> None:
    late = replace(item("500"), date=date(2027, 5, 1))
    assert [i.year for i in capital(ledger_of(build("t", item("1"), late))).items] == [0, 2]


def test_a_grant_for_a_build_without_receipts_counts_whole() -> None:
    """Nothing tells its share yet: 300 of 300, beside a tank of 500 at half its 1,000."""
    book = ledger_of(build("bare"), TANK, grants=(grant("300", for_build="bare"),))
    put_in = capital(book)
    assert (put_in.share_for_heat, put_in.grants, put_in.net) == (500.0, 300.0, 200.0)
    assert float(project_from(book, year_money(1.0)).grants) == 300.0


def test_a_grant_for_gifts_takes_their_plain_mean_share() -> None:
    """Two items that cost nothing, at 20 and 60 %: 100 of grant counts 40."""
    gifts = build("gifts", item("0", share=0.2), item("0", share=0.6))
    book = ledger_of(gifts, grants=(grant("100"),))
    assert capital(book).grants == pytest.approx(40.0)
    assert float(project_from(book, year_money(1.0)).grants) == pytest.approx(40.0)


def test_drawn_shares_weigh_a_grant_draw_by_draw() -> None:
    """1,000 at 20 or 60 % and 1,000 whole: a grant of 100 counts 60 or 80."""
    drawn: Any = np.array([0.2, 0.6])
    part = replace(item("1000"), share=replace(sure(0.5), likely=drawn))
    held = project_from(ledger_of(build("t", part, item("1000")), grants=(grant("100"),)), year_money(1.0))
    assert np.asarray(held.grants).tolist() == pytest.approx([60.0, 80.0])
