"""What the model must not answer: stores that the log does not show are refused, never answered with 0."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from ledger.heat.housemodel.grid import filled
from ledger.heat.housemodel.switches import set_point
from ledger.heat.housemodel.vents import vent_temperature_c
from ledger.intake.ledger_file import read_ledger
from tests.housemodel.calibrate import answer_of
from tests.housemodel.farms import draw_farms, ledger_of

TUBES, TANK, BOTH = 0, 2, 3


def farm(folder: Path, house: int, *, drop: tuple[str, ...]) -> None:
    """A farm's ledger and forty plain days, without some lines of the ledger that begin with `drop`."""
    farms = draw_farms(4, 5, days=(40, 42))
    lines = [x for x in ledger_of(farms, house).splitlines() if not x.startswith(drop)]
    text = "\n".join(lines).replace('begins = "11-10", ends = "11-11"', 'begins = "11-10", ends = "12-19"')
    (folder / "ledger.toml").write_text(text, encoding="utf-8")
    steps = 40 * 48
    hour = np.arange(steps) / 2.0 % 24
    table = pd.DataFrame(
        {
            "Indoor [°C]": np.round(8 + 6 * np.sin((hour - 8) / 24 * 2 * np.pi) + np.arange(steps) % 7 / 10, 1),
            "Outdoor [°C]": np.round(1 + 4 * np.sin((hour - 8) / 24 * 2 * np.pi) + np.arange(steps) % 5 / 10, 1),
            "Tank [°C]": np.round(10 + np.sin((hour - 12) / 24 * 2 * np.pi) + np.arange(steps) % 3 / 10, 1),
            "Fan": (hour > 11).astype(float),
            "Sun [W/m2]": np.round(np.maximum(0.0, 400 * np.sin((hour - 6) / 12 * np.pi)), 0),
            "Heater [W]": 0.0,
        },
        index=pd.date_range("2024-11-10", periods=steps, freq="30min", name="Time"),
    )
    table.to_csv(folder / "log.csv", date_format="%Y-%m-%d %H:%M")


@pytest.mark.parametrize(
    ("house", "drop"),
    [(TUBES, ("fan =",)), (BOTH, ("fan =",))],
)
def test_a_store_that_the_log_does_not_show_is_refused(tmp_path: Path, house: int, drop: tuple[str, ...]) -> None:
    farm(tmp_path, house, drop=drop)
    answer = answer_of(tmp_path)
    assert not answer.seasons
    assert not answer.believed
    assert "Nothing in the log shows what tubes did" in " ".join(answer.why_not)


def test_a_tank_of_unknown_volume_is_refused(tmp_path: Path) -> None:
    farm(tmp_path, TANK, drop=())
    text = (tmp_path / "ledger.toml").read_text(encoding="utf-8")
    first, rest = text.split("[[store]]")
    (tmp_path / "ledger.toml").write_text(first + "[[log]]" + rest.split("[[log]]")[1], encoding="utf-8")
    assert not read_ledger(tmp_path / "ledger.toml").ledger.stores
    answer = answer_of(tmp_path)
    assert not answer.seasons
    assert "note its volume or mass" in answer.why_not[0]


def test_a_hole_is_filled_with_the_days_beside_it_mirrored() -> None:
    """Days of 1, 2, ?, ?, 5, 6 at two readings a day: the first missing day replays 2, the second 5."""
    days = np.repeat([1.0, 2.0, np.nan, np.nan, 5.0, 6.0], 2)
    assert filled(days, 43200.0).tolist() == np.repeat([1.0, 2.0, 2.0, 5.0, 5.0, 6.0], 2).tolist()


def test_a_short_hole_is_bridged_by_a_straight_line() -> None:
    assert filled(np.array([1.0, np.nan, np.nan, np.nan, 5.0]), 1800.0).tolist() == [1.0, 2.0, 3.0, 4.0, 5.0]


def test_a_pile_of_readings_under_one_temperature_is_a_vent() -> None:
    rng = np.random.default_rng(1)
    free = rng.normal(12.0, 7.0, 5000)
    assert vent_temperature_c(free) is None
    held = np.where(free > 22.0, 22.0 + rng.normal(0, 0.2, 5000), free)
    found = vent_temperature_c(held)
    assert found is not None
    assert 21.0 < found < 22.3


def test_a_set_point_is_where_switchings_pile_up() -> None:
    """Forty at 8, ten strewn far below by a bed that was not warm enough."""
    rng = np.random.default_rng(2)
    switched = np.concatenate([8.0 + rng.normal(0, 0.2, 40), rng.uniform(-8.0, 4.0, 10)])
    assert set_point(switched) == pytest.approx(8.0, abs=0.2)


def test_a_pile_below_the_upper_end_of_all_starts_is_no_set_point() -> None:
    """Eighty starts near 0, when the bed was warm enough, ten evenly from 2 to 7: no fan starts above its set point.

    97 of 100 of 90 starts lie up to the 87th, the seventh of the ten: 2 + 6 · 5/9 = 5.33.
    """
    rng = np.random.default_rng(4)
    switched = np.concatenate([rng.normal(0.0, 0.4, 80), np.linspace(2.0, 7.0, 10)])
    assert set_point(switched) == pytest.approx(2.0 + 6.0 * 5.0 / 9.0)
