"""Where a file tells the time: one column, date and clock apart, or year, month, day and hour each by itself."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, replace

from ledger.errors import LogError
from ledger.intake.log_labels import Headers, unmatched
from ledger.intake.log_parts import Parts, hour_of, is_year, parts_of
from ledger.intake.log_shape import Shape
from ledger.intake.log_sightings import Sight, is_serial
from ledger.intake.log_trouble import listed, log_error
from ledger.intake.log_words import TIME_WORDS, plain
from ledger.model.logs import LogSpec


@dataclass(frozen=True, slots=True)
class TimeColumns:
    """Where time stands: one column, or date and clock apart; `seen` is what the (first) column's cells look like;
    `clock` is what their header says of the zone ("UTC", "UTC-07:00"), None where it says nothing; `parts` where date
    or clock stand in columns of year, month, day, hour, minute, and their `header` as the ledger would name it."""

    first: int
    second: int | None
    seen: Sight
    clock: str | None = None
    parts: Parts | None = None
    header: str = ""


def clock_in(header: str) -> str | None:
    """The clock that a time column's header names: "Time (UTC)", "Date Time, GMT+01:00"; None: none."""
    found = re.search(
        r"(?<![^\W_])(?:UTC|GMT)\s*(?:([+\-−])\s*(\d{1,2})(?::?(\d{2}))?)?(?![^\W_])", header, re.IGNORECASE
    )
    if not found:
        return None
    if not found[1]:
        return "UTC"
    return f"UTC{'+' if found[1] == '+' else '-'}{int(found[2]):02d}:{found[3] or '00'}"


def _seen(shape: Shape) -> list[Counter[Sight]]:
    """For each column, how often its sample cells look like what; cells that hold nothing are left out."""
    counts: list[Counter[Sight]] = [Counter() for _ in range(max(len(row) for row in shape.sample))]
    for row in shape.sample:
        for place, cell in enumerate(row):
            looks = shape.look(cell)
            if looks is not Sight.NOTHING:
                counts[place][looks] += 1
    return counts


def _mostly(counts: Counter[Sight]) -> Sight | None:
    """What at least four fifths of a column's cells look like."""
    total = sum(counts.values())
    looks, most = counts.most_common(1)[0] if counts else (None, 0)
    return looks if total and most >= 0.8 * total else None


def settle_time(spec: LogSpec, shape: Shape, headers: Headers, *, taken: set[int], file: str) -> TimeColumns:
    """Find where the file tells the time, by the ledger's word or by what the columns hold.

    Parameters
    ----------
    taken : columns that channels are read from; a time column is none of them.

    Raises
    ------
    LogError : no column of stamps, several of them, or a name that is not there.
    """
    mostly = [_mostly(counts) for counts in _seen(shape)]
    if spec.time is None:
        found = _obvious_time(mostly, shape, headers, taken=taken, file=file)
    else:
        found = _stated_time(spec, spec.time, mostly, shape, headers, file=file)
    places = [found.first, *([] if found.second is None else [found.second])]
    labels = [label for place in places for label in headers.labels(place)]
    return replace(found, clock=clock_in(" ".join(labels)))


def _stated_time(
    spec: LogSpec, stated: str, mostly: list[Sight | None], shape: Shape, headers: Headers, *, file: str
) -> TimeColumns:
    line = shape.header_lines[-1] if shape.header_lines else None
    names = [stated]
    if not headers.matches(stated) and re.search(r"\s*[+&]\s*|\s*,\s*", stated):
        names = [part for part in re.split(r"\s*[+&]\s*|\s*,\s*", stated) if part]
    places: list[int] = []
    for name in names[:5]:
        found = headers.matches(name)
        if len(found) != 1:
            raise LogError([unmatched(name, found, headers, file=file, line=line, entry="time = ")])
        places.append(found[0])
    if len(places) == 2:
        return TimeColumns(places[0], places[1], Sight.DATE)
    if len(places) > 2:
        first = [row[places[0]] for row in shape.sample if places[0] < len(row) and row[places[0]]]
        dates = 3 if first and sum(map(is_year, first)) >= 0.8 * len(first) else 1
        if not 1 <= len(places) - dates <= 2:
            raise _no_parts(stated, file=file, line=shape.first_data_line)
        return _in_parts(Parts(tuple(places[:dates]), tuple(places[dates:])), headers)
    return _named_time(places[0], mostly, shape, headers, file=file, custom=spec.time_format is not None)


def _no_parts(stated: str, *, file: str, line: int) -> LogError:
    return log_error(
        f'time = "{stated}" is neither date and clock nor year, month, day, hour and minute', file=file, line=line,
        mend='name them in this order: time = "Year + Month + Day + Hour + Minute" (the minute may be left out); the '
        "year needs four digits",
    )  # fmt: skip


def _in_parts(parts: Parts, headers: Headers) -> TimeColumns:
    names = " + ".join(headers.main(place) for place in parts.places)
    return TimeColumns(parts.date[0], parts.clock[0], Sight.DATE, None, parts, names)


def _from_parts(
    mostly: list[Sight | None], headers: Headers, dates: list[int], clocks: list[int]
) -> TimeColumns | None:
    """Year, month, day with hour or clock; or a date with an hour beside it."""
    parts = parts_of(headers)
    if parts is not None and not parts.clock and len(clocks) == 1:
        parts = Parts(parts.date, (clocks[0],))
    if parts is not None and parts.clock and not [p for p in dates if p not in parts.date]:
        return _in_parts(parts, headers)
    beside = hour_of(headers, dates[0]) if len(dates) == 1 and not clocks else None
    if beside is not None and all(p < len(mostly) and mostly[p] is Sight.NUMBER for p in beside.clock):
        return _in_parts(beside, headers)
    return None


def _named_time(
    place: int, mostly: list[Sight | None], shape: Shape, headers: Headers, *, file: str, custom: bool
) -> TimeColumns:
    looks = mostly[place] if place < len(mostly) else None
    clocks = [p for p, s in enumerate(mostly) if s is Sight.CLOCK]
    dates = [p for p, s in enumerate(mostly) if s is Sight.DATE]
    apart = _from_parts(mostly, headers, [place] if looks is Sight.DATE else [], clocks)
    if apart is not None and apart.parts is not None and place in apart.parts.places:
        return apart
    if looks is Sight.DATE and len(clocks) == 1:
        return TimeColumns(place, clocks[0], Sight.DATE)
    if looks is Sight.CLOCK and len(dates) == 1:
        return TimeColumns(dates[0], place, Sight.DATE)
    if looks is Sight.DATE and len(clocks) > 1:
        names = [headers.main(p) for p in clocks]
        raise log_error(
            f'"{headers.main(place)}" holds dates only, and {len(clocks)} columns hold clocks: {listed(names)}',
            file=file, line=shape.first_data_line, mend=f'name both: time = "{headers.main(place)} + {names[0]}"',
        )  # fmt: skip
    if looks in (Sight.STAMP, Sight.DATE, Sight.COUNT) or custom:
        return TimeColumns(place, None, looks or Sight.STAMP)
    cells = [row[place] for row in shape.sample if place < len(row) and row[place]]
    if looks in (Sight.NUMBER, Sight.DAYS) and sum(map(is_serial, cells)) >= 0.8 * len(cells):
        return TimeColumns(place, None, Sight.DAYS)
    raise log_error(
        f'the time column "{headers.main(place)}" holds no time stamps, but for instance "{cells[0] if cells else ""}"',
        file=file, line=shape.first_data_line,
        mend='name another column with time = "...", or give the stamps\' form with time_format = "%d/%m/%Y %H:%M"',
    )  # fmt: skip


def _obvious_time(
    mostly: list[Sight | None], shape: Shape, headers: Headers, *, taken: set[int], file: str
) -> TimeColumns:
    """The one column of stamps, else date and clock, else counts, else dates, else day numbers under a time header."""

    def of(looks: Sight) -> list[int]:
        return [p for p, s in enumerate(mostly) if s is looks and p not in taken]

    stamps, dates, clocks, counts = of(Sight.STAMP), of(Sight.DATE), of(Sight.CLOCK), of(Sight.COUNT)
    if not stamps and not counts and (apart := _from_parts(mostly, headers, dates, clocks)) is not None:
        return apart
    if len(dates) == 1 and len(clocks) == 1 and not stamps:
        return TimeColumns(dates[0], clocks[0], Sight.DATE)
    for found, looks in ((stamps, Sight.STAMP), (counts, Sight.COUNT), (dates, Sight.DATE)):
        if len(found) == 1 and not (looks is Sight.DATE and clocks):
            return TimeColumns(found[0], None, looks)
        if found:
            names = [headers.main(p) for p in [*found, *(clocks if looks is Sight.DATE else [])]]
            raise log_error(
                f"several columns hold time: {listed(names)}", file=file, line=shape.first_data_line,
                mend=f'say which one is meant: time = "{names[0]}"',
            )  # fmt: skip
    for place in [*of(Sight.DAYS), *of(Sight.NUMBER)]:
        cells = [row[place] for row in shape.sample if place < len(row) and row[place]]
        words = set(re.split(r"\W+|_", plain(headers.main(place))))
        if words & TIME_WORDS and cells and all(map(is_serial, cells)):
            return TimeColumns(place, None, Sight.DAYS)
    raise log_error(
        "no column holds time stamps that can be read", file=file, line=shape.first_data_line,
        mend='name the column with time = "...", and the stamps\' form with time_format = "%d/%m/%Y %H:%M"',
    )  # fmt: skip
