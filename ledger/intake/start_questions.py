"""Eight questions whose answers make a template one's own ledger."""

from __future__ import annotations

import re
import zoneinfo
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import tomlkit
from tomlkit import TOMLDocument

from ledger.units import Dimension, UnitError, parse_quantity

Ask = Callable[[str, str], str]
_MOST_TRIES = 5


@dataclass(frozen=True, slots=True)
class Answers:
    """The template's text with the answers in it, and how many were left as they stood."""

    filled_in: str
    unchanged: int


@dataclass(frozen=True, slots=True)
class _Question:
    """Words, the answer that stands in the template, and what puts another in its place, or says why it cannot."""

    words: str
    usual: str
    put: Callable[[TOMLDocument, str], str]


def ask_eight(text: str, ask: Ask) -> Answers:
    """Ask, and fill the answers in; Enter keeps what the template says. Comments and order stay."""
    document = tomlkit.parse(text)
    unchanged = 0
    for question in _questions(document):
        answer = _settled(question, document, ask)
        unchanged += answer == question.usual
    return Answers(tomlkit.dumps(document), unchanged)


def _settled(question: _Question, document: TOMLDocument, ask: Ask) -> str:
    words = question.words
    for _ in range(_MOST_TRIES):
        answer = ask(words, question.usual).strip()
        if answer == question.usual:
            return answer
        wrong = question.put(document, answer)
        if not wrong:
            return answer
        words = f"{wrong}. {question.words}"
    return question.usual


def _questions(d: TOMLDocument) -> list[_Question]:
    site, hold = d["site"], d["hold"]
    return [
        _Question("What is the house called?", str(d["ledger"]["title"]), _title),
        _Question("Which currency (three letters)?", str(d["ledger"]["currency"]), _currency),
        _Question(
            "Where does it stand: latitude, longitude in degrees, north and east positive?",
            f"{site['latitude']}, {site['longitude']}",
            _place,
        ),
        _Question("How high above the sea?", str(site["elevation"]), _elevation),
        _Question("Which time zone?", str(site["timezone"]), _zone),
        _size_question(d),
        _Question("What temperature would you pay to hold?", str(hold["temperature"]), _temperature),
        _Question("What does a kilowatt-hour of electricity cost?", str(_price(d)), _put_price),
    ]


def _title(d: TOMLDocument, answer: str) -> str:
    d["ledger"]["title"] = answer
    return "" if answer else "A name is needed"


def _currency(d: TOMLDocument, answer: str) -> str:
    if not re.fullmatch(r"[A-Za-z]{3}", answer):
        return "Three letters, such as USD or EUR"
    d["ledger"]["currency"] = answer.upper()
    return ""


def _place(d: TOMLDocument, answer: str) -> str:
    parts = re.fullmatch(r"\s*(-?\d+(?:\.\d+)?)\s*,\s*(-?\d+(?:\.\d+)?)\s*", answer)
    if parts is None or abs(float(parts[1])) > 90 or abs(float(parts[2])) > 180:
        return "Two numbers with a comma between, such as 46.3, 10.6"
    d["site"]["latitude"], d["site"]["longitude"] = float(parts[1]), float(parts[2])
    return ""


def _elevation(d: TOMLDocument, answer: str) -> str:
    return _put_quantity(d, "site", "elevation", answer, Dimension.LENGTH)


def _temperature(d: TOMLDocument, answer: str) -> str:
    return _put_quantity(d, "hold", "temperature", answer, Dimension.TEMPERATURE)


def _zone(d: TOMLDocument, answer: str) -> str:
    try:
        zoneinfo.ZoneInfo(answer)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError, OSError):
        near = [name for name in sorted(zoneinfo.available_timezones()) if answer.casefold() in name.casefold()][:4]
        return f"No such zone{'; perhaps ' + ', '.join(near) if near and answer else ', write it like Europe/Rome'}"
    d["site"]["timezone"] = answer
    return ""


def _size_question(d: TOMLDocument) -> _Question:
    house = d["house"]
    names = ("length", "width", "side_height", "ridge_height")
    if all(name in house for name in names):
        usual = ", ".join(str(house[name]) for name in names)
        words = "Length, width, height at the side and at the ridge?"
        return _Question(words, usual, lambda doc, answer: _put_sizes(doc, answer, names, Dimension.LENGTH))
    usual = f"{house['floor_area']}, {house['volume']}"
    return _Question("Floor area, and volume of the air in it?", usual, _put_floor)


def _put_sizes(d: TOMLDocument, answer: str, names: tuple[str, ...], dimension: Dimension) -> str:
    parts = [part.strip() for part in answer.split(",")]
    if len(parts) != len(names):
        return f"{len(names)} measures with commas between"
    for part in parts:
        wrong = _wrong_quantity(part, dimension)
        if wrong:
            return wrong
    for name, part in zip(names, parts, strict=True):
        d["house"][name] = part
    return ""


def _put_floor(d: TOMLDocument, answer: str) -> str:
    parts = [part.strip() for part in answer.split(",")]
    if len(parts) != 2:
        return "Two measures with a comma between, such as 48 m2, 130 m3"
    wrong = _wrong_quantity(parts[0], Dimension.AREA) or _wrong_quantity(parts[1], Dimension.VOLUME)
    if not wrong:
        d["house"]["floor_area"], d["house"]["volume"] = parts
    return wrong


def _price(d: TOMLDocument) -> object:
    return d["electricity"]["price"] if "electricity" in d else _electric(d)["price"]


def _put_price(d: TOMLDocument, answer: str) -> str:
    try:
        price = float(answer)
    except ValueError:
        return "A number, such as 0.18"
    if not 0 <= price < 1000:
        return "A number, such as 0.18"
    if "electricity" in d:
        d["electricity"]["price"] = price
    _electric(d)["price"] = price
    return ""


def _electric(d: TOMLDocument) -> Any:
    return next(one for one in d["source"] if str(one["kind"]) == "electric resistance")


def _put_quantity(d: TOMLDocument, section: str, key: str, answer: str, dimension: Dimension) -> str:
    wrong = _wrong_quantity(answer, dimension)
    if not wrong:
        d[section][key] = answer
    return wrong


def _wrong_quantity(answer: str, dimension: Dimension) -> str:
    try:
        parse_quantity(answer, dimension)
    except UnitError as fault:
        return f"{fault.what}: {fault.mend}"
    return ""
