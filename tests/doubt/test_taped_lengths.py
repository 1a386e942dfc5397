"""Lengths taken with a tape and typed so: the doubt about the cover is that of a meter, not of an estimate."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.doubt.measure_ways import way_to_measure
from ledger.intake.ledger_file import read_ledger
from ledger.model.ledger import Ledger

MEASURES = {"length": "12 m", "width": "5 m", "side_height": "2 m", "ridge_height": "3.4 m"}
PLAIN = "{key} = {value}"
NORMAL = '{{ month = {month}, mean_low = "-2 degC", mean_high = "6 degC" }}'
TAPED = "{key} = {{ likely = {value}, basis = {basis} }}"


def ledger_with_lengths(folder: Path, taped: set[str]) -> Ledger:
    lines = [
        (TAPED if key in taped else PLAIN).format(key=key, value=f'"{value}"', basis='"metered"')
        for key, value in MEASURES.items()
    ]
    text = f"""
[site]
latitude = 46
longitude = 11
elevation = "1000 m"
timezone = "Europe/Rome"
[house]
form = "gable"
{chr(10).join(lines)}
cover = "twin-wall polycarbonate 10 mm"
[hold]
temperature = "4 degC"
[ledger]
currency = "EUR"
[[build]]
name = "tubes"
[[build.item]]
date = 2025-06-01
what = "trench"
amount = 1500
[[source]]
name = "heater"
kind = "electric resistance"
price = 0.2
[climate]
normals = [{", ".join(NORMAL.format(month=month) for month in range(1, 13))}]
"""
    path = folder / "ledger.toml"
    path.write_text(text, encoding="utf-8")
    return read_ledger(path).ledger


@pytest.mark.parametrize(
    ("taped", "part"), [(set[str](), 0.25), (set(MEASURES), 0.03), (set(MEASURES) - {"width"}, 0.25)]
)
def test_the_cover_is_as_sure_as_its_least_sure_measure(taped: set[str], part: float, tmp_path: Path) -> None:
    """Plain is estimated, ± 25 %; metered is ± 3 % (the contract of the ledger, half-widths by basis)."""
    ledger = ledger_with_lengths(tmp_path, taped)
    for value in (ledger.house.surfaces[0].area_m2, ledger.house.floor_area_m2, ledger.house.volume_m3):
        assert value.high / value.likely == pytest.approx(1 + part)
        assert value.low / value.likely == pytest.approx(1 - part)


def test_the_cure_is_named_as_it_is_typed(tmp_path: Path) -> None:
    """What the list of things to measure says is what `test_the_cover_is_as_sure_...` types."""
    way = way_to_measure("house.surface[cover].area", ledger_with_lengths(tmp_path, set()))
    assert way is not None
    assert TAPED.format(key="length", value='"12 m"', basis='"metered"') in way.words
