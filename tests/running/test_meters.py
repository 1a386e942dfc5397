"""What a meter does from line to line is said, and moves no figure."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.intake.ledger_file import read_ledger
from tests.note.farm import LEDGER, farm

HEAD = LEDGER[: LEDGER.index("[[running]]")]


def _book(*meters: str) -> str:
    months = ("2025-10-31", "2025-11-30", "2025-12-31")
    lines = [
        f'[[running]]\ndate = {day}\nfor = "tank"\nwhat = "{"Pump" if i % 2 else "pump"}"\nmeter = {{ {meter} }}\n'
        for i, (day, meter) in enumerate(zip(months, meters, strict=False))
    ]
    return HEAD + "\n".join(lines)


@pytest.mark.parametrize(
    ("meters", "used_kwh", "codes"),
    [
        (("from = 10, to = 30", "from = 30, to = 45.5"), 35.5, []),
        (("from = 9990, to = 5, rolls_over_at = 10000", "from = 5, to = 12"), 22.0, ["meter-began-again"]),
        (("from = 100, to = 120", "from = 0, to = 7"), 27.0, ["meter-replaced"]),
        (("from = 100, to = 120", "from = 124, to = 130"), 26.0, ["meter-gap"]),
    ],
)
def test_a_meter_that_does_not_go_on_is_said_and_each_line_keeps_its_own_use(
    meters: tuple[str, ...], used_kwh: float, codes: list[str], tmp_path: Path
) -> None:
    """20 + 15.5; (10000 - 9990 + 5) + 7; 20 + 7; 20 + 6, with 4 that stand in no line."""
    ledger = read_ledger(farm(tmp_path, _book(*meters))).ledger
    assert sum(one.energy_kwh or 0.0 for one in ledger.running) == pytest.approx(used_kwh)
    said = [one for one in ledger.notices if one.code.startswith("meter-")]
    assert [one.code for one in said] == codes
    assert all(one.line is not None for one in said)


def test_the_words_hold_the_figures_of_the_readings(tmp_path: Path) -> None:
    """9990 over 10000 to 5 is 15; 124 less 120 is 4."""
    text = _book("from = 9990, to = 5, rolls_over_at = 10000", "from = 9, to = 12")
    began, gap = (one.text for one in read_ledger(farm(tmp_path, text)).ledger.notices if "meter" in one.code)
    assert began.endswith("from 9990 over 10000 to 5 is 15")
    assert gap.endswith("begins at 9 where the last line ended at 5: that leaves 4 out: they stand in no line")
