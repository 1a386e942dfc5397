"""The energy of the logged fan, as the money rooms take it."""

from __future__ import annotations

import pandas as pd

from ledger.appraisal import Appraisal
from ledger.money.running import fan_energy_kwh


def fan_kwh_of(a: Appraisal) -> float | None:
    """Energy of the fan channel in a typical year; None where nothing is logged. [kWh]"""
    if a.record is None or pd.DataFrame(a.record.hours).empty:
        return None
    return fan_energy_kwh(a.record, a.source.hold.season)
