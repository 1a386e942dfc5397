"""Whether a plan copes: the heat that the coldest night asks for, and a power cut."""

from __future__ import annotations

from collections.abc import Iterable

from ledger.heat.bare import lift_k
from ledger.heat.envelope import envelope
from ledger.model.build import Build
from ledger.model.heaters import Kind, Source
from ledger.model.ledger import Ledger

# Kinds that burn by hand and draught alone, with no fan or feed of their own.
WITHOUT_MAINS = frozenset({Kind.WOOD_STOVE, Kind.ROCKET_STOVE, Kind.ROCKET_MASS})


def peak_need_kw(
    ledger: Ledger, builds: Iterable[Build], *, design_temperature_c: float, bare_lift_k: float | None
) -> float:
    """Heat that the house asks for in the coldest hour of the design night, with some builds in place.

        H · (T_hold − T_design) − H_bare · lift low,  at least 0

    H is that of the house with these builds' envelope; stores are taken as empty, as on the third cold night. With no
    change of the envelope this is H · (T_hold − T_design − lift low). Local codes and a licensed professional decide
    the size of a heater; this is an estimate.

    Parameters
    ----------
    ledger : house and hold temperature.
    builds : those in place; what the others changed is undone.
    design_temperature_c : outdoors. [°C]
    bare_lift_k : low end of how much warmer than outdoors the bare house is. None: the ledger's own lift. [K]

    Returns
    -------
    float : [kW]

    Source
    ------
    Design load as in ANSI/ASABE EP406; that a store may be empty: constructed by us.
    """
    elevation_m = ledger.site.elevation_m
    here = tuple(builds)
    gone = tuple(b for b in ledger.builds if b not in here)
    bare = envelope(ledger.house, ledger.builds, elevation_m=elevation_m)
    h_w_per_k = float(envelope(ledger.house, gone, elevation_m=elevation_m).bare_night.total_w_per_k)
    lift = lift_k(ledger.house, bare).low if bare_lift_k is None else max(0.0, bare_lift_k)
    floor_w = float(bare.bare_night.total_w_per_k) * lift
    return max(0.0, h_w_per_k * (ledger.hold.temperature_c - design_temperature_c) - floor_w) / 1000.0


def works_in_power_cut(sources: Iterable[Source]) -> bool | None:
    """Whether any of a plan's sources gives heat without mains power: as stated, else where the kind leaves no doubt.

    Returns
    -------
    bool : None when none is known to work and one is not known.
    """
    answers = [_without_mains(s) for s in sources]
    if True in answers:
        return True
    return None if None in answers or not answers else False


def _without_mains(source: Source) -> bool | None:
    if source.needs_mains is not None:
        return not source.needs_mains
    if source.kind.electric:
        return False
    return True if source.kind in WITHOUT_MAINS else None
