"""Shares of several builds by hand: a night's release of each store, what nothing splits, even parts."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from ledger.heat import by_build as room
from ledger.heat.balance import StoreBalance
from ledger.heat.by_build import SplitBy, _among_owners, _by, _in_proportion, _release_by_build, split_by_build
from ledger.model.build import Store
from ledger.model.ledger import Ledger
from tests.heat.builders import build, ledger_of, spread

TUBES, TANK = build("tubes"), build("tank")


def store(name: str, of: str | None, kwh_per_k: float = 4.0) -> Store:
    return Store(name, of, "water", spread(kwh_per_k))


def two_builds(*stores: Store) -> Ledger:
    return ledger_of(builds=(TUBES, TANK), stores=stores)


def test_a_build_gives_back_what_its_stores_give_in_a_night_of_their_own(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two seasons of the tank: 60 kWh in 10 nights and 40 in 30, 2.5 a night; beside it a barrel with 1 a night in 5.
    The soil was never logged, the well is no build's."""
    years = {
        "a": (("water", 60.0, 10), ("barrel", 5.0, 5), ("well", 9.0, 9)),
        "b": (("water", 40.0, 30),),
    }

    def balances(year: str, _ledger: Ledger, _loss: object) -> tuple[StoreBalance, ...]:
        return tuple(StoreBalance(year, name, None, kwh, nights, 0.0, 0.0) for name, kwh, nights in years[year])

    monkeypatch.setattr(room, "store_balances", balances)
    work: Any = SimpleNamespace(seasons=[SimpleNamespace(year=name) for name in years], loss=None)
    ledger = two_builds(store("water", "tank"), store("barrel", "tank"), store("soil", "tubes"), store("well", None))
    assert _release_by_build(work, ledger) == {"tank": pytest.approx(3.5)}


def test_shares_split_in_proportion_and_one_that_is_unknown_or_nothing_at_all_splits_nothing() -> None:
    both = (TUBES, TANK)
    assert _in_proportion(both, 12.0, {"tubes": 1.0, "tank": 2.0}) == {"tubes": 4.0, "tank": 8.0}
    assert _in_proportion(both, 12.0, {"tubes": 0.1, "tank": 0.2}) == pytest.approx({"tubes": 4.0, "tank": 8.0})
    assert _in_proportion(both, 12.0, {"tubes": None, "tank": 2.0}) == {"tubes": None, "tank": None}
    assert _in_proportion(both, 12.0, {"tank": 2.0}) == {"tubes": None, "tank": None}
    assert _in_proportion(both, 12.0, {"tubes": 0.0, "tank": 0.0}) == {"tubes": None, "tank": None}
    assert _in_proportion((TUBES,), 12.0, {}) == {"tubes": 12.0}, "one alone has it all"


def test_by_what_it_was_split_is_said_where_anything_was() -> None:
    assert _by(SplitBy.STORES, {"layer": 3.0, "tubes": None}).by is SplitBy.STORES
    assert _by(SplitBy.STORES, {"layer": None, "tubes": None}).by is SplitBy.NOTHING


def test_without_a_typical_year_there_is_nothing_to_split() -> None:
    work: Any = SimpleNamespace(typical=SimpleNamespace(heat=None))
    found = split_by_build(work, two_builds())
    assert (dict(found.parts), found.by) == ({"tubes": None, "tank": None}, SplitBy.NOTHING)


def test_tanks_share_their_part_by_what_they_hold_and_evenly_where_that_is_not_known() -> None:
    """6 + 3 against 3 kWh/K."""
    nothing: Any = None
    stores = (store("a", "tubes", 6.0), store("b", "tubes", 3.0), store("c", "tank", 3.0), store("d", None, 50.0))
    assert _among_owners((TUBES, TANK), nothing, two_builds(*stores)) == {"tubes": 0.75, "tank": 0.25}
    assert _among_owners((TUBES, TANK), nothing, two_builds()) == {"tubes": 0.5, "tank": 0.5}
