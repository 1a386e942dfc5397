"""Log files made by structure: any make of logger, any fault of a record, and the `[[log]]` section that reads it."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from random import Random
from zoneinfo import ZoneInfo

ZONES = ("Europe/Rome", "America/Denver", "Asia/Kathmandu", "Australia/Lord_Howe", "America/St_Johns", "UTC")
STAMPS = (
    "%Y-%m-%d %H:%M", "%Y-%m-%d %H:%M:%S", "%Y-%m-%dT%H:%M:%S", "%d.%m.%Y %H:%M", "%m/%d/%Y %I:%M %p", "%Y/%m/%d %H:%M",
    "%d-%b-%Y %H:%M", "%Y%m%d%H%M", "%H:%M %d.%m.%Y", "%Y-%m-%d %H:%M:%S.%f", "epoch", "epoch ms", "serial", "offset",
)  # fmt: skip
SEPARATORS = (",", ";", "\t", "|")
ENCODINGS = ("utf-8", "utf-8", "utf-8", "utf-8-sig", "cp1252", "utf-16", "utf-16-le", "utf-32")
MISSING = ("", "--", "n/a", "NaN", "Err", "-", "null")
SENTINELS = ("-999.9", "-127", "85.0", "65535", "1e308", "-1e308", "1e-320", "inf", "9" * 40)
LAYOUTS = ("wide", "wide", "wide", "long", "parts", "two columns")
ORDERS = ("rising", "rising", "rising", "falling", "blocks", "any")
LINE_ENDS = ("\n", "\n", "\r\n", "\r")
CHANNELS = ("indoor", "outdoor", "water", "soil", "humidity", "wind", "sun", "fan", "heater", "unheated")
UNITS = {"humidity": "%", "wind": "m/s", "sun": "W/m2", "fan": "on/off", "heater": "on/off"}


@dataclass(frozen=True)
class Station:
    """How a logger writes: everything that a person could choose in its menus."""

    layout: str
    separator: str
    comma: bool
    stamp: str
    encoding: str
    line_end: str
    zone: str
    fahrenheit: bool
    quoted: bool
    header: bool
    preamble: int
    order: str
    digits: int
    channels: tuple[str, ...]


@dataclass(frozen=True)
class Made:
    """Files by name, and the ledger's sections that name them."""

    files: dict[str, bytes]
    sections: str
    zone: str
    latitude: float
    kinds: tuple[str, ...]


@dataclass
class Reading:
    """A row before it is written."""

    moment: datetime
    values: list[float | None]
    words: dict[int, str] = field(default_factory=dict)


def station(chance: Random) -> Station:
    """A make of logger."""
    separator = chance.choice(SEPARATORS)
    channels = ("indoor", "outdoor", *chance.sample(CHANNELS[2:], chance.choice((0, 0, 1, 2, 5))))
    return Station(
        layout=chance.choice(LAYOUTS), separator=separator, comma=separator != "," and chance.random() < 0.4,
        stamp=chance.choice(STAMPS), encoding=chance.choice(ENCODINGS), line_end=chance.choice(LINE_ENDS),
        zone=chance.choice(ZONES), fahrenheit=chance.random() < 0.3, quoted=chance.random() < 0.2,
        header=chance.random() < 0.9, preamble=chance.choice((0, 0, 0, 1, 4)),
        order=chance.choice(ORDERS), digits=chance.choice((0, 1, 2, 4)),
        channels=channels,
    )  # fmt: skip


def readings(chance: Random, make: Station, *, rows: int) -> list[Reading]:
    """An honest record of one winter spell, then its faults."""
    step = timedelta(minutes=chance.choice((1, 5, 10, 15, 30, 60, 60, 180)))
    day = chance.choice((datetime(2025, 10, 25), datetime(2026, 1, 10), datetime(2026, 3, 28), datetime(2024, 2, 27)))
    begins = day.replace(tzinfo=UTC) + timedelta(hours=chance.randrange(24))
    swing, mean = chance.uniform(0, 12), chance.uniform(-15, 12)
    found = []
    for i in range(rows):
        moment = begins + i * step
        wave = math.cos((moment.hour + moment.minute / 60 - 3) / 24 * 2 * math.pi)
        air = mean - swing * wave + chance.gauss(0, 0.2)
        found.append(Reading(moment, [_value(chance, name, air, wave) for name in make.channels]))
    return found


def _value(chance: Random, name: str, air: float, wave: float) -> float:
    match name:
        case "outdoor" | "unheated":
            return air
        case "water" | "soil":
            return 12.0 - 0.5 * wave
        case "humidity":
            return min(100.0, 70 + 20 * wave)
        case "wind":
            return abs(chance.gauss(2, 2))
        case "sun":
            return max(0.0, -600 * wave)
        case "fan" | "heater":
            return float(wave > 0.3)
        case _:
            return air + 6.0


def flaws(chance: Random, rows: list[Reading]) -> tuple[list[Reading], list[str]]:
    """What befalls a record: each fault with its name."""
    kinds: list[str] = []
    for kind, spoil in FLAWS.items():
        if rows and chance.random() < 0.25:
            rows = spoil(chance, rows)
            kinds.append(kind)
    return rows, kinds


def _span(chance: Random, rows: list[Reading]) -> tuple[int, int]:
    first = chance.randrange(len(rows))
    return first, min(len(rows), first + chance.choice((1, 2, 5, 40, 400)))


def _hole(chance: Random, rows: list[Reading]) -> list[Reading]:
    a, b = _span(chance, rows)
    return rows[:a] + rows[b:]


def _stuck(chance: Random, rows: list[Reading]) -> list[Reading]:
    a, b = _span(chance, rows)
    columns = [c for c in range(len(rows[a].values)) if chance.random() < 0.7]
    for row in rows[a:b]:
        for column in columns:
            row.values[column] = rows[a].values[column]
    return rows


def _spiked(chance: Random, rows: list[Reading]) -> list[Reading]:
    for _ in range(chance.choice((1, 3, 20))):
        row = chance.choice(rows)
        row.values[chance.randrange(len(row.values))] = chance.choice((60.0, -50.0, 0.0, 99.9, -0.0, 1e6))
    return rows


def _lost(chance: Random, rows: list[Reading]) -> list[Reading]:
    for _ in range(chance.choice((1, 10, 200))):
        row = chance.choice(rows)
        row.words[chance.randrange(len(row.values))] = chance.choice(MISSING + SENTINELS)
    return rows


def _doubled(chance: Random, rows: list[Reading]) -> list[Reading]:
    a, b = _span(chance, rows)
    copies = [Reading(row.moment, list(row.values), dict(row.words)) for row in rows[a:b]]
    if chance.random() < 0.5:
        for row in copies:
            row.values[0] = None if row.values[0] is None else row.values[0] + 1.0
    at = chance.randrange(len(rows))
    return rows[:at] + copies + rows[at:]


def _clock_lost(chance: Random, rows: list[Reading]) -> list[Reading]:
    a, b = _span(chance, rows)
    anew = datetime(chance.choice((1970, 2000, 2019, 1904)), 1, 1, tzinfo=UTC)
    shift = anew - rows[a].moment
    return [*rows[:a], *(Reading(row.moment + shift, row.values, row.words) for row in rows[a:b]), *rows[b:]]


def _wavering(chance: Random, rows: list[Reading]) -> list[Reading]:
    most = chance.choice((1, 30, 600))
    for row in rows:
        row.moment += timedelta(seconds=chance.randint(-most, most))
    return rows


def _far(chance: Random, rows: list[Reading]) -> list[Reading]:
    """A block years away: a long empty span in the hourly record."""
    a, b = _span(chance, rows)
    shift = timedelta(days=chance.choice((400, 3000, -3000, 12000)))
    return [*rows[:a], *(Reading(row.moment + shift, row.values, row.words) for row in rows[a:b]), *rows[b:]]


def _on_change(_: Random, rows: list[Reading]) -> list[Reading]:
    kept = rows[:1]
    for row in rows[1:]:
        now = [None if v is None else round(v) for v in row.values]
        if now != [None if v is None else round(v) for v in kept[-1].values]:
            kept.append(row)
    return kept


FLAWS = {
    "hole": _hole, "stuck": _stuck, "spikes": _spiked, "lost": _lost, "doubled": _doubled, "clock lost": _clock_lost,
    "wavering": _wavering, "far": _far, "on change": _on_change,
}  # fmt: skip


def arranged(chance: Random, make: Station, rows: list[Reading]) -> list[Reading]:
    """Rows in the order in which the logger writes them."""
    match make.order:
        case "falling":
            return rows[::-1]
        case "blocks":
            at = chance.randrange(len(rows) + 1)
            return rows[at:] + rows[:at]
        case "any":
            return chance.sample(rows, len(rows))
        case _:
            return rows


def made(chance: Random, *, rows: int | None = None) -> Made:
    """One to three files of one make with their section, or two makes with a section each; `rows`: so many in each."""
    files: dict[str, bytes] = {}
    sections, kinds = "", []
    first = station(chance)
    for number in range(chance.choice((1, 1, 1, 2))):
        make = first if number == 0 else station(chance)
        whole = readings(chance, make, rows=rows or chance.choice((40, 200, 700, 2000)))
        whole, found = flaws(chance, whole)
        whole = arranged(chance, make, whole)
        kinds += [make.layout, *found]
        parts = chance.choice((1, 1, 3))
        cut = max(1, -(-len(whole) // parts))
        for part in range(parts):
            if piece := whole[part * cut : (part + 1) * cut]:
                files[f"log{number}-{part}.csv"] = written(chance, make, piece)
        sections += section(chance, make, f"log{number}-*.csv", whole)
    return Made(files, sections, first.zone, chance.choice((46.0, -43.0, 0.0, 69.9)), tuple(kinds))


def written(chance: Random, make: Station, rows: list[Reading]) -> bytes:
    """The file's bytes."""
    lines = [f"Station {i}, built in no year" for i in range(make.preamble)]
    mark = make.separator
    labels = [label(make, name) for name in make.channels]
    stamp_heads = {"two columns": ["Day", "Clock"], "parts": ["Year", "Month", "Day", "Hour", "Minute"]}
    head = (
        ["Stamp", "Sensor", "Value"] if make.layout == "long" else [*stamp_heads.get(make.layout, ["Stamp"]), *labels]
    )
    lines += [mark.join(head)] if make.header else []
    for row in rows:
        cells = [cell(make, row, column) for column in range(len(make.channels))]
        stamp = stamped(make, row.moment)
        match make.layout:
            case "long":
                lines += [mark.join((stamp, name, text)) for name, text in zip(make.channels, cells, strict=True)]
                continue
            case "parts":
                stamps = f"{local(make, row.moment):%Y %m %d %H %M}".split()
            case "two columns":
                stamps = f"{local(make, row.moment):%Y-%m-%d %H:%M}".split()
            case _:
                stamps = [stamp]
        lines.append(mark.join((*stamps, *cells)))
    if chance.random() < 0.2:
        lines += ["", "end of report", f"Average{mark}{mark}3.2"]
    return (make.line_end.join(lines) + make.line_end * chance.choice((0, 1))).encode(make.encoding, "replace")


def label(make: Station, name: str) -> str:
    """A channel's header."""
    if name in UNITS:
        return name
    return f"{name} ({'°F' if make.fahrenheit else '°C'})"


def cell(make: Station, row: Reading, column: int) -> str:
    """A reading as text."""
    if column in row.words:
        return row.words[column]
    value = row.values[column]
    if value is None:
        return ""
    if make.channels[column] not in UNITS and make.fahrenheit:
        value = value * 1.8 + 32.0
    text = f"{value:.0f}" if make.channels[column] in ("fan", "heater") else f"{value:.{make.digits}f}"
    text = text.replace(".", ",") if make.comma else text
    return f'"{text}"' if make.quoted else text


def local(make: Station, moment: datetime) -> datetime:
    """The wall clock."""
    return moment.astimezone(ZoneInfo(make.zone))


def stamped(make: Station, moment: datetime) -> str:
    """A stamp as text."""
    match make.stamp:
        case "epoch":
            return str(int(moment.timestamp()))
        case "epoch ms":
            return str(int(moment.timestamp() * 1000))
        case "serial":
            return f"{(local(make, moment).replace(tzinfo=None) - datetime(1899, 12, 30)) / timedelta(days=1):.6f}"
        case "offset":
            return local(make, moment).isoformat()
        case form:
            return local(make, moment).strftime(form)


def section(chance: Random, make: Station, pattern: str, rows: list[Reading]) -> str:
    """The `[[log]]` that says what the file cannot prove, and now and then something more."""
    lines = ["[[log]]", f'file = "{pattern}"']
    if make.layout not in ("parts", "two columns") and "%" in make.stamp:
        lines.append(f'time_format = "{make.stamp}"')
    after = {"parts": 5, "two columns": 2}.get(make.layout, 1)
    for place, name in enumerate(make.channels):
        unit = UNITS.get(name, "degF" if make.fahrenheit else "degC")
        column = name if make.layout == "long" else label(make, name) if make.header else str(place + after + 1)
        lines.append(f'{name} = {{ column = "{column}", unit = "{unit}" }}')
    if make.layout == "long" and not make.header:
        lines += ['sensor = "2"', 'value = "3"']
    if make.layout == "parts" and not make.header:
        lines.append('time = "1 + 2 + 3 + 4 + 5"')
    if make.comma:
        lines.append('decimal = ","')
    if chance.random() < 0.3:
        lines.append(f'stamp = "{chance.choice(("start", "end", "instant"))}"')
    if chance.random() < 0.2:
        lines.append(f'clock = "{chance.choice(("local", "standard", "UTC", "UTC-07:00", "Europe/Rome"))}"')
    if chance.random() < 0.2 and rows:
        begins = rows[len(rows) // 2].moment.replace(tzinfo=None, microsecond=0)
        ends = begins + timedelta(hours=chance.choice((1, 30, 3000)))
        lines += ["[[log.exclude]]", f"from = {begins.isoformat()}", f"to = {ends.isoformat()}", 'why = "power cut"']
    return "\n".join(lines) + "\n"
