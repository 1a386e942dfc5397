"""Rows closer than a minute taken minute by minute: sixty readings of a second become one of a minute."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt
import polars as pl

from ledger.intake.log_rows import Part, joined
from ledger.series.energy import is_counter
from ledger.series.faults import range_limits
from ledger.series.readings import Kind

MINUTE_MS = 60_000
_MANY_CHANGES = 100
_ENERGY = (Kind.STEP_ENERGY, Kind.COUNTER_ENERGY)

Values = npt.NDArray[np.float64]
Places = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Channel:
    """Name and kind of a column."""

    name: str
    kind: Kind


@dataclass(slots=True)
class Minutes:
    """Rows in runs of one minute of the clock.

    Attributes
    ----------
    run : for each row the number of its run, rising.
    odd : runs whose minute of the day is odd.
    forward : runs in rising order of time; the others stand newest first.
    """

    run: Places
    odd: npt.NDArray[np.bool_]
    forward: npt.NDArray[np.bool_]

    def of(self, values: Values, **wanted: pl.Expr) -> list[Values]:
        """Figures of each run over the readings that are there; NaN where none is."""
        frame = pl.DataFrame({"run": pl.Series(self.run).set_sorted(), "value": pl.Series(values, nan_to_null=True)})
        found = frame.group_by("run", maintain_order=True).agg(**wanted)
        return [found.get_column(name).fill_null(float("nan")).to_numpy() for name in wanted]

    def middle(self, values: Values) -> Values:
        """The median as one of the readings: of an even count the lower middle in even minutes, else the higher."""
        value = pl.col("value")
        low, high = self.of(values, low=value.quantile(0.5, "lower"), high=value.quantile(0.5, "higher"))
        return np.where(self.odd, high, low)

    def mean(self, values: Values, *, low: float, high: float) -> Values:
        """The mean of the readings within limits; of all where none is. Like readings stay what they are."""
        value = pl.col("value")
        good = value.filter(value.is_between(low, high))
        names = {"good": good.mean(), "least": good.min(), "most": good.max(), "all": value.mean()}
        mean, least, most, whole = self.of(values, **names)
        return np.where(np.isnan(mean), whole, np.where(least == most, least, np.clip(mean, least, most)))

    def earliest(self, values: Values) -> Values:
        """The first reading in time: that at the stamp."""
        there = pl.col("value").drop_nulls()
        first, last = self.of(values, first=there.first(), last=there.last())
        return np.where(self.forward, first, last)


@dataclass(slots=True)
class Folding:
    """How the rows of one file are taken minute by minute.

    Only neighbouring rows of the same date, the same offset and the same minute are taken together; where rows name
    their sensors, neighbours among a sensor's own. The minute is that in which a row's interval begins, which with
    stamps of its end is the usual interval before them. A run is closed by a row of another minute only, so that
    neither the reader's blocks nor the moment of folding part one.

    Temperatures: the median as one of the readings, so that the digits stay the file's. Humidity, wind, sun, watts and
    switches: the mean, readings out of range left out. Energy: the reading of a counter at the stamp, the mean of
    energies of an interval (each is still that of an interval of the file, `intervals_ms`). The stamp is the earliest.

    Attributes
    ----------
    channels : of the file.
    long : each row holds one sensor's reading.
    ends : stamps are those of the interval's end.
    intervals_ms : usual distance of neighbouring rows, by channel; empty before `begin` said yes. [ms]
    counters : whether an energy channel is a counter; None: not known yet, or no energy channel.
    """

    channels: tuple[Channel, ...]
    long: bool
    ends: bool
    intervals_ms: tuple[float, ...] = ()
    counters: list[bool | None] = field(default_factory=list)
    _open: list[Part | None] = field(default_factory=list)

    @property
    def begun(self) -> bool:
        """Whether rows are taken minute by minute."""
        return bool(self.intervals_ms)

    @property
    def open_rows(self) -> int:
        """Rows of minutes that are not over."""
        return sum(len(part) for part in self._open if part is not None)

    def begin(self, parts: Sequence[Part]) -> bool:
        """Begin if the usual distance of neighbouring rows is under a minute; else nothing is done.

        Parameters
        ----------
        parts : rows by which that is judged, in the order of the file.
        """
        streams = [self._streams(part) for part in parts]
        apart = [
            np.concatenate([_distances(own[number]) for own in streams]) for number in range(self._count_of_streams)
        ]
        if not any(len(gaps) and float(np.median(gaps)) < MINUTE_MS for gaps in apart):
            return False
        usual = [float(np.median(gaps[gaps > 0])) if (gaps > 0).any() else float(MINUTE_MS) for gaps in apart]
        self.intervals_ms = tuple(usual if self.long else usual * len(self.channels))
        self.counters = [None] * len(self.channels)
        self._open = [None] * self._count_of_streams
        self._know_counters(parts)
        return True

    def add(self, part: Part) -> Part:
        """The minutes that are over, of the rows left from before and of these."""
        self._know_counters([part])
        over = []
        for number, own in enumerate(self._streams(part)):
            left = self._open[number]
            rows = own if left is None else joined([left, own])
            begins = self._begins(rows, number)
            cut = int(begins[-1]) if len(begins) else 0
            self._open[number] = rows.taken(slice(cut, None))
            over.append(self._folded(rows.taken(slice(0, cut)), begins[:-1]))
        return joined(over)

    def close(self) -> Part:
        """What is left, at the end of the file."""
        parts = [(number, part) for number, part in enumerate(self._open) if part is not None]
        self._open = [None] * self._count_of_streams
        return joined([self._folded(part, self._begins(part, number)) for number, part in parts])

    @property
    def _count_of_streams(self) -> int:
        return len(self.channels) if self.long else 1

    def _streams(self, part: Part) -> list[Part]:
        """The rows of each sensor, where rows name them; else all."""
        return [part.taken(~np.isnan(values)) for values in part.values] if self.long else [part]

    def _begins(self, part: Part, stream: int) -> Places:
        """Places at which another minute begins."""
        if not len(part):
            return np.empty(0, np.int64)
        minute = _minutes(part, self.intervals_ms[stream] if self.ends else 0.0)
        new = (np.diff(part.date) != 0) | (np.diff(minute) != 0)
        if part.offset_ms is not None:
            new |= np.diff(part.offset_ms) != 0
        bare = part.clock_ms < 0  # a date without a clock is an export's midnight, or none: judged by itself later
        new |= bare[1:] | bare[:-1]
        result: Places = np.concatenate([[0], np.flatnonzero(new) + 1])
        return result

    def _folded(self, part: Part, first: Places) -> Part:
        if not len(part):
            part.stands_for = np.empty(0, np.int32)
            return part
        count = np.diff(np.append(first, len(part)))
        last = first + count - 1
        minutes = Minutes(
            run=np.repeat(np.arange(len(first)), count),
            odd=part.clock_ms[first] // MINUTE_MS % 2 == 1,
            forward=part.clock_ms[last] >= part.clock_ms[first],
        )
        values = [self._reading(number, minutes, column) for number, column in enumerate(part.values)]
        return Part(
            date=part.date[first],
            clock_ms=np.minimum.reduceat(part.clock_ms, first),
            offset_ms=None if part.offset_ms is None else part.offset_ms[first],
            values=values,
            lines=part.line[first],
            stands_for=count.astype(np.int32),
        )

    def _reading(self, number: int, minutes: Minutes, values: Values) -> Values:
        channel = self.channels[number]
        if channel.kind is Kind.TEMPERATURE:
            return minutes.middle(values)
        if channel.kind in _ENERGY and self.counters[number] is not False:
            return minutes.earliest(values)
        limits = range_limits(channel.name, 0.0)
        low, high = (-np.inf, np.inf) if limits is None else (limits.low, limits.high)
        return minutes.mean(values, low=low, high=high)

    def _know_counters(self, parts: Sequence[Part]) -> None:
        """See of each energy channel whether it is a counter: it is none once it falls, is one after many rises.

        Until that is known the first reading of a minute is taken: right for a counter, and for energies of an interval
        that hardly ever change.
        """
        for number, channel in enumerate(self.channels):
            if channel.kind not in _ENERGY or self.counters[number] is not None:
                continue
            values = np.concatenate([part.values[number] for part in parts])
            values = values[~np.isnan(values)]
            changes = np.count_nonzero(np.diff(values))
            counter = is_counter(values[::-1] if _newest_first(parts) else values)
            if changes and (changes >= _MANY_CHANGES or not counter):
                self.counters[number] = counter


def _minutes(part: Part, before_ms: float) -> npt.NDArray[np.int64]:
    """Minute of the day in which the interval of each row begins."""
    result: npt.NDArray[np.int64] = (part.clock_ms.astype(np.int64) - round(before_ms)) // MINUTE_MS
    return result


def _steps(part: Part) -> Places:
    """Steps of the clock between neighbouring rows of one date. [ms]"""
    if len(part) < 2:
        return np.empty(0, np.int64)
    clock = part.clock_ms.astype(np.int64)
    like = (np.diff(part.date) == 0) & (clock[1:] >= 0) & (clock[:-1] >= 0)
    steps: Places = np.diff(clock)[like]
    return steps


def _distances(part: Part) -> Places:
    return np.abs(_steps(part))


def _newest_first(parts: Sequence[Part]) -> bool:
    steps = np.concatenate([_steps(part) for part in parts])
    return int(np.count_nonzero(steps < 0)) > len(steps) / 2
