"""A small farm with a month of even cold, for tests that need a whole answer quickly."""

from __future__ import annotations

from pathlib import Path

from tests.small_house import GABLE, SITE

LEDGER = f"""
[ledger]
currency = "EUR"
{SITE}{GABLE}cover = "single glass"
unheated_lift = "3 K"
[hold]
temperature = "4 degC"
[money]
base_date = 2025-09-01
study_years = 20
discount_rate = 0.05
inflation = 0.02
[[build]]
name = "air tubes"
life_years = 30
[[build.item]]
date = 2025-06-11
what = "digging"
amount = 1000
[[build.before]]
air_changes = 2
[[source]]
name = "electric heater"
kind = "electric resistance"
price = 0.2
backup = true
[[log]]
file = "log.csv"
indoor = {{ column = "In", unit = "degC" }}
outdoor = {{ column = "Out", unit = "degC" }}
"""


def log_rows(*, indoor: float = 6.0) -> list[str]:
    """A month of hours, the same every day."""
    hours = range(31 * 24)
    rows = [
        f"2026-01-{1 + hour // 24:02d} {hour % 24:02d}:00,{indoor + (hour % 24) / 12:.1f},{-5 + (hour % 24) / 10:.1f}"
        for hour in hours
    ]
    return ["Time,In,Out", *rows, ""]


def farm(folder: Path, ledger: str = LEDGER, *, indoor: float = 6.0) -> Path:
    """The farm's files in a folder; returns the ledger."""
    (folder / "log.csv").write_text("\n".join(log_rows(indoor=indoor)), encoding="utf-8")
    (folder / "ledger.toml").write_text(ledger, encoding="utf-8")
    return folder / "ledger.toml"
