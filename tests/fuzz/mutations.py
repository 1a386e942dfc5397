"""Small damages to a file: bytes, lines, cells and words, as disks, editors and spreadsheets do them."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

BITS = (
    "", "\n", ",", ";", "\t", '"', "'", "\0", "-", "−", ".", ":", "/", " ", "NaN", "1e999", "-1e-400", "9" * 20, "0",
    "24:00", "31/02/2026", "2026-02-30", "1969-12-31 23:59", "0001-01-01", "9999-12-31 23:59", "٣", "１", "°", "�",
    "\ufeff", "\u202e", "\u2028", "=1+1", "<b>", "{{", "%s", "\\", "../", "inf", "AM", "Z", "+25:00", "\x1f", "\x85",
    "\x1b[31m",
)  # fmt: skip
Damage = Callable[[Random, bytes], bytes]


def damaged(chance: Random, data: bytes) -> bytes:
    """A few damages, one after another."""
    for _ in range(chance.choice((1, 1, 2, 4, 12))):
        data = chance.choice(DAMAGES)(chance, data)
    return data


def _place(chance: Random, data: bytes) -> int:
    """More often near the head, where a file is judged by."""
    return chance.randrange(min(len(data), chance.choice((200, 2000, len(data) or 1))) or 1) if data else 0


def _flip(chance: Random, data: bytes) -> bytes:
    at = _place(chance, data)
    return data[:at] + bytes([chance.randrange(256)]) + data[at + 1 :]


def _insert(chance: Random, data: bytes) -> bytes:
    at = _place(chance, data)
    return data[:at] + chance.choice(BITS).encode("utf-8", "replace") * chance.choice((1, 1, 3)) + data[at:]


def _cut(chance: Random, data: bytes) -> bytes:
    at = _place(chance, data)
    return data[:at] + data[at + chance.choice((1, 5, 60, 3000)) :]


def _torn(chance: Random, data: bytes) -> bytes:
    return data[: chance.randrange(len(data) + 1)]


def _zeroed(chance: Random, data: bytes) -> bytes:
    at, length = _place(chance, data), chance.choice((1, 512, 4096))
    return data[:at] + b"\0" * len(data[at : at + length]) + data[at + length :]


def _lines(change: Callable[[Random, list[bytes]], None]) -> Damage:
    def damage(chance: Random, data: bytes) -> bytes:
        lines = data.split(b"\n")
        change(chance, lines)
        return b"\n".join(lines)

    return damage


def _line(chance: Random, lines: list[bytes]) -> int:
    return chance.randrange(min(len(lines), chance.choice((5, len(lines)))))


def _swap(chance: Random, lines: list[bytes]) -> None:
    a, b = _line(chance, lines), _line(chance, lines)
    lines[a], lines[b] = lines[b], lines[a]


def _again(chance: Random, lines: list[bytes]) -> None:
    lines.insert(_line(chance, lines), lines[_line(chance, lines)])


def _drop(chance: Random, lines: list[bytes]) -> None:
    del lines[_line(chance, lines)]


def _cells(chance: Random, lines: list[bytes]) -> None:
    """Cells of a run of lines changed alike, as a spreadsheet does it."""
    at = _line(chance, lines)
    mark = max((b",", b";", b"\t", b"|", b"="), key=lines[at].count)
    word = chance.choice(BITS).encode("utf-8", "replace")
    column = chance.randrange(lines[at].count(mark) + 1)
    for i in range(at, min(len(lines), at + chance.choice((1, 3, 100)))):
        parts = lines[i].split(mark)
        if column < len(parts):
            parts[column] = chance.choice((word, parts[column] + word, word + parts[column], parts[-1]))
            lines[i] = mark.join(parts)


def _digits(chance: Random, lines: list[bytes]) -> None:
    at = _line(chance, lines)
    lines[at] = bytes(chance.choice(b"0123456789") if 48 <= c <= 57 and chance.random() < 0.3 else c for c in lines[at])


def _joined(chance: Random, lines: list[bytes]) -> None:
    at = _line(chance, lines)
    lines[at : at + 2] = [b"".join(lines[at : at + 2])]


def _long(chance: Random, lines: list[bytes]) -> None:
    at = _line(chance, lines)
    lines[at] = lines[at] * chance.choice((2, 50, 3000)) if len(lines[at]) < 300 else lines[at]


DAMAGES: tuple[Damage, ...] = (
    _flip, _flip, _insert, _insert, _cut, _torn, _zeroed, _lines(_swap), _lines(_again), _lines(_drop), _lines(_cells),
    _lines(_cells), _lines(_digits), _lines(_joined), _lines(_long),
)  # fmt: skip
