"""Does it add up: what the stores gave back in the dark, beside what the house is said to have lost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ledger.errors import Notice
from ledger.heat.envelope import Envelope, doubts, envelope
from ledger.heat.prepared import Integers, YearHours
from ledger.heat.rungs import WATT_HOURS_PER_KWH, Floats
from ledger.model.build import Store
from ledger.model.ledger import Ledger

LEAST_HOURS_APART = 4.0
LEAST_NIGHTS = 10
FAR = 1.25


@dataclass(frozen=True, slots=True)
class StoreBalance:
    """What a store gave back over the dark hours of a season.

    `release_kwh` over `nights` nights, each with the store's temperature known near dusk and near dawn and the house's
    loss known all night; `loss_kwh`: what the house lost to outdoors in those nights at the ledger's H; `dark_h`: their
    hours.
    """

    season: str
    store: str
    build: str | None
    release_kwh: float
    nights: int
    loss_kwh: float
    dark_h: float


def store_balances(year: YearHours, ledger: Ledger, loss: Envelope) -> tuple[StoreBalance, ...]:
    """Reckon every store whose temperature was logged.

        release of a night = m·c · max(0, T at dusk − T at dawn);  loss = Σ H · max(0, T_i − T_o) · Δt

    Dusk is the night's first dark hour, dawn its last. A night with an hour missing on any of the channels is left out.

    Parameters
    ----------
    year : the season's hours.
    ledger : stores.
    loss : coefficients at likely values. [W/K]

    Returns
    -------
    tuple of StoreBalance : stores without a logged night are left out.
    """
    nights = _nights(year)
    found = (_balance(year, store, float(loss.night.total_w_per_k), nights) for store in ledger.stores)
    return tuple(b for b in found if b.nights > 0)


def balance_notices(balances: Sequence[StoreBalance], ledger: Ledger) -> tuple[Notice, ...]:
    """Say where stores and losses contradict each other, and which figure of the ledger is doubted.

    Too much: every build has a logged store and the house is said to lose more than a quarter above what stores and
    floor (its high end) can give. Too little: a store alone gave more than a quarter above all that is said to be lost.

    Parameters
    ----------
    balances : of one season.
    ledger : builds, floor, inputs of H.

    Returns
    -------
    tuple of Notice
    """
    telling = [b for b in balances if b.nights >= LEAST_NIGHTS]
    if not telling:
        return ()
    loss, dark_h = max(b.loss_kwh for b in telling), max(b.dark_h for b in telling)
    release = sum(b.release_kwh for b in telling)
    floor_kwh = ledger.house.night_floor_heat_w_per_m2.high * ledger.house.floor_area_m2.likely * dark_h
    explained = release + floor_kwh / WATT_HOURS_PER_KWH
    every_build = {b.build for b in telling} >= {b.name for b in ledger.builds}
    season = telling[0].season
    if every_build and loss > FAR * explained:
        text = (
            f"Season {season}: in the nights that the stores were logged the house is said to have lost "
            f"{loss:.0f} kWh; the stores gave {release:.0f} kWh and the floor at most {explained - release:.0f} kWh. "
            f"The heat-loss coefficient looks too high; most doubtful in it: {most_doubtful(ledger)}."
        )
        return (Notice("heat-loss-too-high", text, "house.heat_loss_w_per_k"),)
    if release > FAR * loss:
        text = (
            f"Season {season}: in the nights that the stores were logged they gave {release:.0f} kWh, more than the "
            f"{loss:.0f} kWh that the house is said to have lost. The heat-loss coefficient looks too low, or a "
            f"store is smaller than noted; most doubtful in the coefficient: {most_doubtful(ledger)}."
        )
        return (Notice("heat-loss-too-low", text, "house.heat_loss_w_per_k"),)
    return ()


def _nights(year: YearHours) -> tuple[Integers, ...]:
    """Rows of each unbroken run of dark hours of the season that begins and ends inside it."""
    rows = np.flatnonzero(year.dark & year.in_season)
    if len(rows) == 0:
        return ()
    runs = np.split(rows, np.flatnonzero(np.diff(rows) > 1) + 1)
    last = int(np.flatnonzero(year.in_season)[-1])
    return tuple(r for r in runs if r[0] > 0 and r[-1] < last and len(r) * year.step_h >= LEAST_HOURS_APART)


def _balance(year: YearHours, store: Store, h_w_per_k: float, nights: Sequence[Integers]) -> StoreBalance:
    temp = year.channels.get(store.channel, np.full(len(year.month), np.nan))
    capacity = store.heat_capacity_kwh_per_k.likely
    release = lost = hours = 0.0
    count = 0
    for rows in nights:
        dusk, dawn = temp[rows[0]], temp[rows[-1]]
        over = year.indoor_c[rows] - year.outdoor_c[rows]
        if not (np.isfinite(dusk) and np.isfinite(dawn) and np.all(np.isfinite(over))):
            continue
        release += capacity * max(0.0, float(dusk - dawn))
        lost += _lost_kwh(over, h_w_per_k, year.step_h)
        hours += len(rows) * year.step_h
        count += 1
    return StoreBalance(year.span.name, store.name, store.build, release, count, lost, hours)


def _lost_kwh(over_k: Floats, h_w_per_k: float, step_h: float) -> float:
    return float(h_w_per_k * np.sum(np.maximum(0.0, over_k)) * step_h / WATT_HOURS_PER_KWH)


def most_doubtful(ledger: Ledger) -> str:
    """The input whose own range moves the heat-loss coefficient most.

    Parameters
    ----------
    ledger : house and builds.

    Returns
    -------
    str : its path in the ledger.
    """
    swings = {}
    for doubt in doubts(ledger.house, ledger.builds):
        ends = {doubt.path: np.array([doubt.spread.low, doubt.spread.high])}
        low, high = np.broadcast_to(
            envelope(ledger.house, ledger.builds, elevation_m=ledger.site.elevation_m, draws=ends).night.total_w_per_k,
            2,
        )
        swings[doubt.path] = abs(float(high - low))
    return max(swings, key=lambda path: swings[path], default="every figure of it is stated as exact")
