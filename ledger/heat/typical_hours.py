"""The hours of the typical year: which logged hours stand for it, and how often each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from ledger.heat.bare import on_grid, sums_on_grid
from ledger.heat.prepared import by_month
from ledger.heat.rungs import Flags, Floats
from ledger.heat.season_answer import SeasonWork
from ledger.model.house import BareWay

LEAST_HOURS_OF_A_MONTH = 120.0
ENOUGH_OF_A_MONTH = 0.9


@dataclass(frozen=True, slots=True, eq=False)
class Stretch:
    """A season's counted hours with their heat, by the way that is used.

    `rows` of the season's grid; `counted_h`, `known_h`: hours by calendar month that count, and that are known;
    `backup_by_month_kwh` still to be taken off the added heat (0 where the model did it).
    """

    work: SeasonWork
    rows: np.ndarray[tuple[int], np.dtype[np.int64]]
    need_kwh: Floats
    added_kwh: Floats
    counted_h: Floats
    known_h: Floats
    backup_by_month_kwh: Floats

    @property
    def enough(self) -> Flags:
        """Which months were logged enough."""
        return logged_enough(self.known_h, self.counted_h)


@dataclass(frozen=True, slots=True, eq=False)
class LoggedYear:
    """Logged hours that stand for the typical year.

    Attributes
    ----------
    stretches, weights : seasons, and how often each of their hours stands in the typical year. [-]
    months_missing : calendar months of the season that no season logged enough.
    missing_share : counted hours of those months ÷ counted hours of the logged ones. [-]
    backup_kwh : heat delivered by a backup in the logged months, each the mean over the seasons that logged it. [kWh]
    """

    stretches: tuple[Stretch, ...]
    weights: tuple[Floats, ...]
    months_missing: tuple[int, ...]
    missing_share: float
    backup_kwh: float

    def total(self, hourly: Sequence[Floats]) -> float:
        """Weighted sum of what each season's hours hold."""
        return float(sum(np.sum(w * h) for w, h in zip(self.weights, hourly, strict=True)))

    @property
    def need_kwh(self) -> float:
        """Need of the logged months [kWh]."""
        return self.total([s.need_kwh for s in self.stretches])

    @property
    def added_kwh(self) -> float:
        """Added heat of the logged months, backup not yet taken off [kWh]."""
        return self.total([s.added_kwh for s in self.stretches])


def logged_enough(known_h: Floats, counted_h: Floats) -> Flags:
    """Whether a month's hours stand for the month: at least 120 of them, or nine tenths.

    Parameters
    ----------
    known_h, counted_h : hours known, and hours that count. [h]

    Returns
    -------
    array : by month. A month without a counted hour is not logged.
    """
    most = known_h >= ENOUGH_OF_A_MONTH * counted_h
    return (known_h > 0.0) & ((known_h >= LEAST_HOURS_OF_A_MONTH) | most)


def stretch_of(work: SeasonWork) -> Stretch:
    """A season's counted hours with their heat.

    Parameters
    ----------
    work : the season.

    Returns
    -------
    Stretch
    """
    year = work.year
    if work.way is BareWay.MODEL and work.model is not None:
        need = sums_on_grid(work.model.need_by_hour_kwh, year)
        to_buy = sums_on_grid(work.model.to_buy_by_hour_kwh, year)
        rows = np.flatnonzero(year.in_season & np.isfinite(need) & np.isfinite(to_buy))
        asked = year.in_season
        need_kwh, added_kwh, backup_kwh = need[rows], need[rows] - to_buy[rows], np.zeros(12)
    else:
        rows, asked = work.reckoned.rows, year.counted
        need_kwh, added_kwh = work.reckoned.heat.need_kwh, work.reckoned.heat.added_kwh
        backup_kwh = work.backup.by_month_kwh
    hours = np.full(len(year.month), year.step_h)
    return Stretch(
        work=work,
        rows=rows,
        need_kwh=need_kwh,
        added_kwh=added_kwh,
        counted_h=by_month(year.month[asked], hours[asked]),
        known_h=by_month(year.month[rows], hours[rows]),
        backup_by_month_kwh=backup_kwh,
    )


def logged_year(works: Sequence[SeasonWork]) -> LoggedYear | None:
    """Let the logged hours stand for a typical year, month by month.

        each month: the mean over the seasons that logged it enough of  sum · counted hours / counted valid hours

    Parameters
    ----------
    works : the seasons of the log.

    Returns
    -------
    LoggedYear or None : None where no season logged any month enough.
    """
    stretches = tuple(stretch_of(w) for w in works)
    if not stretches:
        return None
    enough = np.array([s.enough for s in stretches])
    counted = np.array([s.counted_h for s in stretches])
    backup = np.array([s.backup_by_month_kwh for s in stretches])
    seasons = enough.sum(axis=0)
    if not np.any(seasons):
        return None
    usual_h = counted.mean(axis=0)
    logged_h = float(np.sum(usual_h[seasons > 0]))
    missing = (seasons == 0) & (usual_h > 0.0)
    return LoggedYear(
        stretches=stretches,
        weights=tuple(_weights(s, e, seasons) for s, e in zip(stretches, enough, strict=True)),
        months_missing=tuple(int(m) + 1 for m in np.flatnonzero(missing)),
        missing_share=float(np.sum(usual_h[missing])) / logged_h,
        backup_kwh=float(np.sum(np.where(enough, backup, 0.0) / np.maximum(1, seasons))),
    )


def _weights(stretch: Stretch, enough: Flags, seasons: np.ndarray[tuple[int], np.dtype[np.int64]]) -> Floats:
    month = stretch.work.year.month[stretch.rows] - 1
    safe = np.maximum(1, seasons)
    by_calendar = np.where(enough, stretch.counted_h / np.where(enough, stretch.known_h, 1.0) / safe, 0.0)
    return np.asarray(by_calendar[month])


def logged_profile(year: LoggedYear, *, need_kwh: float, to_buy_kwh: float) -> pd.DataFrame:
    """One row per hour that counts: the logged hours, then the months not logged, which stand without any saving.

    The heat to buy takes the hourly shape of what was missing, H · max(0, T_h − T_i) (with a changed envelope or the
    model: need less what was added), and the shape of the need where nothing was missing.

    Parameters
    ----------
    year : logged hours and their weights.
    need_kwh, to_buy_kwh : the typical year's totals, which the rows add up to. [kWh]

    Returns
    -------
    DataFrame : UTC index; outdoor_c, indoor_c, bare_c [°C], weight [-], need_kwh, to_buy_kwh.
    """
    frames = [_rows(s, w) for s, w in zip(year.stretches, year.weights, strict=True)]
    logged = pd.concat([f[f["weight"] > 0.0] for f in frames])
    missing_need = need_kwh - float(np.sum(logged["weight"] * logged["need_kwh"]))
    logged["to_buy_kwh"] = _scaled(logged, to_buy_kwh - max(0.0, missing_need))
    if year.missing_share <= 0.0:
        return logged
    missing = logged.copy()
    missing["indoor_c"] = np.nan
    missing["weight"] *= year.missing_share
    missing["to_buy_kwh"] = missing["need_kwh"]
    return pd.concat([logged, missing])


def _rows(stretch: Stretch, weights: Floats) -> pd.DataFrame:
    year = stretch.work.year
    return pd.DataFrame(
        {
            "outdoor_c": year.outdoor_c[stretch.rows],
            "indoor_c": year.indoor_c[stretch.rows],
            "bare_c": _bare_c(stretch.work)[stretch.rows],
            "weight": weights,
            "need_kwh": stretch.need_kwh,
            "to_buy_kwh": np.maximum(0.0, stretch.need_kwh - stretch.added_kwh),
        },
        index=year.begins_utc[stretch.rows],
    )


def _bare_c(work: SeasonWork) -> Floats:
    """The bare house, unheated, on the season's grid [°C]."""
    if work.way is BareWay.MODEL and work.model is not None:
        return on_grid(work.model.bare_free_c, work.year)
    return work.reckoned.bare_c


def _scaled(rows: pd.DataFrame, total_kwh: float) -> Floats:
    for shape in ("to_buy_kwh", "need_kwh"):
        present = float(np.sum(rows["weight"] * rows[shape]))
        if present > 0.0:
            return np.asarray(rows[shape] * (total_kwh / present), dtype=np.float64)
    return np.zeros(len(rows))
