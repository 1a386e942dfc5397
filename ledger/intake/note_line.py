"""A line to be added to a ledger: what a person gave, and how it is typed in the file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

import tomlkit

from ledger.errors import Complaint, LedgerError, Place

_NUMBER = re.compile(r"-?(?:0|[1-9]\d*)(?:\.\d+)?")
_DAY = re.compile(r"\d{4}-\d\d-\d\d")
_DAYS = ("date", "from", "to")
_FIGURES = ("amount", "quantity", "hours")
_METER = {"meter-from": "from", "meter-to": "to", "meter-rolls-over-at": "rolls_over_at"}
OF_SPENT = ("date", "for", "what", "amount", "hours")


class Book(StrEnum):
    """Where a line goes. The value is the name of its section."""

    RUNNING = "running"
    SPENT = "spent"


@dataclass(frozen=True, slots=True)
class NewLine:
    """A line as given: its entries as text, by key (`meter-from`, `meter-to` of a meter); `origin`: a line of a CSV."""

    book: Book
    given: Mapping[str, str]
    origin: int | None = None


def typed(line: NewLine, line_end: str) -> str:
    """The section as it is typed in the ledger, each entry on its own line.

    Text is data: it goes in as a TOML string, whatever signs it holds. A plain number goes in bare, any other figure
    as a string, so that the reader of the ledger judges it by its own rules.

    Raises
    ------
    LedgerError : a day that is no day, a key that the section does not take, signs that no text file holds.
    """
    given = dict(line.given)
    unfit = [key for key in given if line.book is Book.SPENT and key not in OF_SPENT]
    if unfit:
        mend = f"a line of the capital takes {', '.join('--' + key for key in OF_SPENT)}"
        raise LedgerError([Complaint("this belongs to the season book", Place(f"--{unfit[0]}"), mend)])
    meter = {under: given.pop(key) for key, under in _METER.items() if key in given}
    entries = [f"{key} = {_value(key, text)}" for key, text in given.items()]
    if meter:
        inner = ", ".join(f"{key} = {_figure(text)}" for key, text in meter.items())
        entries.append(f"meter = {{ {inner} }}")
    return line_end.join([f"[[{line.book}]]", *entries]) + line_end


def _value(key: str, text: str) -> str:
    if key in _DAYS:
        return day(text, f"--{key}").isoformat()
    return _figure(text) if key in _FIGURES else quoted(text, f"--{key}")


def _figure(text: str) -> str:
    return text if _NUMBER.fullmatch(text) else quoted(text, "--amount")


def day(text: str, option: str) -> date:
    """A day, written year first.

    Raises
    ------
    LedgerError : it is none; in any other order day and month could be taken for one another.
    """
    try:
        if _DAY.fullmatch(text.strip()):
            return date.fromisoformat(text.strip())
    except ValueError:
        pass
    raise LedgerError([Complaint(f'"{text[:60]}" is no date', Place(option), "write year-month-day, like 2026-01-31")])


def quoted(text: str, option: str) -> str:
    """A text as a TOML string on one line.

    Raises
    ------
    LedgerError : it holds half a sign, which no file can keep.
    """
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        what = "this holds bytes that are no text"
        raise LedgerError([Complaint(what, Place(option), "type it again, in UTF-8")]) from None
    return tomlkit.string(text).as_string()
