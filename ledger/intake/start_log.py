"""The `[[log]]` section of a new ledger, from the header of a log; what the header does not say is left to be asked."""

from __future__ import annotations

import json
import os
from dataclasses import dataclass
from pathlib import Path

from ledger.errors import Complaint, LogError, Place
from ledger.intake.log_bytes import Source
from ledger.intake.log_columns import Headers, TimeColumns, settle_columns
from ledger.intake.log_settle import settle_shape
from ledger.intake.log_shape import Shape
from ledger.intake.log_units import kinds_of, offered, without_unit
from ledger.intake.log_words import plain
from ledger.model.logs import TEMPERATURE_CHANNELS, LogSpec

_SAMPLE_BYTES = 1 << 20

_WORDS: dict[str, tuple[str, ...]] = {
    "unheated": ("unheated", "neighbour", "neighbor", "twin", "reference house", "ungeheizt"),
    "tube_in": ("tube in", "tubes in", "pipe in", "duct in", "tube_in"),
    "tube_out": ("tube out", "tubes out", "pipe out", "duct out", "tube_out"),
    "water": ("tank", "water", "wasser", "eau", "agua", "acqua"),
    "soil": ("soil", "ground temp", "bed", "boden", "suelo", "terreno"),
    "humidity": ("humidity", "humid", "rh", "feuchte", "humidite", "humedad", "umidita"),
    "wind": ("wind", "vent", "viento", "vento"),
    "sun": ("solar", "sun", "radiation", "irradiance", "pyranometer", "strahlung", "rayonnement", "radiacion"),
    "heater": ("heater", "heizung", "chauffage", "calefactor"),
    "fan": ("fan", "blower", "lufter", "ventilateur", "ventilador"),
    "indoor": ("indoor", "inside", "interior", "greenhouse", "growing house", "in temp", "temp in", "innen", "drinnen",
               "interieur", "interno", "serre", "gewachshaus", "invernadero", "serra"),
    "outdoor": ("outdoor", "outside", "exterior", "ambient", "out temp", "temp out", "aussen", "draussen", "exterieur",
                "esterno", "external"),
}  # fmt: skip
"""Words in a header that speak of a channel, the more special channels first; common practice, no source."""

_NOT_TEMPERATURE = ("humid", "rh", "feuchte", "dew", "pressure", "rain", "batter", "wind", "light", "co2", "taupunkt")
_FELT = ("feels", "heat index", "apparent", "chill", "wet bulb")


@dataclass(frozen=True, slots=True)
class LogBlock:
    """A `[[log]]` section: its text, the channels found with their headers, what the person has yet to settle, and
    the columns with a unit of temperature that no channel took."""

    text: str
    found: tuple[tuple[str, str], ...]
    open_questions: tuple[str, ...]
    untaken: tuple[str, ...]


def log_block(log: Path, *, folder: Path) -> LogBlock:
    """Read the header of a log and write the section that names its columns.

    Parameters
    ----------
    log : the CSV.
    folder : where the ledger will stand; the path in the section is relative to it.

    Raises
    ------
    LogError : there is no such file, or nothing in it looks like rows with a time.
    """
    if not log.is_file():
        raise LogError([Complaint("there is no such file", Place(log.name), "check the name after --log")])
    spec = LogSpec(file=log.name, channels=())
    try:
        first = next(Source(log).blocks(_SAMPLE_BYTES), b"")
    except OSError as problem:
        reason = (problem.strerror or "unreadable").lower()
        raise LogError([Complaint(f"the file cannot be read: {reason}", Place(log.name), "check its rights")]) from None
    shape = settle_shape(first[:_SAMPLE_BYTES].decode("utf-8", "replace").split("\n"), spec, file=log.name)
    headers = Headers(shape)
    time, time_doubt = _time(spec, shape, headers, file=log.name)
    doubts = [time_doubt] if time_doubt else []
    lines = ["[[log]]", f"file = {_quoted(_relative(log, folder))}"]
    if time:
        lines.append(f"time = {_quoted(time)}")
    taken = {time, *time.split(" + ")}
    found, channel_lines, channel_doubts = _channels(headers, shape, taken)
    doubts += channel_doubts
    lines += channel_lines
    lines += [f"# to settle: {doubt}" for doubt in doubts]
    untaken = _untaken(headers, shape, text="".join(lines), taken=taken)
    lines += [f"# {line}   # or soil, unheated, tube_in, tube_out: if it is one of them" for _, line in untaken]
    lines.append(f"# columns of the file: {', '.join(name for name in headers.all_main() if name)}")
    return LogBlock(
        "".join(f"{_printable(line)}\n" for line in lines),
        tuple(found),
        tuple(doubts),
        tuple(label for label, _ in untaken),
    )


def _time(spec: LogSpec, shape: Shape, headers: Headers, *, file: str) -> tuple[str, str]:
    """Name of the time column, or of date and clock; else what is in doubt about it."""
    try:
        columns: TimeColumns = settle_columns(spec, shape, file=file).time
    except LogError as fault:
        return "", f"which column is the time: {fault.complaints[0].what}"
    first = headers.main(columns.first)
    return (first if columns.second is None else f"{first} + {headers.main(columns.second)}"), ""


def _channels(headers: Headers, shape: Shape, taken: set[str]) -> tuple[list[tuple[str, str]], list[str], list[str]]:
    candidates: dict[str, list[int]] = {}
    for place, label in enumerate(headers.all_main()):
        channel = None if label in taken else _channel_of(label)
        if channel is not None:
            candidates.setdefault(channel, []).append(place)
    found, lines, doubts = [], [], []
    for channel in ("indoor", "outdoor", *(name for name in _WORDS if name not in ("indoor", "outdoor"))):
        places = candidates.get(channel, [])
        if len(places) == 1:
            line, doubt = _channel_line(channel, places[0], headers, shape)
            found.append((channel, headers.main(places[0])))
            lines.append(line)
            doubts += [doubt] if doubt else []
        elif places:
            names = " or ".join(_quoted(headers.main(place)) for place in places)
            doubts.append(f"{channel} is {names}")
            lines.append(f"# {channel} = {{ column = {_quoted(headers.main(places[0]))} }}")
        elif channel in ("indoor", "outdoor"):
            doubts.append(f"which column is {channel}")
            lines.append(f'# {channel} = {{ column = "..." }}')
    return found, lines, doubts


def _untaken(headers: Headers, shape: Shape, *, text: str, taken: set[str]) -> list[tuple[str, str]]:
    """Temperatures that no channel took and no question names, each with its line as it would read for a tank."""
    left = [
        place
        for place, label in enumerate(headers.all_main())
        if label and label not in taken and _quoted(label) not in text and not _speaks_of_another(label)
    ]
    kinds = kinds_of("water")
    warm = [place for place in left if any(unit.kind in kinds for unit in headers.units(place))]
    return [(headers.main(place), _channel_line("water", place, headers, shape)[0]) for place in warm]


def _speaks_of_another(label: str) -> bool:
    """Dew point, wind chill and their kin are degrees, but of nothing that is a channel."""
    said = plain(without_unit(label))
    words = "".join(c if c.isalnum() else " " for c in said).split()
    return any(_speaks(name, said, words) for name in (*_NOT_TEMPERATURE, *_FELT))


def _channel_of(label: str) -> str | None:
    said = plain(without_unit(label))
    words = "".join(c if c.isalnum() else " " for c in said).split()
    for channel, names in _WORDS.items():
        if not any(_speaks(name, said, words) for name in names):
            continue
        if channel in ("indoor", "outdoor") and any(_speaks(name, said, words) for name in _NOT_TEMPERATURE):
            return None
        return channel
    if words in (["in"], ["temp", "in"]):
        return "indoor"
    return "outdoor" if words in (["out"], ["temp", "out"]) else None


def _speaks(name: str, said: str, words: list[str]) -> bool:
    """Short names must stand as a word of their own, longer ones may begin one."""
    if " " in name or "_" in name:
        return name in said
    return any(word == name if len(name) < 4 else word.startswith(name) for word in words)


def _channel_line(channel: str, place: int, headers: Headers, shape: Shape) -> tuple[str, str]:
    """The entry of a channel, commented out where its unit must be known first, and what is in doubt about it."""
    label = headers.main(place)
    fitting = [unit for unit in headers.units(place) if unit.kind in kinds_of(channel)]
    column = f"column = {_quoted(label)}"
    if len(fitting) == 1:
        return f"{channel} = {{ {column}, unit = {_quoted(fitting[0].name)} }}", ""
    if channel in ("fan", "heater") and _is_switch(place, shape):
        verb = "draws" if channel == "fan" else "delivers"
        return f"{channel} = {{ {column} }}", f'what the {channel} {verb} when on: add power = "90 W", or what it is'
    doubt = f"the unit of {_quoted(label)}: one of {offered(channel)}"
    if channel in TEMPERATURE_CHANNELS:
        return f"{channel} = {{ {column} }}", doubt
    return f"# {channel} = {{ {column} }}", doubt


def _is_switch(place: int, shape: Shape) -> bool:
    """Whether a column holds nothing but on and off."""
    cells = {row[place].strip() for row in shape.sample if place < len(row)} - {""}
    return bool(cells) and cells <= {"0", "1"}


def _relative(log: Path, folder: Path) -> str:
    try:
        return Path(os.path.relpath(log.resolve(), folder.resolve())).as_posix()
    except ValueError:  # another drive
        return log.resolve().as_posix()


def _quoted(text: str) -> str:
    """A TOML basic string; its escapes are those of JSON."""
    return "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in json.dumps(text, ensure_ascii=False))


def _printable(line: str) -> str:
    """A line without what TOML takes in no comment."""
    return "".join(c for c in line if c.isprintable())
