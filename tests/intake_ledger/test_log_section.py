"""What `[[log]]` and `[climate]` become for the log reader."""

from __future__ import annotations

from datetime import datetime

import pytest

from ledger.errors import LedgerError
from ledger.intake.ledger_file import ledger_of
from ledger.intake.zones import is_clock, is_zone, likeliest
from ledger.model.logs import LogSpec, Stamp
from tests.intake_ledger.test_least_ledger import LEAST


def log(addition: str = "") -> LogSpec:
    return ledger_of(f"{LEAST}{addition}\n", "f").logs[0]


def test_a_log_as_short_as_can_be_takes_local_instants() -> None:
    spec = log()
    assert (spec.file, spec.clock, spec.stamp, spec.time) == ("logs/*.csv", "local", Stamp.INSTANT, None)
    assert [(c.channel, c.column, c.unit) for c in spec.channels] == [
        ("indoor", "Inside", "degC"),
        ("outdoor", "Outside", "degC"),
    ]
    assert spec.line == 25


def test_a_channel_may_be_its_header_alone() -> None:
    assert log('water = "Tank"').channels[-1].column == "Tank"


def test_offsets_are_differences_and_power_is_in_watts() -> None:
    water = 'water = { column = "T", offset = "-1.8 degF", accuracy = "0.9 delta_degF" }'
    spec = log(f'{water}\nfan = {{ column = "F", power = "0.09 kW" }}')
    tank, fan = spec.channels[2], spec.channels[3]
    assert (tank.offset_k, tank.accuracy_k) == pytest.approx((-1.0, 0.5))
    assert fan.power_w == pytest.approx(90.0)


@pytest.mark.parametrize(
    ("span", "first", "last"),
    [
        ("from = 2025-12-12T00:00:00\nto = 2025-12-14T09:00:00", (2025, 12, 12, 0), (2025, 12, 14, 9)),
        ("from = 2025-12-12\nto = 2025-12-12", (2025, 12, 12, 0), (2025, 12, 13, 0)),
        ("from = 2025-12-12\nto = 2025-12-14T00:00:00", (2025, 12, 12, 0), (2025, 12, 14, 0)),
    ],
)
def test_a_bare_date_at_the_end_of_an_exclusion_is_taken_whole(
    span: str, first: tuple[int, int, int, int], last: tuple[int, int, int, int]
) -> None:
    (exclusion,) = log(f'[[log.exclude]]\n{span}\nwhy = "power cut"').exclude
    assert (exclusion.first, exclusion.last) == (datetime(*first), datetime(*last))


@pytest.mark.parametrize("file", ["logs/station-*.csv", "../shared/x.csv", "a.csv", "logs/**/*.csv", "../../x/*.csv"])
def test_a_path_that_the_grower_named_is_allowed(file: str) -> None:
    assert ledger_of(LEAST.replace("logs/*.csv", file), "f").logs[0].file == file


def test_indoor_and_outdoor_may_stand_in_two_logs() -> None:
    indoor, outdoor = LEAST.split("outdoor = ")[0], LEAST.split("outdoor = ")[1]
    ledger = ledger_of(f'{indoor}[[log]]\nfile = "b.csv"\noutdoor = {outdoor}', "f")
    assert [len(spec.channels) for spec in ledger.logs] == [1, 1]


def test_no_log_is_needed_where_a_climate_stands() -> None:
    normals = ", ".join(f'{{ month = {m}, mean_low = "{-m} degC", mean_high = "50 degF" }}' for m in range(12, 0, -1))
    text = LEAST[: LEAST.index("[[log]]")] + f"[climate]\nnormals = [ {normals} ]\n"
    climate = ledger_of(text, "f").climate
    assert climate is not None
    assert [n.month for n in climate.normals] == list(range(1, 13))
    assert (climate.normals[2].mean_low_c, climate.normals[2].mean_high_c) == pytest.approx((-3.0, 10.0))


def test_a_climate_file_is_mapped_like_a_log() -> None:
    ledger = ledger_of(
        LEAST + '[climate]\nfile = "c.csv"\nclock = "UTC"\noutdoor = { column = "T", unit = "degF" }\n', "f"
    )
    assert ledger.climate is not None
    assert ledger.climate.record is not None
    assert (ledger.climate.record.file, ledger.climate.record.clock) == ("c.csv", "UTC")


def test_a_mean_low_above_its_mean_high_is_a_fault() -> None:
    normals = ", ".join(f'{{ month = {m}, mean_low = "9 degC", mean_high = "1 degC" }}' for m in range(1, 13))
    with pytest.raises(LedgerError) as caught:
        ledger_of(f"{LEAST}[climate]\nnormals = [ {normals} ]\n", "f")
    assert len(caught.value.complaints) == 12


@pytest.mark.parametrize(
    "words", ["local", "standard", "UTC", "UTC-07:00", "UTC+1", "+05:30", "UTC−07:00", "Europe/Rome"]
)
def test_clocks_that_are_known(words: str) -> None:
    assert is_clock(words)


@pytest.mark.parametrize("words", ["Mars", "UTC+25", "UTC-07:99", "", "../etc/passwd", "/etc/localtime", "summer"])
def test_clocks_that_are_not(words: str) -> None:
    assert not is_clock(words)


def test_zones_are_known_by_their_name_and_not_by_a_path() -> None:
    assert is_zone("America/Denver")
    assert is_zone("Etc/GMT+5")
    assert not is_zone("America/Denvr")
    assert not is_zone("../UTC")


@pytest.mark.parametrize(
    ("latitude", "longitude", "zone"),
    [
        (46.0, 11.0, "Europe/Rome"),
        (39.7, -105.0, "America/Denver"),
        (27.5, 89.6, "Asia/Thimphu"),
        (-45.0, 168.7, "Pacific/Auckland"),
    ],
)
def test_the_zone_of_a_place_is_among_the_three_likeliest(latitude: float, longitude: float, zone: str) -> None:
    found = likeliest(latitude, longitude)
    assert len(found) == 3
    assert zone in found


def test_a_zone_spelled_almost_right_comes_first() -> None:
    assert likeliest(46.0, 11.0, typed="Europe/Roma")[0] == "Europe/Rome"
    assert len(likeliest(46.0, 11.0, typed="Europe/Roma")) == 3
    assert likeliest(46.0, 11.0, typed="nonsense") == likeliest(46.0, 11.0)
