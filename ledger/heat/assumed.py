"""Defaults that only the heat rooms know to have used."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.heat.season import INDOOR, NIGHTS
from ledger.heat.season_answer import SeasonWork
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger
from ledger.model.values import Assumption
from ledger.sources import NIGHTS_FOR_A_HEATER, THERMOMETER_ACCURACY

MEASURED = (BareWay.TWIN, BareWay.FAN_OFF)


def heat_assumptions(seasons: Sequence[SeasonWork], ledger: Ledger) -> tuple[Assumption, ...]:
    """Name the defaults that entered ranges after the ledger was read.

    Parameters
    ----------
    seasons : as reckoned.
    ledger : logs with the accuracies that the grower noted.

    Returns
    -------
    tuple of Assumption : none where nothing is logged.
    """
    found = []
    noted = any(c.channel == "indoor" and c.accuracy_k for log in ledger.logs for c in log.channels)
    if seasons and not noted:
        found.append(Assumption(INDOOR, THERMOMETER_ACCURACY.words(), THERMOMETER_ACCURACY.source))
    if any(s.way in MEASURED for s in seasons):
        found.append(Assumption(NIGHTS, NIGHTS_FOR_A_HEATER.words(), NIGHTS_FOR_A_HEATER.source))
    return tuple(found)
