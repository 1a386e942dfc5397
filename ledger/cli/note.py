"""The command `note`: one line, or the lines of a CSV, into the season book or the capital."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli.outputs import ask, complaint, found, give, replace, screen, writable_json
from ledger.views.console import Refused, in_words

if TYPE_CHECKING:
    from ledger.intake.note import Noted
    from ledger.intake.note_line import Book, NewLine

_Text = str | None


def _option(name: str, metavar: str, words: str) -> typer.models.OptionInfo:
    return typer.Option(name, metavar=metavar, help=words)  # type: ignore[no-any-return]


@in_words
def note(
    ledger: Annotated[
        Path | None,
        typer.Argument(metavar="LEDGER", help="The ledger file, or its folder. Left out: the one in this folder."),
    ] = None,
    day: Annotated[_Text, _option("--date", "D", "Day of the line, year first: 2026-01-31.")] = None,
    target: Annotated[_Text, _option("--for", "NAME", 'A build, a source, or "house".')] = None,
    what: Annotated[_Text, _option("--what", "TEXT", "What was used, mended or bought.")] = None,
    amount: Annotated[_Text, _option("--amount", "MONEY", "Money paid.")] = None,
    energy: Annotated[_Text, _option("--energy", "ENERGY", 'Energy used, such as "41 kWh".')] = None,
    quantity: Annotated[_Text, _option("--quantity", "N", "Units of the source used, such as 0.25 cords.")] = None,
    meter_from: Annotated[_Text, _option("--meter-from", "N", "Meter at the beginning (kWh).")] = None,
    meter_to: Annotated[_Text, _option("--meter-to", "N", "Meter at the end.")] = None,
    rolls_over: Annotated[
        _Text, _option("--meter-rolls-over-at", "N", "The count at which the meter begins again at 0, if it did.")
    ] = None,
    hours: Annotated[_Text, _option("--hours", "N", "Hours of own work.")] = None,
    first: Annotated[_Text, _option("--from", "D", "First day covered. Left out: since the last like line.")] = None,
    last: Annotated[_Text, _option("--to", "D", "Last day covered. Left out: the line's own day.")] = None,
    spent: Annotated[
        bool, typer.Option("--spent", help="A line of the capital: something bought for a build.")
    ] = False,
    json: Annotated[
        Path | None,
        typer.Option(
            "--json", metavar="FILE", help="Write the results for scripts; - is standard output, then only that."
        ),
    ] = None,
) -> None:
    """Note one line in the season book, or with --spent in the capital. Nothing else in the file is touched.

    \b
    Example:
        warmledger note my-farm --date 2026-01-31 --for "air tubes" --what "fan electricity" --energy "41 kWh"
        warmledger note my-farm

    The second one asks. The whole ledger is checked before and after; the file as it was is kept beside it.
    """
    writable_json(json)
    given = {
        "date": day, "for": target, "what": what, "energy": energy, "quantity": quantity, "meter-from": meter_from,
        "meter-to": meter_to, "meter-rolls-over-at": rolls_over, "amount": amount, "hours": hours, "from": first,
        "to": last,
    }  # fmt: skip
    entries = {key: text for key, text in given.items() if text is not None}
    path = found(ledger)
    from ledger.intake.note import note_line
    from ledger.intake.note_line import Book

    book = Book.SPENT if spent else Book.RUNNING
    line = _line(path, book, entries)
    _answer(note_line(path, line, write=replace), book, json)


def _line(path: Path, book: Book, entries: dict[str, str]) -> NewLine:
    """The line of the options; where none is given, the one that is asked for at the terminal."""
    from ledger.intake.note_line import NewLine

    if not entries and sys.stdin.isatty() and sys.stderr.isatty():
        from ledger.intake.ledger_file import read_ledger
        from ledger.intake.note_questions import ask_line

        return ask_line(read_ledger(path).ledger, book, ask, today=date.today())
    missing = [f"--{key}" for key in ("date", "for") if key not in entries]
    if missing:
        mend = 'for example: warmledger note my-farm --date 2026-01-31 --for "air tubes" --energy "41 kWh"'
        raise Refused([complaint(missing[0], f"{' and '.join(missing)} must be given", mend)])
    return NewLine(book, entries)


def _answer(noted: Noted, book: Book, json: Path | None) -> None:
    """Say what was noted."""
    import hashlib

    from ledger.intake.gather import PROGRAM
    from ledger.intake.note import BACKUP
    from ledger.model.identity import Identity
    from ledger.views.noted import Line, NoteAnswer, noted_document, noted_lines

    sha256 = hashlib.sha256(noted.raw).hexdigest()
    kept = noted.ledger
    identity = Identity(kept.title, kept.terms.currency, noted.path.name, sha256, ())
    answer = NoteAnswer(
        section=str(book),
        dry_run=False,
        backup=noted.path.resolve().name + BACKUP if noted.added else None,
        added=tuple(Line(x.given, at, x.origin) for x, at in zip(noted.added, noted.starts, strict=True)),
        skipped=tuple(Line(one.line.given, one.stands_at, one.line.origin) for one in noted.skipped),
        like=tuple(Line(one.line.given, one.stands_at) for one in noted.like),
    )
    give(json, noted_document(answer, PROGRAM, identity), noted_lines(answer, identity, screen=screen()))
