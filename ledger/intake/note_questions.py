"""A few questions whose answers make a line of the season book or of the capital."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date

from ledger.errors import LedgerError
from ledger.intake.note_line import Book, NewLine, day
from ledger.intake.slips import listed, nearest
from ledger.model.book import HOUSE
from ledger.model.ledger import Ledger
from ledger.units import same_unit

Ask = Callable[[str, str], str]
_MOST_TRIES = 5


def ask_line(ledger: Ledger, book: Book, ask: Ask, *, today: date) -> NewLine:
    """Ask for a line; an empty answer leaves an entry out.

    Parameters
    ----------
    ledger : whose builds and sources are offered.
    book : which of the two it is for.
    ask : puts a question with the usual answer, gives what was answered.
    today : the usual answer to the first question.
    """
    builds = [one.name for one in ledger.builds]
    names = builds if book is Book.SPENT else [*builds, *(one.name for one in ledger.sources), HOUSE]
    given = {
        "date": _until(ask, "On which day (year-month-day)?", today.isoformat(), _wrong_day),
        "for": _until(ask, f"For what: {listed(names)}?", names[0], lambda answer: _wrong_name(answer, names)),
    }
    given["for"] = next(name for name in names if _folded(name) == _folded(given["for"]))
    given["what"] = ask("What was bought?" if book is Book.SPENT else "What was used or mended?", _usual(ledger, given))
    if book is Book.RUNNING:
        key, words = _use(ledger, given["for"])
        given[key] = ask(words, "")
    given["amount"] = ask("What was paid, in money (Enter: nothing noted)?", "")
    given["hours"] = ask("Hours of own work (Enter: none)?", "")
    return NewLine(book, {key: text.strip() for key, text in given.items() if text.strip()})


def _usual(ledger: Ledger, given: dict[str, str]) -> str:
    """What the last line for the same thing was called."""
    return next((one.what for one in reversed(ledger.running) if one.target == given["for"]), "")


def _use(ledger: Ledger, name: str) -> tuple[str, str]:
    source = next((one for one in ledger.sources if one.name == name), None)
    if source is None or same_unit(source.unit, "kWh"):
        return "energy", "How much energy, such as 41 kWh (Enter: none)?"
    return "quantity", f"How much, in units of {source.unit} (Enter: none)?"


def _until(ask: Ask, words: str, usual: str, wrong: Callable[[str], str]) -> str:
    """Ask until the answer can stand; after a few times the last answer goes on and is judged with the whole ledger."""
    question = words
    for _ in range(_MOST_TRIES):
        answer = ask(question, usual).strip() or usual
        fault = wrong(answer)
        if not fault:
            return answer
        question = f"{fault.rstrip('?.')}{'?' if fault.endswith('?') else '.'} {words}"
    return usual


def _wrong_day(answer: str) -> str:
    try:
        day(answer, "--date")
    except LedgerError as fault:
        return f"{fault.complaints[0].what}: {fault.complaints[0].mend}"
    return ""


def _wrong_name(answer: str, names: Sequence[str]) -> str:
    if any(_folded(answer) == _folded(name) for name in names):
        return ""
    near = nearest(answer, names)
    return f'There is no "{answer[:60]}"' + (f'; did you mean "{near}"?' if near else "")


def _folded(name: str) -> str:
    return " ".join(name.casefold().split())
