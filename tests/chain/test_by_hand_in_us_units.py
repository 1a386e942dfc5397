"""A second small ledger by hand: US units, a night screen, the bare house by a stated lift, wood, real rates."""

from __future__ import annotations

import pytest

import ledger
from ledger.appraisal import Appraisal

US = """
[ledger]
title = "Two nights by hand, with a screen"
currency = "USD"

[site]
latitude = 0
longitude = 0
elevation = "0 ft"
timezone = "UTC"

[house]
floor_area = "800 ft2"
volume = "10000 ft3"
air_changes = { low = 0.5, likely = 1.0, high = 2.0, basis = "estimated" }
unheated_lift = { low = "4.5 degF", likely = "9 degF", high = "13.5 degF", basis = "estimated" }
[[house.surface]]
name = "roof and walls"
area = "1000 ft2"
u_value = "0.6 Btu/h/ft2/degF"
[[house.edge]]
name = "footing"
length = "100 ft"
loss = "0.5 Btu/h/ft/degF"

[hold]
temperature = "40 degF"
season = { begins = "01-10", ends = "01-11" }
backup_used = "none"

[crop]
base = "50 degF"

[money]
base_date = 2026-01-01
study_years = 2
discount_rate = "4 %"
rates_are = "real"
timing = "mid-year"

[[build]]
name = "night screen"
expected_running = { low = 1, likely = 1.5, high = 2 }
[[build.item]]
date = 2025-06-01
what = "screen"
amount = "$2,000.00"
hours = 20
life_years = 10
[[build.before]]
surface = "roof and walls"
u_value = "1.2 Btu/h/ft2/degF"
hours = "night"

[labour]
rate = 10.00

[[source]]
name = "wood stove"
kind = "wood stove"
unit = "cord"
price = 240
heat_per_unit = "20 MMBtu"
heat_basis = "gross, 20 % moisture, 85 ft3 solid"
efficiency = 0.6
hours_per_unit = 8
capital = 0
upkeep = 0
life_years = 20
output = "40000 Btu/h"
backup = true

[[log]]
file = "log.csv"
indoor = { column = "In", unit = "degF" }
outdoor = { column = "Out", unit = "degF" }
"""

BTU_WH = 1055.05585262 / 3600  # International Table Btu in watt-hours
PER_DEGF = BTU_WH * 1.8  # Btu/h per °F in W/K
FT3 = 0.3048**3
AIR = 101325 / (287.055 * 293.15) * 1006 * 10000 * FT3 / 3600  # W/K
H_KW = ((600 + 50) * PER_DEGF + AIR) / 1000
BARE_KW = ((1200 + 50) * PER_DEGF + AIR) / 1000
K = 1 / 1.8  # kelvins in a degree Fahrenheit
NEED = BARE_KW * 12 * (11 + 21) * K
SHORT = H_KW * 12 * (2 + 10) * K
AVOIDED = NEED - SHORT
CORD_KWH = 20e6 * BTU_WH / 1000
CORDS = AVOIDED / (CORD_KWH * 0.6)


@pytest.fixture(scope="module")
def answer(tmp_path_factory: pytest.TempPathFactory) -> Appraisal:
    """In the dark 38 in and 20 out on 10 January, 30 in and 10 out on 11 January; by day 60 in and 30 out (°F)."""
    folder = tmp_path_factory.mktemp("by-hand")
    (folder / "ledger.toml").write_text(US, encoding="utf-8")
    lines = ["Time,In,Out"]
    for day, night in {10: (38.0, 20.0), 11: (30.0, 10.0)}.items():
        for half_hour in range(48):
            hour, minute = divmod(half_hour * 30, 60)
            wobble = 0.1 if half_hour % 2 else -0.1
            row = night if hour < 6 or hour >= 18 else (60.0, 30.0)
            lines.append(f"2026-01-{day} {hour:02d}:{minute:02d}," + ",".join(f"{v + wobble:.1f}" for v in row))
    (folder / "log.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return ledger.appraise(ledger.read(folder / "ledger.toml"))


def test_the_heat_with_a_night_screen(answer: Appraisal) -> None:
    """Hold 40 °F; the bare house is 9 °F over outdoors: 29 and 19 °F, and loses through 1.2 where the screen has 0.6.

    need      12 h · H_bare · (40−29 + 40−19 = 32 °F)
    missing   12 h · H · (40−38 + 40−30 = 12 °F)
    credited  need − missing (no backup heat)
    load      12 h · H · (20 + 30 = 50 °F)     held 12 h · H · (18 + 20 = 38 °F)
    """
    (season,) = answer.seasons
    heat = season.heat
    assert answer.house.heat_loss_w_per_k == pytest.approx(H_KW * 1000, rel=1e-12)
    assert answer.house.bare_heat_loss_w_per_k == pytest.approx(BARE_KW * 1000, rel=1e-12)
    assert heat.need_kwh == pytest.approx(NEED, rel=1e-9)
    assert heat.shortfall_kwh == pytest.approx(SHORT, rel=1e-9)
    assert heat.avoided_kwh == pytest.approx(AVOIDED, rel=1e-9)
    assert heat.rungs.load_kwh == pytest.approx(H_KW * 12 * 50 * K, rel=1e-9)
    assert heat.rungs.held_kwh == pytest.approx(H_KW * 12 * 38 * K, rel=1e-9)
    assert heat.bare.used == "lift"


def test_the_span_from_the_lowest_to_the_highest_lift(answer: Appraisal) -> None:
    """At 4.5 °F the bare house is at 24.5 and 14.5: 41 °F short; at 13.5 °F at 33.5 and 23.5: 23 °F short."""
    (season,) = answer.seasons
    span = season.heat.avoided_range_kwh
    assert span.p90 == pytest.approx(BARE_KW * 12 * 41 * K - SHORT, rel=1e-9)
    assert span.p10 == pytest.approx(BARE_KW * 12 * 23 * K - SHORT, rel=1e-9)
    assert answer.verdict == "not yet known"


def test_wood_in_place_of_heat(answer: Appraisal) -> None:
    """One cord delivers 20 MMBtu · 0.6; each avoided cord spares 240 and 8 hours at 10."""
    money = answer.typical_money
    assert money is not None
    assert money.avoided_cost == pytest.approx(CORDS * (240 + 80), rel=1e-9)
    assert money.running_cost == pytest.approx(1.5)
    assert money.net_saving == pytest.approx(CORDS * 320 - 1.5, rel=1e-9)


def test_own_work_in_the_capital(answer: Appraisal) -> None:
    """2000 paid and 20 hours at 10: 2200 for the heat; without any own work 2000 ÷ (240 a cord − 1.50)."""
    assert answer.capital.net == pytest.approx(2200)
    assert answer.worth.simple_payback_years == pytest.approx(2200 / (CORDS * 320 - 1.5), rel=1e-9)
    assert answer.worth.simple_payback_cash_years == pytest.approx(2000 / (CORDS * 240 - 1.5), rel=1e-9)


def test_the_present_value_with_real_rates_in_the_middle_of_the_year(answer: Appraisal) -> None:
    """No growth, 4 % real, flows at ½ and 1½ years; of the 2000 paid 8/10 are left after two years, at year 2."""
    yearly = CORDS * 320 - 1.5
    npv = -2200 + yearly * (1.04**-0.5 + 1.04**-1.5)
    assert answer.worth.npv_without_residual == pytest.approx(npv, rel=1e-9)
    assert answer.worth.npv == pytest.approx(npv + 2000 * 0.8 / 1.04**2, rel=1e-9)
