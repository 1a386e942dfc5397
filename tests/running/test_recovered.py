"""Recovered to date is the sum of the net savings of the seasons, to the cent, whatever stands in the book."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.model.book import RunningLine
from ledger.model.heaters import Tariff
from ledger.money.season_account import season_accounts
from ledger.money.season_track import season_tracks
from tests.money.made import build, heater, item, sure
from tests.running.made import ledger_with, season

FIRST = date(2020, 10, 1)
cents = st.integers(0, 500_000).map(lambda n: Decimal(n) / 100)
kwh = st.floats(0.0, 5000.0)


@st.composite
def lines(draw: st.DrawFn) -> RunningLine:
    """A line of any kind: fan electricity, a repair, backup heat, the house's pump; with or without own work."""
    first = FIRST + timedelta(days=draw(st.integers(-100, 5 * 365)))
    last = first + timedelta(days=draw(st.integers(0, 120)))
    target = draw(st.sampled_from(["tubes", "plug heater", "house"]))
    energy, amount = draw(st.none() | kwh), draw(st.none() | cents)
    hours = draw(st.sampled_from([0.0, 0.5, 3.0]))
    return RunningLine(last, target, "a line", energy, None, amount, hours, first, last)


@settings(max_examples=80, deadline=None)
@given(
    avoided=st.lists(st.floats(-500.0, 20_000.0), min_size=1, max_size=5),
    prices=st.lists(st.integers(1, 900).map(lambda n: n / 1000), min_size=5, max_size=5),
    book=st.lists(lines(), max_size=12),
    capital=cents,
    rate=st.none() | st.floats(0.0, 40.0),
)
def test_recovered_is_the_sum_of_the_net_savings_to_the_cent(
    avoided: list[float], prices: list[float], book: list[RunningLine], capital: Decimal, rate: float | None
) -> None:
    """In decimals, apart from the floats of the program; what is still to recover is the rest of the capital, and the
    lines told one by one make the costs that the savings are after."""
    tariffs = tuple(Tariff(date(2020 + i, 10, 1), sure(price)) for i, price in enumerate(prices))
    ledger = ledger_with(
        build("tubes", item("1000")), sources=(heater(tariffs=tariffs),), running=tuple(book), price=0.2,
        labour_rate=rate,
    )  # fmt: skip
    heats = [season(f"{2020 + i}-{21 + i}", heat) for i, heat in enumerate(avoided)]
    accounts, _ = season_accounts(ledger, heats, typical=None, net_capital=float(capital))
    total = Decimal(0)
    for i, account in enumerate(accounts):
        assert account.net_saving is not None
        assert account.recovered_to_date is not None
        assert account.still_to_recover is not None
        running = Decimal(account.running_cost or 0.0)
        saved = Decimal(avoided[i]) * Decimal(prices[i])
        assert abs(Decimal(account.net_saving) - (saved - running - Decimal(account.upkeep_cost))) < Decimal("0.005")
        total += Decimal(account.net_saving)
        assert abs(Decimal(account.recovered_to_date) - total) < Decimal("0.005")
        assert abs(Decimal(account.recovered_to_date) + Decimal(account.still_to_recover) - capital) < Decimal("0.005")
    tracks = season_tracks(ledger, heats, accounts, plan_kwh=None, plan=None)
    for account, track in zip(accounts, tracks, strict=True):
        told = sum(line.cost for line in track.lines)
        own = (account.running_cost or 0.0) + account.upkeep_cost + account.backup_cost + account.house_cost
        assert abs(told - own) < 0.005
