"""Reading money: amounts held to the currency's smallest coin, and prices per unit."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache, partial

from pydantic import ValidationInfo

from ledger.intake.scalars import number
from ledger.intake.slips import as_typed, slip
from ledger.intake.values import Rule, Uncertain, at_key, held, ordered, table_words
from ledger.model.values import Basis, MoneyRange, Spread
from ledger.sources import HALF_WIDTHS, Knowing

NO_CURRENCY = "XXX"
PRICE_DECIMALS = 6
LONGEST_AMOUNT = 60
_FIGURES = ("low", "likely", "high")
_POUNDS = ("GBP", "FKP", "GIP", "SHP", "EGP", "SYP", "LBP", "SSP", "SDG")
_SIGNS: dict[str, tuple[str, ...]] = {
    "€": ("EUR",),
    "£": _POUNDS,
    "¥": ("JPY", "CNY"),
    "₹": ("INR",),
    "₩": ("KRW",),
    "₽": ("RUB",),
    "₺": ("TRY",),
    "fr": ("CHF",),
    "sfr": ("CHF",),
    "kr": ("SEK", "NOK", "DKK", "ISK"),
    "zł": ("PLN",),
    "kč": ("CZK",),
    "ft": ("HUF",),
    "lei": ("RON", "MDL"),
    "rs": ("INR", "PKR", "LKR", "NPR", "MUR"),
}
_AMOUNT = re.compile(
    r"(?P<minus>[-−]?)\s*(?P<before>[^\d\s,−-]*)\s*(?P<more>[-−]?)(?P<figure>\d[\d,.' ]*)\s*(?P<behind>[^\d\s,]*)"
)
_GROUPED = re.compile(r"\d{1,3}(?:,\d{3})+(?:\.\d+)?")
_PLAIN = re.compile(r"\d+(?:\.\d+)?")


@dataclass(frozen=True, slots=True)
class Coin:
    """A currency and the decimals of its smallest coin (ISO 4217)."""

    currency: str
    digits: int


@dataclass(frozen=True, slots=True)
class MoneyTyped:
    """Money as typed, without a default range."""

    likely: Decimal
    low: Decimal | None = None
    high: Decimal | None = None
    basis: Basis | None = None
    exact: bool = False
    note: str = ""


@lru_cache(maxsize=1)
def coins() -> dict[str, int]:
    """Decimals of the smallest coin by currency code (ISO 4217; 2 where the standard names none)."""
    from iso4217 import Currency

    return {one.code: decimals if (decimals := one.exponent) is not None else 2 for one in Currency}


def amount(raw: object, info: ValidationInfo) -> MoneyTyped:
    """Money that may be negative (a refund), as a bare number, a string with sign and commas, or a table."""
    coin = _coin(info)
    if not isinstance(raw, dict):
        return MoneyTyped(_to_the_coin(raw, coin))
    basis, exact, note = table_words(raw)
    figures = {key: at_key(partial(_to_the_coin, coin=coin), raw[key], key) for key in _FIGURES if key in raw}
    ordered(figures.get("low"), figures["likely"], figures.get("high"))
    return MoneyTyped(figures["likely"], figures.get("low"), figures.get("high"), basis, exact, note)


def amount_from_zero(raw: object, info: ValidationInfo) -> MoneyTyped:
    """Money that is not negative."""
    money = amount(raw, info)
    if min(money.likely, money.low if money.low is not None else money.likely) < 0:
        raise slip(f"{as_typed(raw)} is below 0", "write an amount of 0 or more")
    return money


def plain_amount(raw: object, info: ValidationInfo) -> Decimal:
    """Money without a range, not negative."""
    if isinstance(raw, dict):
        raise slip("a range stands where one amount is due", "write one amount: this entry takes no range")
    return amount_from_zero(raw, info).likely


def signed_amount(raw: object, info: ValidationInfo) -> Decimal:
    """Money without a range; a refund is negative."""
    if isinstance(raw, dict):
        raise slip("a range stands where one amount is due", "write one amount: this entry takes no range")
    return amount(raw, info).likely


def price(raw: object, info: ValidationInfo) -> Spread:
    """A price per unit, up to six decimals, with its range."""
    coin = _coin(info)

    def figure(one: object) -> float:
        value = _money_number(one, coin)
        if value < 0:
            raise slip(f"{as_typed(one)} is below 0", "write a price of 0 or more")
        if _decimals(value) > PRICE_DECIMALS:
            raise slip(f"{as_typed(one)} has more than six decimals", "a price takes up to six decimals")
        return float(value)

    if not isinstance(raw, dict):
        return held(Uncertain(figure(raw)), Rule(least=0.0))
    basis, exact, note = table_words(raw)
    figures = {key: at_key(figure, raw[key], key) for key in _FIGURES if key in raw}
    ordered(figures.get("low"), figures["likely"], figures.get("high"))
    typed = Uncertain(figures["likely"], figures.get("low"), figures.get("high"), basis, exact, note)
    return held(typed, Rule(least=0.0))


def money_range(money: MoneyTyped, basis: Basis, digits: int) -> MoneyRange:
    """Put the default range on typed money; the ends are held to the coin too."""
    known = money.basis or basis
    if money.low is not None and money.high is not None:
        return MoneyRange(money.likely, money.low, money.high, known, money.note)
    half = Decimal(0) if money.exact else Decimal(str(HALF_WIDTHS[Knowing(known.value)]))
    coin = Decimal(1).scaleb(-digits)
    part = (abs(money.likely) * half).quantize(coin, rounding=ROUND_HALF_UP)
    return MoneyRange(money.likely, money.likely - part, money.likely + part, known, money.note)


def _coin(info: ValidationInfo) -> Coin:
    context = info.context or {}
    coin = context.get("coin")
    return coin if isinstance(coin, Coin) else Coin(NO_CURRENCY, 2)


def _decimals(value: Decimal) -> int:
    exponent = value.normalize().as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def _to_the_coin(raw: object, coin: Coin) -> Decimal:
    value = _money_number(raw, coin)
    if _decimals(value) > coin.digits:
        smallest = Decimal(1).scaleb(-coin.digits)
        of_currency = "" if coin.currency == NO_CURRENCY else f"of {coin.currency} "
        rounded = value.quantize(smallest, rounding=ROUND_HALF_UP)
        raise slip(f"{as_typed(raw)} is finer than the smallest coin {of_currency}({smallest})", f"write {rounded}")
    return value.quantize(Decimal(1).scaleb(-coin.digits))


def _money_number(raw: object, coin: Coin) -> Decimal:
    if not isinstance(raw, str):
        return number(raw)
    if len(raw) > LONGEST_AMOUNT:
        raise slip(f"{as_typed(raw)} is not money", 'write a bare number, or like "$1,250.00"')
    match = _AMOUNT.fullmatch(raw.strip().replace("\u00a0", " ").replace("\u202f", " "))
    if match is None:
        raise slip(f'"{raw}" is not money', 'write a bare number, or like "$1,250.00"')
    for sign in (match["before"].strip(), match["behind"].strip()):
        if sign:
            _check_sign(sign, raw, coin)
    figure = match["figure"].strip().replace("'", ",").replace(" ", ",")
    if _GROUPED.fullmatch(figure):
        figure = figure.replace(",", "")
    elif not _PLAIN.fullmatch(figure):
        raise slip(f'the commas and points of "{raw}" can be read in two ways', 'write it like 1250.00 or "1,250.00"')
    value = number(Decimal(figure))
    return -value if match["minus"] or match["more"] else value


def _check_sign(sign: str, raw: str, coin: Coin) -> None:
    """Hold a typed currency sign or code to the ledger's currency."""
    meant = _currencies_of(sign)
    if not meant:
        raise slip(f'"{raw}" is not money: the sign {sign} is not known', 'write a bare number, or like "$1,250.00"')
    if coin.currency != NO_CURRENCY and coin.currency not in meant:
        other = sign if len(meant) > 1 else next(iter(meant))
        raise slip(
            f'"{raw}" is in {other}, and the ledger in {coin.currency}', f"write the amount in {coin.currency}, bare"
        )


def _currencies_of(sign: str) -> frozenset[str]:
    """The currencies that a sign or code may mean; none when it is not known."""
    code = sign.upper()
    if code in coins():
        return frozenset((code,))
    if sign.endswith("$") and len(sign) <= 3:
        return _dollars()
    return frozenset(_SIGNS.get(sign.rstrip(".").casefold(), ()))


@lru_cache(maxsize=1)
def _dollars() -> frozenset[str]:
    """The currencies called dollar, peso or real, which are written with $ (ISO 4217 names)."""
    from iso4217 import Currency

    return frozenset(
        one.code for one in Currency if any(word in one.currency_name for word in ("Dollar", "Peso", "Real"))
    )
