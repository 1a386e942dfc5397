"""The command `note`: one line, or the lines of a CSV, into the season book or the capital."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli.options import JsonOption, LedgerArgument, QuietOption
from ledger.cli.outputs import ask, complaint, found, give, replace, screen, writable_json
from ledger.views.console import Refused, in_words

if TYPE_CHECKING:
    from ledger.intake.note import Noted
    from ledger.intake.note_import import ImportSpec
    from ledger.intake.note_line import Book, NewLine

_Text = str | None


def _option(name: str, metavar: str, words: str) -> typer.models.OptionInfo:
    option: typer.models.OptionInfo = typer.Option(name, metavar=metavar, help=words)
    return option


@in_words
def note(
    ledger: LedgerArgument = None,
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
    source: Annotated[
        Path | None, typer.Option("--import", metavar="F.csv", help="Take the lines of an export: a bank's, a meter's.")
    ] = None,
    columns: Annotated[
        _Text,
        _option("--columns", "KEY=COLUMN,...", "Which column of it holds what; a minus before it turns the sign."),
    ] = None,
    dates: Annotated[
        _Text, _option("--dates", "ORDER", '"day first" or "month first", where no date proves it.')
    ] = None,
    decimal: Annotated[_Text, _option("--decimal", "MARK", "Its decimal mark, where no figure proves it.")] = None,
    separator: Annotated[_Text, _option("--separator", "MARK", "The mark between its cells.")] = None,
    only: Annotated[_Text, _option("--only", "TEXT", "Take only the lines of it that hold this text.")] = None,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Show what would be noted, and write nothing.")] = False,
    json: JsonOption = None,
    quiet: QuietOption = False,
) -> None:
    """Note one line in the season book, or with --spent in the capital. Nothing else in the file is touched.

    \b
    Example:
        warmledger note my-farm --date 2026-01-31 --for "air tubes" --what "fan electricity" --energy "41 kWh"
        warmledger note my-farm
        warmledger note my-farm --import bank.csv --columns "date=Booked,amount=-Value,what=Text" --for stove --dry-run

    The second one asks, the third shows what it would take from a CSV; lines that stand there already are left out.
    The whole ledger is checked before and after; the file as it was is kept beside it.
    """
    writable_json(json)
    given = {
        "date": day, "for": target, "what": what, "energy": energy, "quantity": quantity, "meter-from": meter_from,
        "meter-to": meter_to, "meter-rolls-over-at": rolls_over, "amount": amount, "hours": hours, "from": first,
        "to": last,
    }  # fmt: skip
    entries = {key: text for key, text in given.items() if text is not None}
    path = found(ledger)
    from ledger.intake.note import note_line, note_new_lines
    from ledger.intake.note_line import Book

    book = Book.SPENT if spent else Book.RUNNING
    if source is None:
        _no_stray(
            {"--columns": columns, "--dates": dates, "--only": only, "--decimal": decimal, "--separator": separator}
        )
        line = _line(path, book, entries)
        noted = note_line(path, line, write=None if dry_run else replace)
        _answer(noted, book, json, dry_run=dry_run, refused=(), quiet=quiet)
        return
    from ledger.intake.note_import import read_import

    spec = _import_spec(entries, book, columns, dates=dates, decimal=decimal, separator=separator, only=only)
    read = read_import(source, spec)
    if read.refused and not read.lines:
        mend = "check --columns, or take the line out of the file"
        raise Refused([complaint(f"{source.name}, line {number}", why, mend) for number, why in read.refused])
    noted = note_new_lines(path, read.lines, write=None if dry_run else replace)
    _answer(noted, book, json, dry_run=dry_run, refused=read.refused, quiet=quiet)


def _no_stray(only_with_import: dict[str, str | None]) -> None:
    stray = [option for option, text in only_with_import.items() if text is not None]
    if stray:
        raise Refused([complaint(stray[0], "this goes with --import", "name the file: --import F.csv")])


def _import_spec(entries: dict[str, str], book: Book, columns: str | None, **said: str | None) -> ImportSpec:
    """What is said of the CSV; what belongs to a single line is refused."""
    from ledger.intake.note_import import ImportSpec
    from ledger.intake.note_line import Book

    unfit = [f"--{key}" for key in entries if key not in ("for", "what", "meter-rolls-over-at")]
    unfit += ["--spent"] if book is Book.SPENT else []
    if unfit:
        mend = "with --import give --for, and --what where no column holds it"
        raise Refused([complaint(unfit[0], "this belongs to a single line", mend)])
    example = 'for example: --import bank.csv --columns "date=Booked,amount=-Value,what=Text" --for stove'
    if columns is None or "for" not in entries:
        missing = "--columns" if columns is None else "--for"
        raise Refused([complaint(missing, f"{missing} must be given with --import", example)])
    return ImportSpec(
        columns, entries["for"], what=entries.get("what"), rolls_over_at=entries.get("meter-rolls-over-at"), **said
    )


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


def _answer(
    noted: Noted, book: Book, json: Path | None, *, dry_run: bool, refused: tuple[tuple[int, str], ...], quiet: bool
) -> None:
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
        dry_run=dry_run,
        backup=noted.path.resolve().name + BACKUP if noted.added and not dry_run else None,
        added=tuple(Line(x.given, at, x.origin) for x, at in zip(noted.added, noted.starts, strict=True)),
        skipped=tuple(Line(one.line.given, one.stands_at, one.line.origin) for one in noted.skipped),
        like=tuple(Line(one.line.given, one.stands_at) for one in noted.like),
        refused=refused,
    )
    give(json, noted_document(answer, PROGRAM, identity), noted_lines(answer, identity, screen=screen()), quiet=quiet)
