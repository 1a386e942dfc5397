"""Faults through the whole chain where no model can be fitted: by a like house, and by an assumed lift."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from ledger.appraisal import Appraisal
from ledger.heat.results import Band
from ledger.intake.gather import gather, gather_and_appraise
from tests.planted import faults
from tests.planted.plain_farm import LEDGER, TWIN, WITH_TWIN, station

WAYS = {"twin": WITH_TWIN, "lift": LEDGER}


def write(folder: Path, table: pd.DataFrame, way: str) -> Path:
    (folder / "ledger.toml").write_text(WAYS[way], encoding="utf-8")
    table.tz_localize(None).to_csv(folder / "log.csv", date_format="%Y-%m-%d %H:%M")
    return folder / "ledger.toml"


def whole(appraisal: Appraisal) -> tuple[float, Band]:
    (season,) = appraisal.seasons
    credited, span = season.heat.avoided_whole_season_kwh, season.heat.avoided_whole_season_range_kwh
    assert credited is not None
    assert span is not None
    return credited, span


@pytest.fixture(scope="module", params=sorted(WAYS))
def way(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="module")
def clean(way: str, tmp_path_factory: pytest.TempPathFactory) -> Appraisal:
    return gather_and_appraise(write(tmp_path_factory.mktemp("clean"), station(), way))


def test_the_way_is_the_one_that_is_meant(way: str, clean: Appraisal) -> None:
    assert clean.seasons[0].heat.bare.used == way
    credited, span = whole(clean)
    assert credited > 0.0
    assert span.p10 < credited < span.p90


def test_a_twin_s_range_is_not_so_wide_that_it_would_hold_anything(
    tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """A kelvin and a half in the like house, three times what its thermometer is taken to be good for, falls out."""
    table = station()
    untouched, _ = whole(gather_and_appraise(write(tmp_path_factory.mktemp("clean"), table, "twin")))
    _, span = whole(gather_and_appraise(write(tmp_path, table.assign(**{TWIN: table[TWIN] - 1.5}), "twin")))
    assert not span.p10 <= untouched <= span.p90


@pytest.mark.parametrize("plant", faults.WITHIN_RANGE, ids=lambda plant: plant.__name__)
def test_a_fault_moves_the_credited_heat_by_no_more_than_its_range(
    plant: faults.Plant, way: str, clean: Appraisal, tmp_path: Path
) -> None:
    faulty = gather_and_appraise(write(tmp_path, plant(station()), way))
    _, span = whole(faulty)
    assert span.p10 <= whole(clean)[0] <= span.p90
    if plant in faults.NAMED:
        assert faults.NAMED[plant] & {notice.code for notice in faulty.warnings}


@pytest.mark.parametrize("by_k", [-0.5, 0.5])
def test_half_a_kelvin_in_the_like_house_is_within_the_range(
    by_k: float, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    table = station()
    untouched = gather_and_appraise(write(tmp_path_factory.mktemp("clean"), table, "twin"))
    faulty = gather_and_appraise(write(tmp_path, table.assign(**{TWIN: table[TWIN] + by_k}), "twin"))
    _, span = whole(faulty)
    assert span.p10 <= whole(untouched)[0] <= span.p90


@pytest.mark.parametrize(
    "plant", [p for p in faults.NAMED if p not in faults.WITHIN_RANGE], ids=lambda plant: plant.__name__
)
def test_a_fault_that_turns_the_answer_is_named(plant: faults.Plant, way: str, tmp_path: Path) -> None:
    warned = [n.code for n in gather(write(tmp_path, plant(station()), way)).warnings]
    assert faults.NAMED[plant] & set(warned)


def test_the_like_house_taken_for_the_house_is_named(tmp_path: Path) -> None:
    """The bare house then reads warmer than the built one: the saving is negative, and its temperature doubted."""
    table = station()
    crossed = table.assign(**{faults.INDOOR: table[TWIN], TWIN: table[faults.INDOOR]})
    codes = {notice.code for notice in gather_and_appraise(write(tmp_path, crossed, "twin")).warnings}
    assert {"negative-saving", "bare-doubt"} <= codes


def test_the_clean_log_is_not_doubted(way: str, clean: Appraisal) -> None:
    doubted = frozenset().union(*faults.NAMED.values())
    assert not doubted & {notice.code for notice in clean.warnings}
    assert clean.seasons[0].heat.bare.used == way
