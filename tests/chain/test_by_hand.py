"""Two small ledgers reckoned by hand, from the typed file to the money. Every figure is followed in the docstrings."""

from __future__ import annotations

from pathlib import Path

import pytest

import ledger
from ledger.appraisal import Appraisal
from tests.known import known

METRIC = """
[ledger]
title = "Two nights by hand"
currency = "EUR"

[site]
latitude = 0
longitude = 0
elevation = "0 m"
timezone = "UTC"

[house]
floor_area = "1000 m2"
volume = "30000 m3"
air_changes = { low = 0.5, likely = 1.0, high = 2.0, basis = "estimated" }
[[house.surface]]
name = "cover"
area = "4000 m2"
u_value = "2 W/m2/K"
[[house.edge]]
name = "footing"
length = "1000 m"
loss = "1 W/m/K"

[hold]
temperature = "4 degC"
season = { begins = "01-10", ends = "01-11" }
backup_used = "none"

[crop]
base = "10 degC"

[money]
base_date = 2026-01-01
study_years = 3
discount_rate = 0.05
inflation = 0.02
[[money.grant]]
name = "energy grant"
amount = 150
date = 2025-12-01

[electricity]
price = 0.50
price_growth = 0.03

[[build]]
name = "buried air tubes"
[[build.item]]
date = 2025-06-01
what = "excavation"
amount = 1000
life_years = 30
[[build.item]]
date = 2025-06-02
what = "fan"
amount = 200
life_years = 2
[[build.item]]
date = 2025-06-03
what = "tank"
amount = 300
share = 0.5
life_years = 10
residual = 50
[[build.upkeep]]
what = "filter"
amount = 20

[[running]]
date = 2026-01-31
for = "buried air tubes"
what = "fan electricity"
energy = "31 kWh"
from = 2026-01-01
to = 2026-01-31

[[source]]
name = "electric heater"
kind = "electric resistance"
price = 0.50
price_growth = 0.03
capital = 100
life_years = 8
upkeep = 0
output = "200 kW"
backup = true

[[log]]
file = "log.csv"
indoor = { column = "Inside", unit = "degC" }
outdoor = { column = "Outside", unit = "degC" }
unheated = { column = "Other house", unit = "degC" }
"""

# by hand: p(0) = 101325 Pa; rho = 101325 / (287.055 * 293.15) = 1.204098... kg/m3; air = rho * 1006 * 30000 * 1 / 3600
RHO = 101325 / (287.055 * 293.15)
AIR = RHO * 1006 * 30000 / 3600
H_KW = (4000 * 2 + 1000 * 1 + AIR) / 1000
# hours by night: 12 at (4 - 0) and 12 at (4 - (-3)); what the build added: 12 at (4 - 0) and 12 at (2 - (-3))
NEED = (12 * 4 + 12 * 7) * H_KW
AVOIDED = (12 * 4 + 12 * 5) * H_KW


def two_nights_csv(folder: Path) -> None:
    """Half-hourly readings of 10 and 11 January 2026 at latitude 0, longitude 0, where it is dark 18:00 to 06:00."""
    lines = ["Time,Inside,Outside,Other house"]
    for day, (inside, outside, other) in {10: (5.0, -10.0, 0.0), 11: (2.0, -15.0, -3.0)}.items():
        for half_hour in range(48):
            hour, minute = divmod(half_hour * 30, 60)
            wobble = 0.1 if half_hour % 2 else -0.1  # a steady value would be a frozen sensor; the hour's mean is exact
            night = hour < 6 or hour >= 18
            row = (inside, outside, other) if night else (15.0, 0.0, 12.0)
            lines.append(f"2026-01-{day} {hour:02d}:{minute:02d}," + ",".join(f"{v + wobble:.1f}" for v in row))
    (folder / "log.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


@pytest.fixture(scope="module")
def answer(tmp_path_factory: pytest.TempPathFactory) -> Appraisal:
    folder = tmp_path_factory.mktemp("by-hand")
    (folder / "ledger.toml").write_text(METRIC, encoding="utf-8")
    two_nights_csv(folder)
    return ledger.appraise(ledger.read(folder / "ledger.toml"))


def test_the_rungs_of_two_nights(answer: Appraisal) -> None:
    """H = 8000 + 1000 + 1.204098·1006·30000/3600 = 19,094.2... W/K (8,000 cover, 1,000 footing, 10,094 air).

    Night one (12 dark hours of 10 January): inside 5, outside −10, other house 0, hold 4.
    Night two (12 dark hours of 11 January): inside 2, outside −15, other house −3.
    Day (24 hours): inside 15, outside 0.
        gross    12·(5+10) + 12·(2+15) + 24·15   = 744 K·h
        load     12·(4+10) + 12·(4+15)           = 396 K·h
        held     12·(4+10) + 12·(2+15)           = 372 K·h
        added    12·(4−0)  + 12·(2+3)            = 108 K·h
        need     12·(4−0)  + 12·(4+3)            = 132 K·h
        missing               12·(4−2)           =  24 K·h = need − added
    """
    (season,) = answer.seasons
    heat = season.heat
    assert answer.house.heat_loss_w_per_k == pytest.approx(H_KW * 1000, rel=1e-12)
    assert heat.season == "2026"
    assert (heat.hours, heat.hours_valid, heat.hours_counted) == (48, 48, 24)
    assert heat.dark_degree_hours_k_h == pytest.approx(396, rel=1e-12)
    assert heat.rungs.gross_kwh == pytest.approx(744 * H_KW, rel=1e-12)
    assert heat.rungs.load_kwh == pytest.approx(396 * H_KW, rel=1e-12)
    assert heat.rungs.held_kwh == pytest.approx(372 * H_KW, rel=1e-12)
    assert heat.rungs.added_kwh == pytest.approx(108 * H_KW, rel=1e-12)
    assert heat.rungs.credited_kwh == heat.avoided_kwh == pytest.approx(AVOIDED, rel=1e-12)
    assert heat.need_kwh == pytest.approx(NEED, rel=1e-12)
    assert heat.shortfall_kwh == pytest.approx(24 * H_KW, rel=1e-12)
    assert heat.passive_fraction == pytest.approx(108 / 132, rel=1e-12)
    assert heat.bare.used == "twin"
    assert heat.indoor_min_c == pytest.approx(2)
    assert (heat.hours_below_hold, heat.hours_below_freezing) == (12, 0)


def test_the_degree_days_of_two_days(answer: Appraisal) -> None:
    """Base 10: by day 12 h at 15 give 12·5/24 = 2.5 K·d a day, two days 5.0; outdoors 0; in the counted dark 0."""
    (season,) = answer.seasons
    assert season.heat.gdd_indoor_k_d == pytest.approx(5.0)
    assert season.heat.gdd_outdoor_k_d == pytest.approx(0.0)
    assert season.heat.gdd_over_outdoors_k_d == pytest.approx(5.0)
    assert season.heat.gdd_by_build_k_d == pytest.approx(0.0)
    assert answer.worth.cost_per_gdd_by_build is None


def test_the_capital_of_three_items(answer: Appraisal) -> None:
    """1000 + 200 + 300 = 1500; for heat 1000 + 200 + 0.5·300 = 1350; grant 150 · 1350/1500 = 135; net 1215."""
    assert float(answer.capital.gross) == 1500
    assert answer.capital.share_for_heat == pytest.approx(1350)
    assert answer.capital.grants == pytest.approx(135)
    assert answer.capital.net == pytest.approx(1215)


def test_the_year_in_money(answer: Appraisal) -> None:
    """Saving 0.50 · avoided; the fan 31 kWh in 31 days of January: 31 · 0.50 = 15.50; filter 20."""
    money = answer.typical_money
    assert money is not None
    assert answer.typical_heat is not None
    assert answer.typical_heat.avoided_kwh == pytest.approx(AVOIDED, rel=1e-12)
    assert money.running_cost == pytest.approx(15.5)
    assert money.upkeep_cost == pytest.approx(20)
    assert money.avoided_cost == pytest.approx(0.5 * AVOIDED)
    assert money.net_saving == pytest.approx(0.5 * AVOIDED - 35.5)
    assert answer.worth.simple_payback_years == pytest.approx(1215 / (0.5 * AVOIDED - 35.5))
    assert answer.worth.simple_payback_gross_years == pytest.approx(1350 / (0.5 * AVOIDED - 35.5))


def test_the_present_value_by_hand(answer: Appraisal) -> None:
    """Year k: saving and fan grow at 3 %, filter at 2 %, discounted at 5 %, three years.

    The fan lives 2 years: bought again in year 2 at 200·1.02². At the end of year 3 there is left:
    excavation 1000·27/30 = 900, the second fan 200·1/2 = 100, the tank 0.5·(50 + 250·7/10) = 112.50,
    together 1112.50 · 1.02³.
    """
    saving = 0.5 * AVOIDED
    npv = -1215.0
    for k in (1, 2, 3):
        npv += ((saving - 15.5) * 1.03**k - 20 * 1.02**k) / 1.05**k
    npv -= 200 * 1.02**2 / 1.05**2
    left = 1112.5 * 1.02**3 / 1.05**3
    assert answer.worth.npv == pytest.approx(npv + left, rel=1e-12)
    assert answer.worth.npv_without_residual == pytest.approx(npv, rel=1e-12)
    assert answer.cash_flow[2].replacement == pytest.approx(-200 * 1.02**2)
    assert answer.cash_flow[3].residual == pytest.approx(1112.5 * 1.02**3)
    assert sum(y.discounted for y in answer.cash_flow) == pytest.approx(npv + left, rel=1e-12)


def test_the_plans_by_hand(answer: Appraisal) -> None:
    """Heater alone: 100, and 0.50·need·1.03^k a year; it lives 8 years, so 100·5/8·1.02³ is left at the end.

    With the build the heat to buy is need − avoided; the difference of the two life-cycle costs is the NPV.
    """
    plans = {p.name: p for p in answer.plans}
    alone = plans["electric heater alone"]
    both = plans["build + electric heater"]
    fuel = sum(0.5 * NEED * 1.03**k / 1.05**k for k in (1, 2, 3))
    assert alone.life_cycle_cost == pytest.approx(100 + fuel - 62.5 * 1.02**3 / 1.05**3, rel=1e-12)
    assert both.heat_to_buy_kwh == pytest.approx(NEED - AVOIDED, rel=1e-9)
    assert answer.worth.npv is not None
    assert both.life_cycle_cost is not None
    assert known(alone.life_cycle_cost) - both.life_cycle_cost == pytest.approx(answer.worth.npv, rel=1e-9)
    assert alone.fuel_cost_per_delivered_kwh == pytest.approx(0.5)


def test_the_season_account_by_hand(answer: Appraisal) -> None:
    """The account begins on 10 January: of the fan's 31 days (1 to 31 January) 22 lie in it, 15.50 · 22/31 = 11.00."""
    (season,) = answer.seasons
    account = season.account
    assert account.running_cost == pytest.approx(11.0)
    assert account.avoided_cost == pytest.approx(0.5 * AVOIDED)
    assert account.net_saving == pytest.approx(0.5 * AVOIDED - 11.0)
    assert account.recovered_to_date == pytest.approx(0.5 * AVOIDED - 11.0)
    assert account.still_to_recover == pytest.approx(1215 - (0.5 * AVOIDED - 11.0))
