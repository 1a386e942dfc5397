"""Values that a person writes and TOML does not take, each with its mend."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

_SIGN = r"[$€£¥₣₽₹₩]|[A-Z]{2,3}\$"
_YES = {
    "yes": "true",
    "on": "true",
    "y": "true",
    "true": "true",
    "no": "false",
    "off": "false",
    "n": "false",
    "false": "false",
}
_NOTHING = ("none", "null", "nil", "n/a", "na", "unknown", "?", "-", "tbd")
_WHOLE_OR_DECIMAL = re.compile(r"[+-]?(?:0|[1-9](?:_?\d)*)(?:\.\d(?:_?\d)*)?(?:[eE][+-]?\d+)?")
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


@dataclass(frozen=True, slots=True)
class Mended:
    """What is wrong with a value, the mend, and how far into it the caret goes."""

    what: str
    mend: str
    column: int = 0


def mend_of_value(key: str, text: str) -> Mended | None:
    """Name the slip in a value as typed; None when the value is good TOML or the slip has no name."""
    if text.startswith(('"', "'")):
        return _after_text(key, text)
    if _WHOLE_OR_DECIMAL.fullmatch(text) or text in ("true", "false", "inf", "nan"):
        return None
    for finder in _FINDERS:
        found = finder(key, text)
        if found is not None:
            return found
    return None


def _after_text(key: str, text: str) -> Mended | None:
    """Something behind a closed text."""
    match = re.fullmatch(r"(\"(?:[^\"\\]|\\.)*\"|'[^']*')\s*([^\s,\]}].*)", text)
    if match is None or text.startswith(('"""', "'''")):
        return None
    inside, behind = match.group(1)[1:-1], match.group(2)
    return Mended(
        f"something stands behind the text: {behind}",
        f'write: {key} = "{inside} {behind.strip(chr(34))}"',
        match.start(2),
    )


def _nothing(key: str, text: str) -> Mended | None:
    if text == "":
        return Mended("the key has no value", f"write a value: {key} = ..., or take the line out")
    if text.casefold() in _NOTHING:
        return Mended(f"{text} is no value", "take the line out: what is not stated is taken as unknown or by default")
    return None


def _yes_no(key: str, text: str) -> Mended | None:
    word = _YES.get(text.casefold())
    return Mended(f"{text} is not TOML's yes or no", f"write: {key} = {word}") if word is not None else None


def _currency(key: str, text: str) -> Mended | None:
    match = re.fullmatch(rf"[+-]?\s*({_SIGN})\s*([\d.,' ]+)|([\d.,' ]+?)\s*({_SIGN}|[A-Z]{{3}})", text)
    if match is None:
        return None
    figure = (match.group(2) or match.group(3)).strip()
    sign = (match.group(1) or match.group(4)).strip()
    plain = re.sub(r"[,' ](?=\d{3}(?:\D|$))", "", figure)
    return Mended(f"the currency sign {sign} stands bare", f'write: {key} = {plain}, or in quotes: {key} = "{text}"')


def _slashed_date(key: str, text: str) -> Mended | None:
    match = re.fullmatch(r"(\d{1,4})[/.](\d{1,2})[/.](\d{1,4})\.?", text)
    if match is None:
        return None
    first, second, third = (int(part) for part in match.groups())
    what = f"{text} is not how TOML writes a date"
    if len(match.group(1)) == 4:
        return Mended(what, f"write: {key} = {first:04d}-{second:02d}-{third:02d}")
    year = third if third > 99 else 2000 + third
    if first > 12 or "." in text:
        return Mended(what, f"write year, month, day: {key} = {year:04d}-{second:02d}-{first:02d}")
    if second > 12:
        return Mended(what, f"write year, month, day: {key} = {year:04d}-{first:02d}-{second:02d}")
    return Mended(
        what,
        f"write year, month, day: {key} = {year:04d}-{first:02d}-{second:02d} "
        f"(or {year:04d}-{second:02d}-{first:02d}, if the day stood first)",
    )


def _short_date(key: str, text: str) -> Mended | None:
    match = re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})(.*)", text)
    if match is None:
        return _day_of_year(key, text)
    year, month, day = (int(part) for part in match.groups()[:3])
    if len(match.group(2)) == 2 and len(match.group(3)) == 2:
        if match.group(4):
            return Mended(f"there is no moment {text}", f"write it like {year:04d}-{month:02d}-{day:02d}T06:30:00")
        return Mended(f"there is no day {text}", f"check month and day: {key} = YYYY-MM-DD")
    column = 5 if len(match.group(2)) == 1 else 8
    return Mended(
        "month and day need two digits", f"write: {key} = {year:04d}-{month:02d}-{day:02d}{match.group(4)}", column
    )


def _day_of_year(key: str, text: str) -> Mended | None:
    match = re.fullmatch(r"(\d{1,2})[-/.](\d{1,2})", text)
    if match is None or ("." in text and "0" not in text[:1]):
        return None
    month, day = int(match.group(1)), int(match.group(2))
    return Mended(
        f"the day of the year {text} stands without quotes",
        f'write month and day in quotes: {key} = "{month:02d}-{day:02d}"',
    )


def _named_date(key: str, text: str) -> Mended | None:
    match = re.fullmatch(r"(\d{1,2})?\.?\s*([A-Za-z]{3,9})\.?\s*(\d{1,2})?,?\s+(\d{4})", text)
    if match is None or match.group(2)[:3].casefold() not in _MONTHS:
        return None
    month = _MONTHS.index(match.group(2)[:3].casefold()) + 1
    day = int(match.group(1) or match.group(3) or 1)
    return Mended(f"{text} is not how TOML writes a date", f"write: {key} = {match.group(4)}-{month:02d}-{day:02d}")


def _comma(key: str, text: str) -> Mended | None:
    match = re.fullmatch(r"([+-]?[\d.,]*\d),(\d+)(?:\.(\d+))?\s*(.*)", text)
    if match is None:
        return None
    unit = match.group(4)
    figure = text[: match.start(4)].strip() if unit else text
    at = figure.find(",")
    quoted = (lambda number: f'"{number} {unit}"') if unit else (lambda number: number)
    if re.fullmatch(r"[+-]?\d{1,3}(?:\.\d{3})+,\d+", figure):
        plain = figure.replace(".", "").replace(",", ".")
        return Mended(f"{figure} has a decimal comma and thousands points", f"write: {key} = {quoted(plain)}", at)
    if re.fullmatch(r"[+-]?\d{1,3}(?:,\d{3})+(?:\.\d+)?", figure):
        plain, decimal = figure.replace(",", ""), figure.replace(",", ".")
        either = (
            ""
            if figure.count(",") > 1 or "." in figure
            else f" (or {quoted(decimal)}, if the comma was a decimal sign)"
        )
        return Mended(f"{figure} has a thousands comma", f"write: {key} = {quoted(plain)}{either}", at)
    return Mended(f"{figure} has a decimal comma", f"write: {key} = {quoted(figure.replace(',', '.'))}", at)


def _thousands_blank(key: str, text: str) -> Mended | None:
    if not re.fullmatch(r"[+-]?\d{1,3}(?:[ '\u00a0\u202f]\d{3})+(?:\.\d+)?", text):
        return None
    return Mended(f"{text} has thousands signs", f"write: {key} = {re.sub(r'[^0-9.+-]', '', text)}")


def _zero(key: str, text: str) -> Mended | None:
    if re.fullmatch(r"[+-]?0\d+(?:\.\d+)?", text):
        plain = re.sub(r"^([+-]?)0+(?=\d)", r"\1", text)
        return Mended(f"{text} has a leading zero", f"write: {key} = {plain}")
    if re.fullmatch(r"[+-]?\.\d+", text):
        return Mended(f"{text} has no digit before the point", f"write: {key} = {text.replace('.', '0.', 1)}")
    if re.fullmatch(r"[+-]?\d+\.", text):
        return Mended(f"{text} has no digit behind the point", f"write: {key} = {text}0")
    return None


def _percent(key: str, text: str) -> Mended | None:
    match = re.fullmatch(r"([+-]?\d+(?:\.\d+)?)\s*%", text)
    if match is None:
        return None
    return Mended(f"{text} stands without quotes", f'write: {key} = "{match.group(1)} %"', len(match.group(1)))


def _unit(key: str, text: str) -> Mended | None:
    match = re.fullmatch(r"([+-]?\d*\.?\d+)\s*([^\W\d_][^=,]*|[°%µ'\"][^=,]*)", text)
    if match is None:
        return None
    return Mended(
        f'the unit "{match.group(2)}" stands without quotes',
        f'write: {key} = "{match.group(1)} {match.group(2)}"',
        match.start(2),
    )


def _word(key: str, text: str) -> Mended | None:
    if not re.match(r"[^\W\d_]|[/~.*_\\]", text) or "=" in text:
        return None
    return Mended("text stands without quotes", f'write: {key} = "{text.replace(chr(92), "/")}"')


_Finder = Callable[[str, str], "Mended | None"]
_FINDERS: tuple[_Finder, ...] = (
    _nothing,
    _yes_no,
    _slashed_date,
    _short_date,
    _named_date,
    _currency,
    _percent,
    _zero,
    _comma,
    _thousands_blank,
    _unit,
    _word,
)
