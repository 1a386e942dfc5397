"""Nights with the fan off against like nights with it on: the plainest way to see what buried tubes do."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from types import MappingProxyType

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from ledger.heat.bare import BareTemperature
from ledger.heat.envelope import changes_envelope
from ledger.heat.fan_nights import Night, nights_of_season
from ledger.heat.prepared import Prepared
from ledger.heat.spans import season_span
from ledger.model.ledger import Ledger

Floats = NDArray[np.float64]

LEAST_NIGHTS = 8
"""Usable nights of each kind. Common practice in on/off tests, no source."""
BLOCK_NIGHTS = 5
"""Nights of a suggested block: the first is not used, four are."""
BETWEEN_BLOCKS_DAYS = 14
P90 = 1.2816
FEWEST_BLOCKS = 3
MORE_TO_HALVE = 3
"""Four times the nights halve the range: three times as many again."""


@dataclass(frozen=True, slots=True)
class OffBlock:
    """Nights to switch the fan off, both included; switch it off in the morning of the first day."""

    first_night: date
    last_night: date


@dataclass(frozen=True, slots=True, eq=False)
class FanOffSeason:
    """One season's test.

    `effect_k`: how much warmer the nights were with the fan than like nights without; `se_k` its standard error, nights
    of a block not counted as independent; `nights_on`, `nights_off`, `blocks`: what it rests on; `bare`: the house's
    temperature without the fan.
    """

    effect_k: float
    se_k: float
    nights_on: int
    nights_off: int
    blocks: int
    bare: BareTemperature


@dataclass(frozen=True, slots=True, eq=False)
class FanOffAnswer:
    """Seasons with enough nights of both kinds; why others have not; which nights to switch the fan off next season."""

    seasons: Mapping[str, FanOffSeason] = field(default_factory=lambda: MappingProxyType({}))
    why_not: tuple[str, ...] = ()
    calendar: tuple[OffBlock, ...] = ()

    @property
    def bare_temperatures(self) -> Mapping[str, BareTemperature]:
        """By season, in the form that the heat rooms take."""
        return {name: season.bare for name, season in self.seasons.items()}


def fan_off_answer(prepared: Prepared, ledger: Ledger) -> FanOffAnswer:
    """Compare nights with the fan off with like nights on.

    Parameters
    ----------
    prepared : the record laid out by season.
    ledger : builds; the test answers for the bare house only where the fan drives everything that was built.

    Returns
    -------
    FanOffAnswer
    """
    storing = [b for b in ledger.builds if not changes_envelope(b)]
    if "fan_on" not in prepared.logged_channels:
        return FanOffAnswer(why_not=("No channel shows when the fan ran.",))
    if len(storing) != 1 or len(storing) != len(ledger.builds) or ledger.stores:
        return FanOffAnswer(
            why_not=("With the fan off the other builds still stand: such nights do not show the bare house.",)
        )
    found, missing, halved = {}, [], FEWEST_BLOCKS
    for year in prepared.years:
        nights = nights_of_season(year)
        usable = [n for n in nights if n.usable]
        off, on = [n for n in usable if n.off], [n for n in usable if not n.off]
        if min(len(off), len(on)) < LEAST_NIGHTS:
            missing.append(
                f"Season {year.span.name}: {len(off)} usable nights with the fan switched off and {len(on)} with it "
                f"working; {LEAST_NIGHTS} of each are needed, in blocks of at least three (the first is not used)."
            )
            continue
        effect, se = effect_k(on, off)
        blocks = len({n.block for n in off})
        shift = np.where(np.isin(year.day_number, [n.day for n in nights if n.off]), 0.0, -effect)
        bare_c = pd.Series(year.indoor_c + shift, index=year.begins_utc)
        bare = BareTemperature(bare_c, low_k=-P90 * se, high_k=P90 * se)
        found[year.span.name] = FanOffSeason(effect, se, len(on), len(off), blocks, bare)
        halved = max(halved, MORE_TO_HALVE * blocks)
    return FanOffAnswer(found, tuple(missing), _calendar(prepared, ledger, halved))


def effect_k(on: list[Night], off: list[Night]) -> tuple[float, float]:
    """How much warmer like nights are with the fan.

        lift = a + b · outdoors + c · day's sun + e · on;   e is the effect

    Nights of one block share their weather and the bed's state, so the standard error is that of the blocks' mean
    misfits where that is larger than the nights' own.

    Parameters
    ----------
    on, off : usable nights.

    Returns
    -------
    effect, standard error : [K]

    Source
    ------
    Ordinary least squares with clustered errors: Liang & Zeger 1986, Biometrika 73(1).
    """
    nights = [*on, *off]
    columns = np.array([[1.0, n.outdoor_c, n.sun, float(not n.off)] for n in nights])
    scale = np.maximum(np.abs(columns).max(axis=0), 1e-12)
    columns = columns / scale
    lift = np.array([n.lift_k for n in nights])
    inverse = np.linalg.pinv(columns.T @ columns)
    found = inverse @ columns.T @ lift
    off_by = lift - columns @ found
    groups = _groups(nights)
    middle, plain = np.zeros((4, 4)), float(off_by @ off_by) / max(1, len(nights) - 4) * inverse
    for group in np.unique(groups):
        score = columns[groups == group].T @ off_by[groups == group]
        middle += np.outer(score, score)
    count = len(np.unique(groups))
    clustered = inverse @ middle @ inverse * count / max(1, count - 1)
    variance = max(float(plain[3, 3]), float(clustered[3, 3]))
    return float(found[3] / scale[3]), float(np.sqrt(variance) / scale[3])


def _groups(nights: list[Night]) -> NDArray[np.int64]:
    """Blocks of off nights by their number, nights on by weeks."""
    return np.array([n.block if n.off else 1000 + n.day // 7 for n in nights], dtype=np.int64)


def _calendar(prepared: Prepared, ledger: Ledger, blocks: int) -> tuple[OffBlock, ...]:
    """Blocks spread over the next season: with four times the nights the range halves."""
    if not prepared.years:
        return ()
    last = prepared.years[-1].span
    window, zone = ledger.hold.season, ledger.site.timezone
    coming = season_span(window, year=last.first_day.year + 1, timezone=zone)
    days = (coming.last_day - coming.first_day).days
    room = max(1, days // (BLOCK_NIGHTS + BETWEEN_BLOCKS_DAYS))
    count = min(blocks, room)
    stride = days / (count + 1)
    starts = [coming.first_day + timedelta(days=round(stride * (i + 1) - BLOCK_NIGHTS / 2)) for i in range(count)]
    return tuple(OffBlock(s, s + timedelta(days=BLOCK_NIGHTS - 1)) for s in starts)
