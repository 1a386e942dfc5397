"""Vantarel, three winters: every figure of money that `seasons` shows is followed by hand from the ledger's text.

The heat that was not bought, the degree-days and the typical year's heat are taken from the answer as given numbers;
everything else is arithmetic on what stands in `demo/vantarel/ledger.toml`. One kilowatt-hour from the propane heater:
2.24 / (14 · 0.80) = 0.20 in the first winter, 2.80 / 11.2 = 0.25 in the second, 3.36 / 11.2 = 0.30 in the third.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from tests.demo.shared import document

CENT = 0.005
PRICE_PER_KWH = (0.20, 0.25, 0.30)


@pytest.fixture(scope="module")
def seasons() -> list[dict[str, Any]]:
    found = document("vantarel")["seasons"]
    assert [one["season"] for one in found] == ["2023-24", "2024-25", "2025-26"]
    return list(found)


def _avoided(seasons: list[dict[str, Any]]) -> list[float]:
    return [float(one["avoided_kwh"]) for one in seasons]


RUNNING = (27.566, 29.832, 42.658)
"""Fan at 0.22 a kWh, by its meter. 2023-24: 13.5 + 55.8 + (10000 − 9990.3 + 38.3 = 48.0, it began again at 0) + 8.0 +
0 = 125.3 kWh. 2024-25: 46.8 + 17.9 by the old meter, 19.1 + 43.3 + 8.5 by the new one = 135.6 kWh. 2025-26: 81.8 +
60.1 + 40.6 + 11.4 = 193.9 kWh."""
UPKEEP = (14.50, 172.00, 22.00)
"""A filter mat 14.50; a new fan 148.00 and 2 h at 12; a filter mat 16.00 and half an hour at 12."""
BACKUP = (43.232, 199.08, 395.808)
"""Propane: 11.6 + 7.7 = 19.3 kg at 2.24; 4.2 + 50.7 + 16.2 = 71.1 kg at 2.80; 37.9 + 76.1 + 3.8 = 117.8 kg at 3.36."""
HOUSE = (5.28, 5.50, 5.94)
"""The pump: 24, 25 and 27 kWh at 0.22."""
NET_CAPITAL = 2143.0
"""780 · 0.85 = 663, 286, 164, 185, 245, and 50 h of own work at 12 = 600; no grant."""


def test_the_costs_of_each_winter_line_by_line(seasons: list[dict[str, Any]]) -> None:
    for one, running, upkeep, backup, house in zip(seasons, RUNNING, UPKEEP, BACKUP, HOUSE, strict=True):
        assert one["running_cost"] == pytest.approx(running, abs=CENT)
        assert one["upkeep_cost"] == pytest.approx(upkeep, abs=CENT)
        assert one["backup_cost"] == pytest.approx(backup, abs=CENT)
        assert one["house_cost"] == pytest.approx(house, abs=CENT)
        lines = {(x["target"], x["what"]): x for x in one["track"]["lines"]}
        assert lines["air tubes", "fan meter"]["cost"] == pytest.approx(running, abs=CENT)
        assert lines["propane heater", "frost guard"]["cost"] == pytest.approx(backup, abs=CENT)
        assert lines["house", "watering pump"]["cost"] == pytest.approx(house, abs=CENT)
        kept = [x["cost"] for (target, what), x in lines.items() if target == "air tubes" and what != "fan meter"]
        assert sum(kept) == pytest.approx(upkeep, abs=CENT)
    used = [next(x["energy_kwh"] for x in one["track"]["lines"] if x["what"] == "fan meter") for one in seasons]
    assert used == pytest.approx([125.3, 135.6, 193.9])
    assert [one["labour_hours"] for one in seasons] == [0.0, 2.0, 0.5]


def test_what_each_winter_left_over_what_is_recovered_and_what_is_still_to_recover(
    seasons: list[dict[str, Any]],
) -> None:
    """kWh · price − running − upkeep; with the heat as it stands on the screen about

    1,070 · 0.20 − 27.57 − 14.50 = 172        1,970 left of 2143
      980 · 0.25 − 29.83 − 172.00 = 43        1,930
    1,220 · 0.30 − 42.66 − 22.00 = 301        1,630
    """
    recovered = 0.0
    for i, (one, kwh) in enumerate(zip(seasons, _avoided(seasons), strict=True)):
        saved = kwh * PRICE_PER_KWH[i]
        left = saved - RUNNING[i] - UPKEEP[i]
        recovered += left
        assert one["avoided_cost"] == pytest.approx(saved, abs=CENT)
        assert one["net_saving"] == pytest.approx(left, abs=CENT)
        assert one["recovered_to_date"] == pytest.approx(recovered, abs=CENT)
        assert one["still_to_recover"] == pytest.approx(NET_CAPITAL - recovered, abs=CENT)
    assert document("vantarel")["capital"]["net"] == pytest.approx(NET_CAPITAL, abs=CENT)


def test_at_the_pace_of_the_winters_so_far_the_day_moves(seasons: list[dict[str, Any]]) -> None:
    """Left over in the mean of the winters so far; what is left ÷ that, in years of 365.25 days, from 30 September on:
    after the first winter about 1,970 / 171 = 11.5 years, after the second (a fan burnt out) 1,930 / 107 = 18, after
    the third 1,630 / 172 = 9.5."""
    recovered, years = 0.0, []
    for i, (one, kwh) in enumerate(zip(seasons, _avoided(seasons), strict=True)):
        recovered += kwh * PRICE_PER_KWH[i] - RUNNING[i] - UPKEEP[i]
        mean = recovered / (i + 1)
        years.append((NET_CAPITAL - recovered) / mean)
        pace = one["track"]["pace"]
        assert pace["net_saving_a_season"] == pytest.approx(mean, abs=CENT)
        assert pace["years_to_go"] == pytest.approx(years[-1], abs=1e-6)
        last_day = date(2024 + i, 9, 30)
        assert pace["paid_on"] == (last_day + timedelta(days=round(years[-1] * 365.25))).isoformat()
    assert years[1] > years[0] > years[2]


def test_cost_for_each_kilowatt_hour_and_each_degree_day_and_heat_for_each_kilowatt_hour(
    seasons: list[dict[str, Any]],
) -> None:
    """(running + upkeep) ÷ kWh not bought; (running + upkeep + backup + house) ÷ degree-days indoors; kWh not bought ÷
    kWh of the fan."""
    fan_kwh = (125.3, 135.6, 193.9)
    for i, (one, kwh) in enumerate(zip(seasons, _avoided(seasons), strict=True)):
        own, whole = RUNNING[i] + UPKEEP[i], RUNNING[i] + UPKEEP[i] + BACKUP[i] + HOUSE[i]
        assert one["track"]["cost_per_kwh_avoided"] == pytest.approx(own / kwh, rel=1e-6)
        assert one["track"]["cost_per_gdd_indoor"] == pytest.approx(whole / one["gdd_indoor_k_d"], rel=1e-6)
        assert one["avoided_per_kwh_used"] == pytest.approx(kwh / fan_kwh[i], rel=1e-6)


def test_against_the_winter_before(seasons: list[dict[str, Any]]) -> None:
    kwh = _avoided(seasons)
    left = [kwh[i] * PRICE_PER_KWH[i] - RUNNING[i] - UPKEEP[i] for i in range(3)]
    assert seasons[0]["track"]["against_last"] is None
    for i in (1, 2):
        against = seasons[i]["track"]["against_last"]
        assert against["avoided_kwh"] == pytest.approx(kwh[i] - kwh[i - 1], abs=1e-5)
        assert against["running_cost"] == pytest.approx(RUNNING[i] - RUNNING[i - 1], abs=CENT)
        assert against["upkeep_cost"] == pytest.approx(UPKEEP[i] - UPKEEP[i - 1], abs=CENT)
        assert against["net_saving"] == pytest.approx(left[i] - left[i - 1], abs=CENT)


def test_against_the_plan(seasons: list[dict[str, Any]]) -> None:
    """The typical year at prices of September 2023.

    Fan, by calendar month, all winters together: October to December (13.5 + 46.8 + 81.8) / 3; January (55.8 + 17.9 +
    19.1 + 60.1) / 3; February (48.0 + 43.3 + 40.6) on 29 + 28 + 28 days, 28 of them; March and April (8.0 + 8.5 + 11.4)
    / 3; a summer of 0. In all 47.367 + 50.967 + 43.449 + 9.3 = 151.083 kWh at 0.22 = 33.238.
    Upkeep, three winters noted: (14.50 + 172 + 22) / 3 = 69.50. Heat at 0.20.
    """
    typical = document("vantarel")["typical_year"]
    fan_kwh = (142.1 + 152.9 + 27.9) / 3 + 131.9 * 28 / 85
    running, upkeep = fan_kwh * 0.22, 208.50 / 3
    left = typical["avoided_kwh"] * 0.20 - running - upkeep
    assert typical["running_cost"] == pytest.approx(running, abs=CENT)
    assert typical["upkeep_cost"] == pytest.approx(upkeep, abs=CENT)
    assert typical["net_saving"] == pytest.approx(left, abs=CENT)
    for i, (one, kwh) in enumerate(zip(seasons, _avoided(seasons), strict=True)):
        against = one["track"]["against_plan"]
        assert against["avoided_kwh"] == pytest.approx(kwh - typical["avoided_kwh"], abs=1e-5)
        assert against["running_cost"] == pytest.approx(RUNNING[i] - running, abs=CENT)
        assert against["upkeep_cost"] == pytest.approx(UPKEEP[i] - upkeep, abs=CENT)
        own = kwh * PRICE_PER_KWH[i] - RUNNING[i] - UPKEEP[i]
        assert against["net_saving"] == pytest.approx(own - left, abs=CENT)


def test_the_payback_moves_from_winter_to_winter(seasons: list[dict[str, Any]]) -> None:
    """The typical year as each winter left it, heat at the 0.20 of September 2023, capital 2143.

    After one winter: fan 13.5 + 55.8 + 48.0 · 28/29 + 8.0 = 123.645 kWh = 27.20, the upkeep expected, 15: about 12.5
    years. After two: (13.5 + 46.8) / 2 + (55.8 + 17.9 + 19.1) / 2 + (48.0 + 43.3) · 28/57 + (8.0 + 8.5) / 2 = 129.649
    kWh = 28.52, upkeep 15: about 13.3. After three the noted upkeep, 69.50, takes the place of what was expected: 18.4.
    The heat is what the next season's forecast holds, and the answer's own.
    """
    fan_kwh = (
        13.5 + 55.8 + 48.0 * 28 / 29 + 8.0,
        60.3 / 2 + 92.8 / 2 + 91.3 * 28 / 57 + 16.5 / 2,
        322.9 / 3 + 131.9 * 28 / 85,
    )
    heat = [seasons[1]["forecast"]["avoided_kwh"], seasons[2]["forecast"]["avoided_kwh"]]
    heat.append(document("vantarel")["typical_year"]["avoided_kwh"])
    years = []
    for one, kwh, fan, upkeep in zip(seasons, heat, fan_kwh, (15.0, 15.0, 69.5), strict=True):
        then = one["typical_year_then"]
        left = kwh * 0.20 - fan * 0.22 - upkeep
        assert then["net_saving"] == pytest.approx(left, abs=CENT)
        assert then["simple_payback_years"] == pytest.approx(NET_CAPITAL / left, rel=1e-6)
        years.append(then["simple_payback_years"])
    assert years == sorted(years)
    worth = document("vantarel")["worth"]
    assert seasons[2]["typical_year_then"]["npv"] == pytest.approx(worth["npv"], abs=CENT)
    assert years[2] == pytest.approx(worth["simple_payback_years"], rel=1e-9)


def test_the_meter_that_began_again_and_the_new_one_are_said() -> None:
    said = {one["code"]: one["text"] for one in document("vantarel")["warnings"]}
    assert "from 9990.3 over 10000 to 38.3 is 48" in said["meter-began-again"]
    assert "begins at 0 where the last line ended at 111" in said["meter-replaced"]


def test_backup_heat_is_taken_off_at_what_the_heater_delivers(seasons: list[dict[str, Any]]) -> None:
    """19.3, 71.1 and 117.8 kg · 14 kWh · 0.80 = 216.16, 796.32 and 1319.36 kWh."""
    assert [one["backup_delivered_kwh"] for one in seasons] == pytest.approx([216.16, 796.32, 1319.36])
    for one in seasons:
        assert one["avoided_kwh"] == pytest.approx(one["rungs"]["added_kwh"] - one["backup_delivered_kwh"], abs=1e-5)
        assert one["passive_fraction"] == pytest.approx(one["avoided_kwh"] / one["need_kwh"], rel=1e-8)


def test_a_mild_a_usual_and_a_hard_winter(seasons: list[dict[str, Any]]) -> None:
    """The typical year is the mean of the three, so the first is milder, the last colder than it."""
    mild, usual, hard = (one["nights"]["colder_than_typical_k"] for one in seasons)
    assert mild < -1.0 < usual < 1.0 < hard
    assert [one["dark_degree_hours_k_h"] for one in seasons] == sorted(one["dark_degree_hours_k_h"] for one in seasons)
    assert [one["nights"]["coldest_indoor_c"] is None for one in seasons] == [False, False, True]
