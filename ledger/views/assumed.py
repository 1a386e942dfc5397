"""A default of ours as a grower reads it: its value in the units that the ledger shows."""

from __future__ import annotations

import re
from collections.abc import Mapping

from ledger.model.ledger import Show
from ledger.model.values import Assumption
from ledger.units import Dimension, from_held

_NUMBER = r"-?\d+(?:\.\d+)?(?:e[+-]?\d+)?"
_QUANTITY = re.compile(rf"^({_NUMBER}) ([A-Za-z][\w/]*)(?: \(({_NUMBER}) to ({_NUMBER})\))?(?= |$)")
_TURNED: Mapping[str, Dimension] = {
    one.value.held: one
    for one in (
        Dimension.LENGTH,
        Dimension.AREA,
        Dimension.VOLUME,
        Dimension.TEMPERATURE,
        Dimension.DIFFERENCE,
        Dimension.U_VALUE,
        Dimension.LINEAR_LOSS,
        Dimension.HEAT_LOSS,
        Dimension.HEAT_FLUX,
    )
}
_AS_SAID = {"delta_degF": "degF"}


def assumed_words(one: Assumption, show: Show) -> str:
    """Entry, value, source of a default, in a line."""
    return f"{one.path}: {assumed_value(one.value, show)}; {one.source}"


def assumed_value(value: str, show: Show) -> str:
    """The value of a default, SI as it is held, in the units of the screen.

    Parameters
    ----------
    value : as the list of assumptions holds it, such as `4 W/m2/K (3.4 to 4.6)`; other words stay as they are.
    show : metric or US units.

    Returns
    -------
    str : the same words with figures and unit turned where US units are shown.
    """
    match = _QUANTITY.match(value)
    if show is not Show.US or match is None or match[2] not in _TURNED:
        return value
    dimension = _TURNED[match[2]]
    unit = dimension.value.us

    def turned(figure: str) -> str:
        return f"{from_held(float(figure), unit, dimension):.3g}"

    span = "" if match[3] is None else f" ({turned(match[3])} to {turned(match[4])})"
    return f"{turned(match[1])} {_AS_SAID.get(unit, unit)}{span}{value[match.end() :]}"
