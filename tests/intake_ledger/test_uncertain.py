"""Plain values take the half-width of their basis; typed ranges stand as typed."""

from __future__ import annotations

from decimal import Decimal

import pytest

from ledger.intake.ledger_file import ledger_of
from ledger.model.house import House
from ledger.model.ledger import Ledger
from ledger.model.values import Basis
from tests.intake_ledger.test_least_ledger import LEAST


def with_house_key(line: str) -> House:
    return ledger_of(LEAST.replace("[hold]", f"{line}\n[hold]"), "farm.toml").house


def with_price(value: str) -> Ledger:
    return ledger_of(LEAST.replace("price = 0.30", f"price = {value}"), "farm.toml")


@pytest.mark.parametrize(
    ("basis", "low", "high"),
    [
        ("metered", 0.97, 1.03),
        ("receipt", 1.0, 1.0),
        ("quoted", 0.9, 1.1),
        ("published", 0.85, 1.15),
        ("estimated", 0.75, 1.25),
    ],
)
def test_half_widths_by_basis_are_those_of_the_format(basis: str, low: float, high: float) -> None:
    price = with_price(f'{{ likely = 1.0, basis = "{basis}" }}').sources[0].price
    assert (price.low, price.high) == pytest.approx((low, high))
    assert price.basis is Basis(basis)
    assert not price.exact
    assert not price.stated


def test_a_plain_value_is_estimated() -> None:
    price = with_price("0.40").sources[0].price
    assert (price.low, price.likely, price.high) == pytest.approx((0.3, 0.4, 0.5))
    assert price.basis is Basis.ESTIMATED


@pytest.mark.parametrize("basis", ["metered", "receipt", "quoted", "published"])
def test_a_plain_u_value_is_never_surer_than_15_per_cent(basis: str) -> None:
    text = f'[[house.surface]]\nname = "w"\narea = "9 m2"\nu_value = {{ likely = "2 W/m2/K", basis = "{basis}" }}'
    u_value = with_house_key(text).surfaces[1].u_value_w_per_m2_k
    assert (u_value.low, u_value.high) == pytest.approx((1.7, 2.3))


def test_a_plain_air_change_rate_is_never_surer_than_half_to_double() -> None:
    leaks = with_house_key('air_changes = { likely = 0.8, basis = "metered" }').air_changes_per_h
    assert (leaks.low, leaks.high) == pytest.approx((0.4, 1.6))


def test_a_plain_lift_is_within_half_of_itself() -> None:
    lift = with_house_key('unheated_lift = "4 K"').unheated_lift_k
    assert lift is not None
    assert (lift.low, lift.likely, lift.high) == (2.0, 4.0, 6.0)


def test_a_typed_range_stands_as_typed_and_says_so() -> None:
    leaks = with_house_key(
        'air_changes = { low = 0.7, likely = 0.8, high = 0.9, note = "door seal" }'
    ).air_changes_per_h
    assert (leaks.low, leaks.likely, leaks.high, leaks.stated, leaks.note) == (0.7, 0.8, 0.9, True, "door seal")


def test_exact_turns_the_range_off_and_is_listed() -> None:
    text = LEAST.replace("[hold]", "air_changes = { likely = 0.8, exact = true }\n[hold]")
    ledger = ledger_of(text, "farm.toml")
    leaks = ledger.house.air_changes_per_h
    assert (leaks.low, leaks.high, leaks.exact) == (0.8, 0.8, True)
    (listed,) = [one for one in ledger.assumed if one.path == "house.air_changes"]
    assert "exact = true" in listed.source


def test_shares_stay_between_0_and_1() -> None:
    text = LEAST.replace("amount = 3850.00", "amount = 3850.00\nshare = 0.9")
    share = ledger_of(text, "farm.toml").builds[0].items[0].share
    assert (share.low, share.likely, share.high) == pytest.approx((0.675, 0.9, 1.0))


def test_a_whole_share_is_no_estimate() -> None:
    text = LEAST.replace("amount = 3850.00", "amount = 3850.00\nshare = 1.0")
    share = ledger_of(text, "farm.toml").builds[0].items[0].share
    assert (share.low, share.high) == (1.0, 1.0)


@pytest.mark.parametrize(("typed", "rate"), [("0.06", 0.06), ('"6 %"', 0.06), ('"6%"', 0.06), ('"6.5 percent"', 0.065)])
def test_rates_are_read_in_both_forms(typed: str, rate: float) -> None:
    terms = ledger_of(f"{LEAST}[money]\ninflation = {typed}\n", "farm.toml").terms
    assert terms.inflation.likely == pytest.approx(rate)


def test_a_plain_discount_rate_is_the_growers_choice_and_takes_no_range() -> None:
    chosen = ledger_of(LEAST + "[money]\ndiscount_rate = 0.05\n", "farm.toml").terms.discount_rate
    assert (chosen.low, chosen.high) == (0.05, 0.05)
    doubted = ledger_of(LEAST + "[money]\ndiscount_rate = { low = 0.03, likely = 0.05, high = 0.09 }\n", "farm.toml")
    assert (doubted.terms.discount_rate.low, doubted.terms.discount_rate.high) == (0.03, 0.09)


@pytest.mark.parametrize(
    ("typed", "amount"),
    [
        ("3850", "3850.00"),
        ("3850.0", "3850.00"),
        ('"$3,850.00"', "3850.00"),
        ('"3,850"', "3850.00"),
        ('"€ 3 850.50"', "3850.50"),
        ('"CHF 3\'850.50"', "3850.50"),
        ('"3850.50 EUR"', "3850.50"),
        ('"-$12.50"', "-12.50"),
        ('"$-12.50"', "-12.50"),
        ("{ low = 3000, likely = 3850, high = 4000 }", "3850.00"),
    ],
)
def test_money_is_read_to_the_cent(typed: str, amount: str) -> None:
    money = ledger_of(LEAST.replace("3850.00", typed), "farm.toml").builds[0].items[0].amount
    assert money.likely == Decimal(amount)
    assert isinstance(money.likely, Decimal)
    assert money.likely.as_tuple().exponent == -2


@pytest.mark.parametrize(
    ("currency", "typed", "digits"), [("JPY", "3850", 0), ("EUR", "3850.25", 2), ("KWD", "3850.125", 3)]
)
def test_the_smallest_coin_is_the_currencys(currency: str, typed: str, digits: int) -> None:
    """ISO 4217: yen 0, euro 2, Kuwaiti dinar 3 decimals."""
    ledger = ledger_of(f'[ledger]\ncurrency = "{currency}"\n' + LEAST.replace("3850.00", typed), "farm.toml")
    assert (ledger.terms.currency, ledger.terms.coin_digits) == (currency, digits)
    assert ledger.builds[0].items[0].amount.likely == Decimal(typed)


def test_a_price_keeps_its_six_decimals() -> None:
    assert with_price("0.134567").sources[0].price.likely == 0.134567


@pytest.mark.parametrize(
    ("lines", "low", "high", "basis"),
    [
        ("", "3850.00", "3850.00", Basis.RECEIPT),
        ('status = "quoted"', "3465.00", "4235.00", Basis.QUOTED),
        ('status = "planned"', "2887.50", "4812.50", Basis.ESTIMATED),
        ('status = "planned"\nbasis = "published"', "3272.50", "4427.50", Basis.PUBLISHED),
    ],
)
def test_an_amount_is_known_by_its_status_or_its_basis(lines: str, low: str, high: str, basis: Basis) -> None:
    """Receipt ±0, quoted ±10 %, estimated ±25 %, published ±15 % of 3850."""
    money = (
        ledger_of(LEAST.replace("amount = 3850.00", f"amount = 3850.00\n{lines}"), "farm.toml")
        .builds[0]
        .items[0]
        .amount
    )
    assert (money.low, money.high, money.basis) == (Decimal(low), Decimal(high), basis)


def test_a_negative_amount_is_a_refund_and_is_said() -> None:
    ledger = ledger_of(LEAST.replace("3850.00", "-385.00"), "farm.toml")
    assert "refund" in {notice.code for notice in ledger.notices}
