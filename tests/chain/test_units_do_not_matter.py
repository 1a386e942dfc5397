"""The same farm typed in feet and Fahrenheit and in metres and Celsius, its log unrounded: the same answer."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import ledger
from ledger.appraisal import Appraisal
from tests.chain.test_by_hand import METRIC, two_nights_csv

FT = 0.3048
BTU_WH = 1055.05585262 / 3600
IN_US_UNITS = {
    "m2": ("ft2", FT**2),
    "m3": ("ft3", FT**3),
    "m": ("ft", FT),
    "W/m2/K": ("Btu/h/ft2/degF", BTU_WH * 1.8 / FT**2),
    "W/m/K": ("Btu/h/ft/degF", BTU_WH * 1.8 / FT),
    "kW": ("Btu/h", BTU_WH / 1000),
    "kWh": ("Btu", BTU_WH / 1000),
}


def in_us_units(text: str) -> str:
    """Every quantity of a ledger in the other system, to the last digit of a float."""

    def turned(match: re.Match[str]) -> str:
        number, unit = float(match.group(1)), match.group(2)
        if unit == "degC":
            return f'"{number * 1.8 + 32!r} degF"'
        name, size = IN_US_UNITS[unit]
        return f'"{number / size!r} {name}"'

    text = re.sub(r'"([\d.]+) (degC|' + "|".join(map(re.escape, IN_US_UNITS)) + r')"', turned, text)
    return text.replace('unit = "degC"', 'unit = "degF"')


def answered(folder: Path, text: str) -> Appraisal:
    (folder / "ledger.toml").write_text(text, encoding="utf-8")
    return ledger.appraise(ledger.read(folder / "ledger.toml"))


def test_feet_and_fahrenheit_answer_as_metres_and_celsius_do(tmp_path: Path) -> None:
    metric, us = tmp_path / "metric", tmp_path / "us"
    metric.mkdir()
    us.mkdir()
    two_nights_csv(metric)
    head, *rows = (metric / "log.csv").read_text(encoding="utf-8").splitlines()
    turned = [",".join([c, *(repr(float(v) * 1.8 + 32) for v in rest)]) for c, *rest in (r.split(",") for r in rows)]
    (us / "log.csv").write_text("\n".join([head, *turned]) + "\n", encoding="utf-8")
    text = in_us_units(METRIC)
    assert "m2" not in text
    assert "degC" not in text
    one, other = answered(metric, METRIC), answered(us, text)
    assert other.house.heat_loss_w_per_k == pytest.approx(one.house.heat_loss_w_per_k, rel=1e-9)
    for name in ("need_kwh", "avoided_kwh", "dark_degree_hours_k_h", "shortfall_kwh", "gdd_indoor_k_d"):
        assert getattr(other.seasons[0].heat, name) == pytest.approx(getattr(one.seasons[0].heat, name), rel=1e-9), name
    for name in ("npv", "simple_payback_years", "irr", "build_annual_cost", "heat_cost_per_kwh", "cost_per_gdd_indoor"):
        assert getattr(other.worth, name) == pytest.approx(getattr(one.worth, name), rel=1e-9), name
    assert [p.life_cycle_cost for p in other.plans] == pytest.approx([p.life_cycle_cost for p in one.plans], rel=1e-9)
