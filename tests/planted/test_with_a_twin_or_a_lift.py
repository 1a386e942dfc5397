"""Faults where no model can be fitted: by a like house, and by an assumed lift."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from ledger.intake.gather import gather
from tests.planted import faults
from tests.planted.chain import Credited, credited
from tests.planted.plain_farm import LEDGER, TWIN, WITH_TWIN, station

WAYS = {"twin": WITH_TWIN, "lift": LEDGER}


def write(folder: Path, table: pd.DataFrame, way: str) -> Path:
    (folder / "ledger.toml").write_text(WAYS[way], encoding="utf-8")
    table.tz_localize(None).to_csv(folder / "log.csv", date_format="%Y-%m-%d %H:%M")
    return folder / "ledger.toml"


@pytest.fixture(scope="module", params=sorted(WAYS))
def way(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="module")
def clean(way: str, tmp_path_factory: pytest.TempPathFactory) -> Credited:
    return credited(write(tmp_path_factory.mktemp("clean"), station(), way))


def test_the_way_is_the_one_that_is_meant(way: str, clean: Credited) -> None:
    assert clean.season.bare.used == way
    assert clean.whole_kwh > 0.0
    assert clean.span.p10 < clean.whole_kwh < clean.span.p90


def test_a_twin_s_range_is_not_so_wide_that_it_would_hold_anything(
    tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """A kelvin and a half in the like house, three times what its thermometer is taken to be good for, falls out."""
    table = station()
    untouched = credited(write(tmp_path_factory.mktemp("clean"), table, "twin"))
    faulty = credited(write(tmp_path, table.assign(**{TWIN: table[TWIN] - 1.5}), "twin"))
    assert not faulty.holds(untouched.whole_kwh)


@pytest.mark.parametrize("plant", faults.WITHIN_RANGE, ids=lambda plant: plant.__name__)
def test_a_fault_moves_the_credited_heat_by_no_more_than_its_range(
    plant: faults.Plant, way: str, clean: Credited, tmp_path: Path
) -> None:
    faulty = credited(write(tmp_path, plant(station()), way))
    assert faulty.holds(clean.whole_kwh)
    if plant in faults.NAMED:
        assert faults.NAMED[plant] & faulty.codes


@pytest.mark.parametrize("by_k", [-0.5, 0.5])
def test_half_a_kelvin_in_the_like_house_is_within_the_range(
    by_k: float, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    table = station()
    untouched = credited(write(tmp_path_factory.mktemp("clean"), table, "twin"))
    faulty = credited(write(tmp_path, table.assign(**{TWIN: table[TWIN] + by_k}), "twin"))
    assert faulty.holds(untouched.whole_kwh)


@pytest.mark.parametrize(
    "plant", [p for p in faults.NAMED if p not in faults.WITHIN_RANGE], ids=lambda plant: plant.__name__
)
def test_a_fault_that_turns_the_answer_is_named(plant: faults.Plant, way: str, tmp_path: Path) -> None:
    warned = [notice.code for notice in gather(write(tmp_path, plant(station()), way)).warnings]
    assert faults.NAMED[plant] & set(warned)


def test_the_like_house_taken_for_the_house_is_named(tmp_path: Path) -> None:
    """The bare house then reads warmer than the built one: the saving is negative, and its temperature doubted."""
    table = station()
    crossed = table.assign(**{faults.INDOOR: table[TWIN], TWIN: table[faults.INDOOR]})
    assert {"negative-saving", "bare-doubt"} <= credited(write(tmp_path, crossed, "twin")).codes


def test_the_clean_log_is_not_doubted(clean: Credited) -> None:
    doubted = frozenset().union(*faults.NAMED.values())
    assert not doubted & clean.codes
