"""Defaults in the grower's units: the figures by hand from the definitions of foot, degree and Btu."""

from __future__ import annotations

import pytest

from ledger.model.ledger import Show
from ledger.views.assumed import assumed_value


@pytest.mark.parametrize(
    ("held", "shown"),
    [
        # 1 Btu/h/ft2/degF = 5.678263 W/m2/K (Btu 1055.05585 J, foot 0.3048 m); twice and half of it
        ("5.678 W/m2/K (2.839 to 11.36)", "1 Btu/h/ft2/degF (0.5 to 2)"),
        # 1 Btu/h/ft2 = 3.154591 W/m2: 25 / 3.154591 = 7.925, 10 / 3.154591 = 3.170, 50 / 3.154591 = 15.85
        ("25 W/m2 (10 to 50) of night-time floor heat", "7.92 Btu/h/ft2 (3.17 to 15.8) of night-time floor heat"),
        ("0.5 K", "0.9 degF"),  # 0.5 · 1.8
        ("10 degC", "50 degF"),  # 10 · 1.8 + 32
        ("-5 degC (-10 to 0)", "23 degF (14 to 32)"),
    ],
)
def test_a_quantity_is_turned_with_its_range(held: str, shown: str) -> None:
    assert assumed_value(held, Show.US) == shown


@pytest.mark.parametrize(
    "held", ["26.67 kWh (26.14 to 27.2)", "nominal", "10-01 to 04-30", "20 years (12 to 30)", "1", ""]
)
def test_what_has_no_other_unit_stays(held: str) -> None:
    assert assumed_value(held, Show.US) == held


def test_a_metric_ledger_is_shown_what_is_held() -> None:
    assert assumed_value("3.975 W/m2/K (3.379 to 4.571)", Show.METRIC) == "3.975 W/m2/K (3.379 to 4.571)"
