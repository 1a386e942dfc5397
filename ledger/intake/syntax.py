"""TOML 1.0 syntax: text to a document, or the one fault with its line, a caret and the mend."""

from __future__ import annotations

import re
import tomllib
from decimal import Decimal, InvalidOperation
from typing import Any

from ledger.errors import Complaint, LedgerError, Place
from ledger.intake.slips import shortened
from ledger.intake.syntax_lines import Lines, Slip
from ledger.intake.syntax_slips import find_slip

_DEEP_KEY = re.compile(r"""^[ \t]*(?:\[+[ \t]*)?(?:(?:[\w-]+|"[^"\n]*"|'[^'\n]*')[ \t]*\.[ \t]*){40}""", re.MULTILINE)
_PLACE = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)\s*$")


def parse(text: str, file: str) -> dict[str, Any]:
    """Parse TOML 1.0; decimal figures stay decimal.

    Parameters
    ----------
    text : lines ending in a line feed. [-]
    file : bare name of the file, for complaints. [-]

    Raises
    ------
    LedgerError : the first fault of syntax, alone, with the line as typed, a caret and the mend.
    """
    deep = _DEEP_KEY.search(text)
    if deep is not None:
        line = text.count("\n", 0, deep.end()) + 1
        raise LedgerError(
            [Complaint("a key has dozens of dotted parts", Place(file, line), "a ledger needs three at most")]
        )
    try:
        return tomllib.loads(text, parse_float=_decimal)
    except tomllib.TOMLDecodeError as error:
        raise LedgerError([_complaint(text, file, str(error))]) from None
    except RecursionError:
        what = "brackets are nested too deeply to be read"
        raise LedgerError([Complaint(what, Place(file), "a ledger needs three levels at most: close some")]) from None
    except ValueError:
        what = "a whole number has thousands of digits"
        raise LedgerError([Complaint(what, Place(file, _longest_number(text)), "shorten it")]) from None


def _decimal(text: str) -> Decimal:
    try:
        return Decimal(text)
    except InvalidOperation:
        return Decimal("Infinity")


def _longest_number(text: str) -> int | None:
    longest = max(re.finditer(r"\d[\d_]*", text), key=lambda match: len(match.group()), default=None)
    return text.count("\n", 0, longest.start()) + 1 if longest else None


def _complaint(text: str, file: str, message: str) -> Complaint:
    """Name the slip that a person most likely made at or before the place where the reader stopped."""
    lines = Lines(text)
    match = _PLACE.search(message)
    words = _PLACE.sub("", message)
    if match is not None and match.group(1) is not None:
        offset = lines.offset(int(match.group(1)), int(match.group(2)))
    else:
        offset = len(text)
    slip = find_slip(lines, offset, words) or _unnamed(lines, offset, words)
    typed = lines.line(slip.line)
    shown, column = _window(typed, slip.column)
    caret = "".join("\t" if sign == "\t" else " " for sign in shown[:column]) + "^"
    place = Place(file, slip.line, shortened(lines.entry(slip.line), 200))
    return Complaint(shortened(slip.what), place, shortened(slip.mend), f"{shown}\n{caret}")


def _window(typed: str, column: int) -> tuple[str, int]:
    """A very long line is shown around its fault only."""
    if len(typed) <= 160:
        return typed, min(column, len(typed))
    first = max(0, column - 60)
    return typed[first : first + 120], min(column - first, 120)


def _unnamed(lines: Lines, offset: int, words: str) -> Slip:
    """A fault without a name of its own: the reader's words and place."""
    line, column = lines.place(offset)
    if not lines.line(line).strip() and line > 1:
        line, column = line - 1, len(lines.line(line - 1))
    plain = re.sub(r"\s+", " ", words).strip().rstrip(".")
    return Slip(
        line, column, f"this cannot be read as TOML: {plain[:1].lower()}{plain[1:]}", "write it as: key = value"
    )
