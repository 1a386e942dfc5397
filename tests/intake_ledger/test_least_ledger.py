"""The shortest ledger that answers, and what it is turned into."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from ledger.intake.ledger_file import ledger_of, read_ledger
from ledger.model.house import House
from tests.small_house import GABLE

LEAST = f"""\
[site]
latitude = 46
longitude = 11
elevation = "1450 m"
timezone = "Europe/Rome"
{GABLE}cover = "twin-wall polycarbonate 10 mm"
[hold]
temperature = "4 degC"
[[build]]
name = "buried air tubes"
[[build.item]]
date = 2025-06-11
what = "excavation"
amount = 3850.00
[[source]]
name = "electric heater"
kind = "electric resistance"
price = 0.30
[[log]]
file = "logs/*.csv"
indoor = {{ column = "Inside", unit = "degC" }}
outdoor = {{ column = "Outside", unit = "degC" }}
"""


def house() -> House:
    return ledger_of(LEAST, "ledger.toml").house


def test_the_least_ledger_has_under_30_lines() -> None:
    assert len(LEAST.splitlines()) < 30


def test_the_least_ledger_reads_from_disk_with_its_hash_and_text(tmp_path: Path) -> None:
    path = tmp_path / "ledger.toml"
    path.write_text(LEAST, encoding="utf-8")
    reading = read_ledger(path)
    assert reading.text == LEAST
    assert len(reading.sha256) == 64
    assert reading.ledger.title == "ledger"


def test_a_gable_house_of_12_by_5_by_2_and_3_4_m_has_these_areas() -> None:
    """By hand: floor 12·5 = 60; volume 60·(2 + 3.4)/2 = 162; slope √(2.5² + 1.4²) = √8.21 = 2.865310;
    cover 2·12·(2 + 2.865310) + 2·(5·2 + 5·1.4/2) = 116.767 + 27 = 143.767; footing 2·(12 + 5) = 34.
    """
    assert house().floor_area_m2.likely == pytest.approx(60.0)
    assert house().volume_m3.likely == pytest.approx(162.0)
    assert house().surfaces[0].area_m2.likely == pytest.approx(24 * (2 + math.sqrt(8.21)) + 27)
    assert house().edges[0].length_m.likely == pytest.approx(34.0)
    assert house().edges[0].loss_w_per_m_k.likely == pytest.approx(1.263, abs=0.0006)


def test_every_default_of_the_least_ledger_is_listed() -> None:
    listed = {one.path for one in ledger_of(LEAST, "ledger.toml").assumed}
    for path in (
        "hold.season",
        "house.air_changes",
        "house.u_value",
        "house.edge.loss",
        "house.unheated_lift",
        "house.sun_gain",
        "crop.base",
        "money.base_date",
        "money.study_years",
        "money.discount_rate",
        "money.inflation",
        "money.rates_are",
        "money.timing",
        "money.against",
        "electricity.price",
        "electricity.price_growth",
        "source[1].efficiency",
        "source[1].unit",
        "source[1].heat_per_unit",
        "source[1].capital",
        "source[1].output",
        "source[1].life_years",
        "source[1].price_growth",
        "build[1].item[1].life_years",
        "build[1].item.share",
        "log[1].clock",
        "log[1].stamp",
        "ledger.currency",
        "ledger.show",
    ):
        assert path in listed
