"""Faults on the way from files to credited heat with the house model: five weeks of a farm of other physics."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from ledger.errors import LogError
from ledger.intake.gather import gather
from tests.housemodel.farms import Farms, draw_farms, ledger_of, log_of
from tests.housemodel.simulator import run
from tests.planted import faults
from tests.planted.chain import Credited, credited

SEED = 21
TUBES_AND_TANK = 3


@pytest.fixture(scope="module")
def farms() -> Farms:
    drawn = draw_farms(4, SEED, days=(40, 75))
    return replace(drawn, houses=replace(drawn.houses, hold_c=np.full(4, 6.0)))


@pytest.fixture(scope="module")
def station(farms: Farms) -> pd.DataFrame:
    """The log of the farm with tubes and tank, without holes."""
    logged = run(farms.houses, farms.weather, tank=True, bed=True, hold_c=None)
    return log_of(replace(farms, holes=np.zeros(4, dtype=np.int64)), logged, TUBES_AND_TANK, SEED)


@pytest.fixture(scope="module")
def written(farms: Farms, tmp_path_factory: pytest.TempPathFactory) -> Callable[[pd.DataFrame], Path]:
    """Writes a log beside the farm's ledger, each in a folder of its own, and says where the ledger is."""

    def write(table: pd.DataFrame) -> Path:
        folder = tmp_path_factory.mktemp("farm")
        (folder / "ledger.toml").write_text(ledger_of(farms, TUBES_AND_TANK), encoding="utf-8")
        table.tz_localize(None).to_csv(folder / "log.csv", date_format="%Y-%m-%d %H:%M")
        return folder / "ledger.toml"

    return write


@pytest.fixture(scope="module")
def clean(station: pd.DataFrame, written: Callable[[pd.DataFrame], Path]) -> Credited:
    return credited(written(station))


def test_the_clean_log_is_answered_by_the_model_with_a_range_that_says_something(clean: Credited) -> None:
    """A range as wide as the heat itself would hold any fault."""
    assert clean.season.bare.used == "model"
    assert clean.span.p10 < clean.whole_kwh < clean.span.p90
    assert clean.span.p90 - clean.span.p10 < clean.whole_kwh


@pytest.mark.parametrize("plant", faults.WITHIN_RANGE, ids=lambda plant: plant.__name__)
def test_a_fault_moves_the_credited_heat_by_no_more_than_its_range(
    plant: faults.Plant, clean: Credited, station: pd.DataFrame, written: Callable[[pd.DataFrame], Path]
) -> None:
    """What the clean log credits lies in the range of the faulty one."""
    faulty = credited(written(plant(station)))
    assert faulty.holds(clean.whole_kwh)
    if plant in faults.NAMED:
        assert faults.NAMED[plant] & faulty.codes


@pytest.mark.parametrize(
    "plant", [p for p in faults.NAMED if p not in faults.WITHIN_RANGE], ids=lambda plant: plant.__name__
)
def test_a_fault_that_turns_the_answer_is_named_with_its_line(
    plant: faults.Plant, station: pd.DataFrame, written: Callable[[pd.DataFrame], Path]
) -> None:
    """Reading alone says so, before anything is reckoned; the line is that of the channel in the ledger."""
    path = written(plant(station))
    named = [notice for notice in gather(path).warnings if notice.code in faults.NAMED[plant]]
    assert len(named) == 1
    line = named[0].line
    assert line is not None
    typed = path.read_text(encoding="utf-8").splitlines()[line - 1]
    assert typed.split(" = ")[0] == named[0].path.removeprefix("log.")


def test_a_unit_that_turns_midway_is_refused_at_its_row(
    station: pd.DataFrame, written: Callable[[pd.DataFrame], Path]
) -> None:
    """The header is line 1, so that the first row of the second half is line n // 2 + 2."""
    with pytest.raises(LogError) as told:
        gather(written(faults.fahrenheit_from_the_middle_on(station)))
    assert told.value.complaints[0].place.line == len(station) // 2 + 2


def test_the_clean_log_is_not_doubted(station: pd.DataFrame, written: Callable[[pd.DataFrame], Path]) -> None:
    doubted = frozenset().union(*faults.NAMED.values())
    assert not doubted & {notice.code for notice in gather(written(station)).warnings}


def cold_spell(table: pd.DataFrame) -> slice:
    """The four coldest days."""
    last = int(np.nanargmin(table[faults.OUTDOOR].rolling(4 * faults.PER_DAY).mean().to_numpy()))
    return slice(last - 4 * faults.PER_DAY + 1, last + 1)


def test_a_hole_over_the_cold_spell_is_filled_from_another_station(
    clean: Credited, station: pd.DataFrame, written: Callable[[pd.DataFrame], Path]
) -> None:
    """The whole season's need comes nearer to what the clean log says, though the other station is 4 K warmer."""
    spell = cold_spell(station)
    holed = station.drop(station.index[spell])
    path, beside = written(holed), written(holed)
    away = station[[faults.OUTDOOR]].resample("1h").mean().round(1) + 4.0
    away.tz_localize(None).to_csv(beside.parent / "airport.csv", date_format="%Y-%m-%d %H:%M")
    climate = '[climate]\nfile = "airport.csv"\ntime = "Time"\noutdoor = { column = "Outdoor [°C]" }\n'
    beside.write_text(beside.read_text(encoding="utf-8") + climate, encoding="utf-8")
    missed = abs(credited(path).need_kwh - clean.need_kwh)
    assert abs(credited(beside).need_kwh - clean.need_kwh) < 0.5 * missed
