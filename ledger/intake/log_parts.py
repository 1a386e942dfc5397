"""Year, month, day, hour and minute in columns of their own: found by their headers, joined to a date and a clock."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import polars as pl

from ledger.intake.log_labels import Headers
from ledger.intake.log_sightings import Sight
from ledger.intake.log_words import plain

# common practice, no source: how exports head such columns
_YEAR = frozenset(["year", "yr", "yyyy", "yy", "jahr", "annee", "ano", "anno", "jaar", "ar", "rok", "vuosi"])
_MONTH = frozenset(["month", "monat", "mois", "mes", "mese", "maand", "manad", "maaned", "miesiac", "kuukausi"])
_DAY = frozenset(["day", "tag", "jour", "dia", "giorno", "dag", "dzien", "paiva"])
_HOUR = frozenset(["hour", "hours", "hr", "stunde", "heure", "hora", "ora", "uur", "timme", "godzina", "tunti"])
_MINUTE = frozenset(["minute", "minutes", "minuto", "minuten", "minut", "minuutti"])
# too short to be known by themselves: they count only straight behind the part that goes before
_SHORT = {"month": frozenset(("mm", "mo", "mon", "m")), "day": frozenset(("dd", "d", "dy")),
          "hour": frozenset(("hh", "h", "hr")), "minute": frozenset(("mm", "mn", "min", "mi"))}  # fmt: skip
_FULL_YEAR = re.compile(r"(?:19|20)\d\d(?:\.0*)?")


@dataclass(frozen=True, slots=True)
class Parts:
    """Places of year, month and day (or of one date), and of hour and minute (or of one clock)."""

    date: tuple[int, ...]
    clock: tuple[int, ...]

    @property
    def places(self) -> tuple[int, ...]:
        """All of them, in this order."""
        return (*self.date, *self.clock)


def is_year(cell: str) -> bool:
    """Whether a cell may be a year of four digits."""
    return _FULL_YEAR.fullmatch(cell.strip()) is not None


def names_parts(cells: Sequence[str]) -> bool:
    """Whether a line names a year, a month and a day."""
    words = [_word(cell) for cell in cells]
    return _found(words) is not None


def parts_of(headers: Headers) -> Parts | None:
    """Columns of year, month, day and hour (minute where there is one) by their headers; None where one is missing."""
    words = [_word(headers.main(place)) for place in range(headers.count)]
    return _found(words)


def hour_of(headers: Headers, date: int) -> Parts | None:
    """The hour (and minute) beside a column of dates; None where no header names one."""
    words = [_word(headers.main(place)) for place in range(headers.count)]
    hour = _place(words, _HOUR, "hour", date)
    if hour is None:
        return None
    return Parts((date,), _with_minute(words, hour))


def _found(words: Sequence[str]) -> Parts | None:
    year = next((i for i, word in enumerate(words) if word in _YEAR), None)
    if year is None:
        return None
    month = _place(words, _MONTH, "month", year)
    day = None if month is None else _place(words, _DAY, "day", month)
    if month is None or day is None:
        return None
    hour = _place(words, _HOUR, "hour", day)
    return Parts((year, month, day), () if hour is None else _with_minute(words, hour))


def _with_minute(words: Sequence[str], hour: int) -> tuple[int, ...]:
    minute = _place(words, _MINUTE, "minute", hour)
    return (hour,) if minute is None else (hour, minute)


def _place(words: Sequence[str], names: frozenset[str], part: str, before: int) -> int | None:
    """The column of a part by its name, or by a short name straight behind the part before it."""
    if before + 1 < len(words) and words[before + 1] in _SHORT[part]:
        return before + 1
    found = [i for i, word in enumerate(words) if word in names]
    return found[0] if len(found) == 1 else None


def _word(header: str) -> str:
    return re.sub(r"[\W_]", "", plain(header))


def joined(frame: pl.DataFrame, parts: Parts) -> tuple[pl.Series, pl.Series]:
    """Dates and clocks as texts, from the columns of their parts; null where one is missing or no whole number."""
    columns = [frame.to_series(place).str.strip_chars().str.replace(r"\.0*$", "") for place in parts.places]
    dates, clocks = columns[: len(parts.date)], columns[len(parts.date) :]
    table = pl.DataFrame({str(i): column for i, column in enumerate([*dates, *clocks])})
    names = table.columns
    date: pl.Expr = pl.col(names[0])
    if len(dates) == 3:
        year, month, day = (pl.col(name) for name in names[:3])
        whole = year.str.contains(r"^(19|20)\d\d$") & month.str.contains(r"^\d\d?$") & day.str.contains(r"^\d\d?$")
        date = pl.when(whole).then(pl.concat_str([year, month, day], separator="-"))
    hour = pl.col(names[len(dates)])
    minute = pl.col(names[-1]).str.zfill(2) if len(clocks) > 1 else pl.lit("00")
    whole_hour = pl.when(hour.str.contains(r"^\d\d?$")).then(pl.concat_str([hour.str.zfill(2), minute], separator=":"))
    clock = whole_hour.otherwise(hour if len(clocks) == 1 else pl.lit(None))
    made = table.select(date.alias("date"), clock.alias("clock"))
    return made.to_series(0), made.to_series(1)


def sample_stamp(row: Sequence[str], parts: Parts) -> str:
    """A sample row's stamp, for messages."""
    cells = [re.sub(r"\.0*$", "", row[place]) if place < len(row) else "" for place in parts.places]
    date = "-".join(cells[: len(parts.date)])
    clock = cells[len(parts.date) :]
    minute = clock[1].zfill(2) if len(clock) > 1 else "00"
    return f"{date} {clock[0] if ':' in clock[0] else f'{clock[0].zfill(2)}:{minute}'}"


def seen_by_year(looks: Sight, cell: str) -> Sight:
    """In a file whose date stands in parts, its year is what tells a line of data."""
    return Sight.DATE if looks is Sight.NUMBER and is_year(cell) else looks
