"""What `check` has to show, and its screen: decisions, cover, holes, assumptions, warnings."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from ledger.errors import Notice
from ledger.model.identity import Identity, Program
from ledger.model.ledger import Ledger
from ledger.model.logs import TEMPERATURE_CHANNELS
from ledger.model.values import Assumption
from ledger.series.holes import Day, Hole, days_of, holes_of
from ledger.series.readings import WIDE, FileRead
from ledger.series.record import FileFigures, HourlyRecord, LogFigures
from ledger.views import json_view
from ledger.views.assumed import assumed_words
from ledger.views.complaints import notice_lines
from ledger.views.figures import Measure, Style, show_figure
from ledger.views.holes import REASONS
from ledger.views.screen import Screen, Signs

MOST_HOLES = 12
_DAYS_IN_ROW = 31
_MOST_EMPTY_MONTHS = 12


@dataclass(frozen=True, slots=True, eq=False)
class Checked:
    """Everything read, nothing reckoned."""

    program: Program
    identity: Identity
    source: Ledger
    record: HourlyRecord | None
    assumed: tuple[Assumption, ...]
    warnings: tuple[Notice, ...]

    @property
    def log(self) -> LogFigures | None:
        """Cover and faults of the logs."""
        return None if self.record is None else self.record.figures


def checked_document(checked: Checked) -> dict[str, Any]:
    """The same for scripts, under the keys of the contract."""
    return json_view.check_document(
        checked.program, checked.identity, log=checked.log, assumed=checked.assumed, warnings=checked.warnings
    )


def checked_lines(checked: Checked, *, screen: Screen) -> list[str]:
    """Every line of the check."""
    lines = [*_head(checked, screen)]
    if checked.record is not None:
        style = Style(checked.source.show, checked.identity.currency, checked.source.terms.coin_digits)
        lines += _files(checked.record.figures.files, checked.record.reads, screen)
        lines += _channels(checked.record.figures, style, screen)
        lines += _calendar(days_of(checked.record), screen)
        lines += _holes(holes_of(checked.record, season=checked.source.hold.season), screen)
        lines += _faults(checked.record.figures, screen)
    else:
        lines += [*screen.heading("Log"), *screen.prose("The ledger names no log.", indent=2)]
    lines += _assumed(checked, screen)
    return lines + _warnings(checked, screen)


def _head(c: Checked, screen: Screen) -> list[str]:
    items = sum(len(build.items) for build in c.source.builds)
    counts = [(len(c.source.builds), "build"), (items, "item"), (len(c.source.sources), "source of heat")]
    counts.append((len(c.source.running), "line in the season book"))
    said = ", ".join(f"{n} {_plural(word, n)}" for n, word in counts)
    doubts = f"{len(c.warnings)} {_plural('warning', len(c.warnings))}" if c.warnings else "no warnings"
    return [
        *screen.title(c.identity.title or c.identity.file),
        *screen.prose(f"{c.identity.file} can be read: {said}; {doubts}."),
    ]


def _plural(word: str, count: int) -> str:
    first, *rest = word.split(" ")
    return " ".join([first if count == 1 else first + "s", *rest])


def _files(files: Sequence[FileFigures], reads: Sequence[FileRead], screen: Screen) -> list[str]:
    lines = screen.heading("How the logs were read")
    for number, one in enumerate(files):
        counts = f"{one.rows:,} rows: {one.used:,} used"
        for rows, words in ((one.flagged, "set aside"), (one.duplicate, "double"), (one.refused, "refused")):
            if rows:
                counts += f", {rows:,} {words}"
        lines += screen.prose(f"{one.file}: {counts}", indent=2)
        how = f"columns parted by {_sign_words(one.separator)}, decimal {_sign_words(one.decimal)}, {one.encoding}, "
        lines += screen.prose(f"{how}time as {one.time_format}, clock {one.clock}", indent=4)
        if number < len(reads):
            lines += _read_further(reads[number], screen)
            others = [read for read in reads if read.sha256 == reads[number].sha256]
            lines += _left_unread(others, screen) if others[-1] is reads[number] else []
    return lines


def _read_further(read: FileRead, screen: Screen) -> list[str]:
    """Where the header stood, how the rows run, each channel's unit, and why lines were refused."""
    head = "no header" if read.header_line is None else f"header in line {read.header_line}"
    units = ", ".join(f"{channel} {unit}" for channel, unit in read.units.items())
    layout = "" if read.layout == WIDE else f"{read.layout}; "
    lines = screen.prose(f"{head}, {read.order}; {layout}{units}", indent=4)
    for reason, rows in read.refusals.items():
        lines += screen.prose(f"refused, {reason}: {rows:,}, first in line {read.first_refused.get(reason)}", indent=4)
    return lines


def _left_unread(reads: Sequence[FileRead], screen: Screen) -> list[str]:
    """The columns of one file that no section took."""
    left = [column for column in reads[0].unread if all(column in read.unread for read in reads)]
    return screen.prose(f"columns not read: {', '.join(left)}", indent=4) if left else []


def _sign_words(sign: str) -> str:
    return {",": "comma", ";": "semicolon", "\t": "tab", " ": "blank", "|": "bar", ".": "point"}.get(sign, sign)


def _channels(log: LogFigures, style: Style, screen: Screen) -> list[str]:
    lines = screen.heading("What they hold")
    figures = []
    for name, one in log.channels.items():
        mean, low, high = (_reading(name, value, style) for value in (one.mean_c, one.min_c, one.max_c))
        figures.append((f"{name}, {one.hours_valid:,} hours", f"{low} to {high}, mean {mean}", _unit(name, style)))
    return lines + screen.figures(figures)


def _reading(channel: str, value: float | None, style: Style) -> str:
    return show_figure(value, Measure.TEMPERATURE if channel in TEMPERATURE_CHANNELS else Measure.RATIO, style).text


def _unit(channel: str, style: Style) -> str:
    if channel in TEMPERATURE_CHANNELS:
        return show_figure(0.0, Measure.TEMPERATURE, style).unit
    return {"humidity": "%", "wind": "m/s", "sun": "W/m²"}.get(channel, "")


def _calendar(days: Sequence[Day], screen: Screen) -> list[str]:
    """One row a month, one mark a day: whole, in part, or nothing read."""
    whole, part, none = ("█", "▒", "·") if screen.signs is Signs.ALL else ("#", "+", ".")
    lines = screen.heading("Which days are in it")
    lines += screen.prose(f"{whole} whole   {part} in part   {none} nothing   blank: outside the log", indent=2)
    months: dict[tuple[int, int], list[str]] = {}
    for one in days:
        row = months.setdefault((one.day.year, one.day.month), [" "] * _DAYS_IN_ROW)
        mark = whole if one.hours_valid == one.hours else part if one.hours_valid else none
        row[one.day.day - 1] = mark
    scale = "".join(f"{day:<5}" for day in range(1, _DAYS_IN_ROW, 5)).rstrip()
    empty = {" ", none}
    rows: list[str] = []
    for is_empty, group in groupby(sorted(months.items()), key=lambda one: set(one[1]) <= empty):
        spans = [(f"{year}-{month:02d}", row) for (year, month), row in group]
        if is_empty and len(spans) > _MOST_EMPTY_MONTHS:
            rows.append(f"{spans[0][0]} to {spans[-1][0]}: nothing")
        else:
            rows += [f"{name} {''.join(row)}".rstrip() for name, row in spans]
    return [*lines, " " * 8 + scale, *rows]


def _holes(holes: Sequence[Hole], screen: Screen) -> list[str]:
    lines = screen.heading("What the holes cost")
    if not holes:
        return lines + screen.prose("Nothing: every hour was read.", indent=2)
    lost = sum(hole.hours_in_season for hole in holes)
    lines += screen.prose(
        f"{lost:,} hours of the hold season, in which nothing can be credited. The longest:", indent=2
    )
    longest = sorted(holes, key=lambda hole: (-hole.hours_in_season, -hole.hours, hole.begins))[:MOST_HOLES]
    figures = []
    for hole in sorted(longest, key=lambda one: one.begins):
        span = f"{hole.begins:%Y-%m-%d %H:%M} to {hole.ends:%Y-%m-%d %H:%M}"
        figures.append((f"{span}, {REASONS.get(hole.reason, hole.reason)}", f"{hole.hours_in_season:,}", "hours"))
    lines += screen.figures(figures)
    rest = len(holes) - len(longest)
    return lines + (screen.prose(f"and {rest} shorter ones.", indent=2) if rest else [])


def _faults(log: LogFigures, screen: Screen) -> list[str]:
    lines = screen.heading("What was doubted in the readings")
    figures = []
    for field in dataclasses.fields(log.flagged_hours):
        touched, lost = getattr(log.flagged_hours, field.name), getattr(log.lost_hours, field.name)
        if touched or lost:
            figures.append((f"hours {REASONS.get(field.name, field.name)}", f"{touched:,}", f"({lost:,} lost)"))
    return lines + (screen.figures(figures) or screen.prose("Nothing.", indent=2))


def _assumed(c: Checked, screen: Screen) -> list[str]:
    if not c.assumed:
        return []
    lines = screen.heading("What was assumed, since the ledger does not say")
    for one in c.assumed:
        lines += screen.bullet(assumed_words(one, c.source.show))
    return lines


def _warnings(c: Checked, screen: Screen) -> list[str]:
    if not c.warnings:
        return []
    return [*screen.heading("Warnings"), *notice_lines(c.warnings, file=c.identity.file, screen=screen)]
