"""Which of the ledger's builds a part of the house model is."""

from __future__ import annotations

from collections.abc import Mapping

from ledger.heat.envelope import changes_envelope
from ledger.heat.housemodel.answer import HouseModelAnswer
from ledger.heat.housemodel.house import WATER
from ledger.heat.housemodel.left_out import Part
from ledger.model.build import Build
from ledger.model.ledger import Ledger


def builds_of_part(part: Part, ledger: Ledger) -> tuple[Build, ...]:
    """The builds that a part stands for.

    The envelope is every build that changes it; the tank every other build with a store whose water is logged; the bed
    the rest, or where none is left the one build with a tank.

    Parameters
    ----------
    part : of the house model.
    ledger : builds and stores.

    Returns
    -------
    tuple of Build : empty where nothing in the ledger says whose it is.
    """
    storing = tuple(b for b in ledger.builds if not changes_envelope(b))
    if part is Part.ENVELOPE:
        return tuple(b for b in ledger.builds if changes_envelope(b))
    with_tank = {s.build for s in ledger.stores if s.channel == WATER}
    tanks = tuple(b for b in storing if b.name in with_tank)
    rest = tuple(b for b in storing if b.name not in with_tank)
    only = storing if len(storing) == 1 else ()
    return tanks or only if part is Part.TANK else rest or only


def own_kwh_by_part(model: HouseModelAnswer) -> Mapping[Part, float]:
    """Each part's own, added up over the seasons that the model ran.

    Parameters
    ----------
    model : with its seasons.

    Returns
    -------
    mapping : by part. [kWh]
    """
    own: dict[Part, float] = {}
    for season in model.seasons.values():
        for one in season.answer.told.split.parts if season.answer.told.split is not None else ():
            own[one.part] = own.get(one.part, 0.0) + one.own_kwh
    return own
