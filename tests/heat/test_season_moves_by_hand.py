"""What a new winter moves, by hand: seasons reckoned with and without the belief that it brings or ends."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from ledger.heat import season_moves as room
from ledger.heat.bare import NO_WAYS, Ways
from ledger.heat.season_moves import followed_notices, moved_notices
from tests.heat.builders import ledger_of

BELIEVED = replace(NO_WAYS, model_believed=True)


def season_of(name: str, avoided_kwh: float, used: str) -> Any:
    """As much of a season's answer as is asked here."""
    return SimpleNamespace(
        year=name, heat=SimpleNamespace(season=name, avoided_kwh=avoided_kwh, bare=SimpleNamespace(used=used))
    )


def work_of(*names: str) -> Any:
    """Seasons that the model answers with 100 kWh, or the lift where it is not believed."""
    return SimpleNamespace(seasons=tuple(season_of(n, 100.0, "now") for n in names), loss="the loss")


@pytest.fixture(autouse=True)
def _before(monkeypatch: pytest.MonkeyPatch) -> None:
    """Before the newest winter the first season was at 1,250 kWh and every other one where it is now."""

    def reckoned(year: str, _ledger: object, loss: object, ways: Ways) -> Any:
        assert loss == "the loss"
        return season_of(year, 1250.0 if year == "first" else 100.0, f"believed {ways.model_believed}")

    monkeypatch.setattr(room, "reckon_season", reckoned)


def moved(work: Any, ways: Ways, **believed: bool) -> list[str]:
    return [n.text for n in moved_notices(ledger_of(), work, ways, believed=believed)]


def test_a_season_that_the_newest_one_moved_is_named_with_both_figures_and_both_ways() -> None:
    """The newest ends the belief. The second stays where it was and the newest has no before."""
    (text,) = moved(work_of("first", "second", "third"), NO_WAYS, first=True, second=True, third=False)
    assert text.startswith("Season first: with the log of third ")
    assert "(now, before believed True)" in text
    assert "from 1,250 to 100 kWh" in text
    assert len(moved(work_of("zeroth", "first", "third"), NO_WAYS, zeroth=True, first=True)) == 1
    (notice,) = moved_notices(ledger_of(), work_of("first", "second"), NO_WAYS, believed={"first": True})
    assert (notice.code, notice.path) == ("season-moved", "seasons.first.avoided_kwh")


def test_the_newest_may_bring_belief_as_well_as_end_it() -> None:
    """Nothing earlier was fitted, or one of several was not believed: then the model did not answer before."""
    (text,) = moved(work_of("first", "second"), BELIEVED, second=True)
    assert "before believed False" in text
    assert len(moved(work_of("first", "second", "third"), BELIEVED, first=True, second=False, third=True)) == 1


def test_where_belief_is_as_it_was_nothing_moves() -> None:
    work = work_of("first", "second", "third")
    assert moved(work, BELIEVED, first=True, second=True, third=True) == []
    assert moved(work, BELIEVED, first=True, second=True, third=False) == [], "the newest one's own fit is not asked"
    assert moved(work, NO_WAYS, first=True, second=False, third=True) == []
    assert moved(work, NO_WAYS) == []


def test_one_season_or_none_is_moved_by_nothing() -> None:
    assert moved(work_of("first"), BELIEVED, first=False) == []
    assert moved(work_of(), BELIEVED) == []


def test_stores_that_fade_are_told_first_then_what_moved() -> None:
    """Nights of the second season alone are described; its house fades by 1 K. Fits are believed one by one."""
    faded: Any = SimpleNamespace(season="second", lift_change_k=-1.0, lift_change_p90_k=-0.5, like_nights=30)
    model: Any = SimpleNamespace(
        seasons={"first": SimpleNamespace(believed=True), "second": SimpleNamespace(believed=False)}
    )
    told = followed_notices(ledger_of(), work_of("first", "second"), NO_WAYS, [None, faded], model)
    assert [n.code for n in told] == ["lift-fading", "season-moved"]
    assert [n.code for n in followed_notices(ledger_of(), work_of("first", "second"), NO_WAYS, [faded], None)] == [
        "lift-fading"
    ]
    assert followed_notices(ledger_of(), work_of("first", "second"), NO_WAYS, [None, None], None) == ()
