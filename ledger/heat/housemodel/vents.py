"""Whether the log shows vents: readings that pile up below one high temperature."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

PILE_K = 1.2
"""Height of the slice under the top in which readings pile up when vents open. [K]"""
PILE_RATIO = 1.5
"""The slice must hold this many times what a like slice below it holds: warm hours thin out, vented ones do not."""
LEAST_SHARE = 0.005
"""Share of all readings that must lie in the slice."""
INTO_PILE_K = 0.3
"""The vent's temperature lies this much above the foot of the slice. [K]"""


def vent_temperature_c(indoor_c: Floats) -> float | None:
    """Temperature at which the vents open, as the pile-up of readings shows it.

    Parameters
    ----------
    indoor_c : readings, NaN where none. [°C]

    Returns
    -------
    float or None : above it a reading says nothing about the sun; None where no pile is seen. [°C]
    """
    known = indoor_c[np.isfinite(indoor_c)]
    if len(known) < 500:
        return None
    top = float(np.quantile(known, 0.999))
    foot = top - PILE_K
    pile = np.count_nonzero(known > foot)
    below = np.count_nonzero((known > foot - 2.0 * PILE_K) & (known <= foot)) / 2.0
    if pile > PILE_RATIO * below and pile > LEAST_SHARE * len(known):
        return foot + INTO_PILE_K
    return None
