"""What the same house, unheated and with nothing built, would have been: its temperature, by each way."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np
import pandas as pd

from ledger.errors import Notice
from ledger.heat.envelope import Envelope
from ledger.heat.prepared import YearHours
from ledger.heat.results import Band, BareAnswer, TypicalHeat
from ledger.heat.rungs import Floats
from ledger.model.house import BareWay, House
from ledger.model.values import Basis, Spread

LEAST_HOURS_OF_A_WAY = 120
LEAST_SHARE_OF_A_WAY = 0.9
ORDER = (BareWay.TWIN, BareWay.FAN_OFF, BareWay.MODEL)


@dataclass(frozen=True, slots=True, eq=False)
class BareTemperature:
    """A way that answers with the bare house's temperature of a season.

    `bare_c` by UTC hour; `low_k`, `high_k`: how much colder and warmer it may have been (tenth and ninetieth
    percentile of a shift of the whole season), low ≤ 0 ≤ high.
    """

    bare_c: pd.Series[float]
    low_k: float
    high_k: float


@dataclass(frozen=True, slots=True, eq=False)
class ModelSeason:
    """A season as the house model runs it: bare and built, free and held.

    `need_by_hour_kwh`, `to_buy_by_hour_kwh`: heater energy of the bare and the built run held at the hold temperature,
    by UTC hour over the whole season; `bare_free_c`, `built_free_c`: the free runs over the twelve months or as much
    of them as there is weather for.
    """

    valid: BareAnswer
    whole: BareAnswer | None
    bare_free_c: pd.Series[float]
    built_free_c: pd.Series[float]
    need_by_hour_kwh: pd.Series[float]
    to_buy_by_hour_kwh: pd.Series[float]


@dataclass(frozen=True, slots=True, eq=False)
class Ways:
    """What the other rooms answer about the bare house, by season name; empty: they could not.

    `typical`: the model's typical year at one hold temperature [°C], where it ran over a long outdoor record or
    normals, and what is said of it. `model_at`: its seasons held at other
    temperatures [°C]. `warmest_hold_c`: held above it by a heater, a fan that the log shows to start only in a colder
    house gives nothing back, so that a log of a colder house says nothing of the saving there; None: no such fan. [°C]
    """

    fan_off: Mapping[str, BareTemperature] = field(default_factory=lambda: MappingProxyType({}))
    model: Mapping[str, ModelSeason] = field(default_factory=lambda: MappingProxyType({}))
    model_believed: bool = False
    typical: TypicalHeat | None = None
    model_at: Mapping[float, Mapping[str, ModelSeason]] = field(default_factory=lambda: MappingProxyType({}))
    warmest_hold_c: float | None = None
    typical_hold_c: float | None = None
    typical_notices: tuple[Notice, ...] = ()


NO_WAYS = Ways()


def lift_k(house: House, envelope: Envelope) -> Spread:
    """How much warmer than outdoors the bare house is in the dark.

        lift = what the ledger says, else night-time floor heat · floor area / H_bare

    Differs from the floor heat over H of the house as it stands where a build changed the envelope: the lift is that
    of the bare house, whose own envelope loses the floor's heat. With the new envelope it is lift · H_bare / H.

    Parameters
    ----------
    house : floor area and night floor heat, or the lift itself. [m2, W/m2, K]
    envelope : coefficients at their likely values. [W/K]

    Returns
    -------
    Spread : low, likely, high at the likely H. [K]

    Source
    ------
    25 W/m2 (10 to 50): common practice, no source.
    """
    if house.unheated_lift_k is not None:
        return house.unheated_lift_k
    floor = house.night_floor_heat_w_per_m2
    per_watt = house.floor_area_m2.likely / float(envelope.bare_night.total_w_per_k)
    return Spread(
        likely=floor.likely * per_watt,
        low=floor.low * per_watt,
        high=floor.high * per_watt,
        basis=Basis.ASSUMED,
        exact=floor.exact,
        stated=floor.stated,
        note="night-time floor heat over the heat-loss coefficient",
    )


def bare_by_lift_c(year: YearHours, lift: float) -> Floats:
    """Outdoors plus the lift [°C]."""
    return year.outdoor_c + lift


def bare_by_twin_c(year: YearHours) -> Floats | None:
    """The like house's temperature as measured [°C]; None where too little of the season's counted hours has it.

    Enough is 120 counted valid hours, or nine tenths of the season's counted hours where these are fewer: the rule
    by which a month is enough for a typical year.
    """
    twin = year.channels["unheated"]
    hours = np.count_nonzero(year.counted_valid & np.isfinite(twin)) * year.step_h
    counted = np.count_nonzero(year.counted) * year.step_h
    return twin if hours >= min(LEAST_HOURS_OF_A_WAY, LEAST_SHARE_OF_A_WAY * counted) and hours > 0 else None


def on_grid(series: pd.Series[float], year: YearHours) -> Floats:
    """A series by UTC hour on the grid of a season's twelve months, NaN where it has none."""
    return np.asarray(series.reindex(year.begins_utc), dtype=np.float64)


def sums_on_grid(series: pd.Series[float], year: YearHours) -> Floats:
    """Hourly amounts added up over each row of the grid, which is longer than an hour in a coarse record; NaN where one
    of its hours has none."""
    hours = max(1, round(year.step_h))
    parts = [series.reindex(year.begins_utc + pd.Timedelta(hours=k)).to_numpy(dtype=np.float64) for k in range(hours)]
    return np.asarray(np.sum(parts, axis=0), dtype=np.float64)


def choose(wanted: BareWay, ways: Mapping[str, BareAnswer | None], *, believed: bool) -> BareWay:
    """The way that is used: the one wanted where the data allow it, else the best that they allow.

    Order: a twin, nights with the fan off, the house model if it is believed, the lift. A twin shows how warm the bare
    house was on each night; it does not show what a heater would have put into its floor besides, so the rungs by a
    twin come out low. Where a believed model and a twin agree (their ranges overlap), the twin has proved the model,
    and the model's heater answers the question that is paid for. Where they disagree, the measured twin stands.

    Parameters
    ----------
    wanted : the ledger's choice.
    ways : what each way answers, None where it could not.
    believed : whether the house model is believed.

    Returns
    -------
    BareWay
    """
    if wanted is not BareWay.AUTO and ways.get(wanted.value) is not None:
        return wanted
    if believed and agree(ways.get(BareWay.TWIN.value), ways.get(BareWay.MODEL.value)):
        return BareWay.MODEL
    for way in ORDER:
        if ways.get(way.value) is not None and (believed or way is not BareWay.MODEL):
            return way
    return BareWay.LIFT


def agree(one: BareAnswer | None, other: BareAnswer | None) -> bool:
    """Whether two ways both answer and their ranges of avoided heat overlap."""
    return one is not None and other is not None and one.p10 <= other.p90 and other.p10 <= one.p90


def sorted_band(one: float, other: float) -> Band:
    """A band from two ends in either order."""
    return Band(p10=min(one, other), p90=max(one, other))
