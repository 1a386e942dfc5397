"""Outdoor air of another station stands in for hours that the log lacks, brought to the grower's own."""

from __future__ import annotations

import numpy as np
import pytest

from ledger.heat.elsewhere import outdoors_elsewhere_c
from ledger.heat.reckoning import prepare
from ledger.series.record import HourlyRecord
from tests.heat.builders import ledger_of, record_of

FIRST = "2026-01-01T00:00Z"
DAYS = 12


def outdoors(values: np.ndarray, *, first: str = FIRST) -> HourlyRecord:
    return record_of({"outdoor": values}, first=first, timezone="UTC")


def test_another_station_is_shifted_by_its_difference_at_that_hour_of_the_day() -> None:
    """Away it is −1 °C always; here −3 from 0 to 11 and −2 from 12 to 23, and so are the two days that are missing."""
    own = np.tile(np.repeat([-3.0, -2.0], 12), DAYS)
    own[48:96] = np.nan
    found = outdoors_elsewhere_c(outdoors(own), outdoors(np.full(24 * DAYS, -1.0)))
    assert found is not None
    assert found.to_numpy()[48:96] == pytest.approx(np.tile(np.repeat([-3.0, -2.0], 12), 2))


def test_stations_that_share_less_than_ten_days_are_not_tied_together() -> None:
    own = np.full(24 * DAYS, -3.0)
    own[239:] = np.nan
    away = outdoors(np.full(24 * DAYS, -1.0))
    assert outdoors_elsewhere_c(outdoors(own), away) is None
    own[239] = -3.0
    assert outdoors_elsewhere_c(outdoors(own), away) is not None


def test_without_another_station_there_is_nothing_to_fill_from() -> None:
    own = outdoors(np.full(24 * DAYS, -3.0))
    assert outdoors_elsewhere_c(own, None) is None
    assert outdoors_elsewhere_c(None, own) is None
    assert prepare(own, ledger_of()).outdoor_elsewhere_c is None


def test_a_prepared_record_carries_the_other_station() -> None:
    own, away = outdoors(np.full(24 * DAYS, -3.0)), outdoors(np.full(24 * DAYS, -1.0))
    carried = prepare(own, ledger_of(), climate_record=away).outdoor_elsewhere_c
    assert carried is not None
    assert carried.to_numpy() == pytest.approx(np.full(24 * DAYS, -3.0))
