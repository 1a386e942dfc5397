"""The commands: each parses, calls the library once, shows. Nothing heavy is imported before a command runs."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli.early import EarlyCommand, EarlyGroup
from ledger.cli.note import note
from ledger.cli.options import ForceOption, JsonOption, LedgerArgument, QuietOption
from ledger.cli.outputs import ask as _ask
from ledger.cli.outputs import complaint as _complaint
from ledger.cli.outputs import found as _found
from ledger.cli.outputs import give as _give
from ledger.cli.outputs import progress as _progress
from ledger.cli.outputs import screen as _screen
from ledger.cli.outputs import writable_json as _writable_json
from ledger.cli.papers import refuse_unwritable_papers, write_papers
from ledger.cli.stress import stress
from ledger.views.console import DONE, Refused, in_words, show

if TYPE_CHECKING:
    from ledger.appraisal import Appraisal

app = typer.Typer(
    cls=EarlyGroup,
    name="warmledger",
    help="""
    What did the build save, and is it worth what it cost? A cost-and-payback ledger for growing houses that are kept
    warm by passive means: air tubes in the ground, water tanks, insulation, night screens.

    \b
    To begin:
        warmledger start my-farm
        warmledger appraise my-farm
    """,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)

WorkbookOption = Annotated[
    Path | None, typer.Option("--workbook", metavar="F.xlsx", help="Write a workbook of all figures.")
]
ReportOption = Annotated[
    Path | None, typer.Option("--report", metavar="F.html", help="Write the report: two printed pages for a lender.")
]
SinceOption = Annotated[
    Path | None,
    typer.Option("--since", metavar="RESULT.json", help="Earlier results: what changed, and what moved the answer."),
]
PdfOption = Annotated[Path | None, typer.Option("--pdf", metavar="F.pdf", help="Write the same report as PDF.")]


def _version(wanted: bool) -> None:
    if wanted:
        from ledger import __version__

        show([f"warmledger {__version__}"])
        raise typer.Exit(DONE)


@app.callback()
def warmledger(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version and stop.")
    ] = False,
) -> None:
    """Take the options that stand before a command."""


@app.command(cls=EarlyCommand, short_help="Write a commented ledger to begin with.")
@in_words
def start(
    folder: Annotated[Path | None, typer.Argument(metavar="FOLDER", help="Where the ledger is to stand.")] = None,
    template: Annotated[
        str, typer.Option("--template", metavar="NAME", help="Which example to start from; see --list.")
    ] = "tubes-and-tank",
    log: Annotated[
        Path | None, typer.Option("--log", metavar="CSV", help="A log of your station: its columns are filled in.")
    ] = None,
    listed: Annotated[bool, typer.Option("--list", help="Show the templates and stop.")] = False,
) -> None:
    """Write a commented ledger to begin with; it gives an answer as it is.

    \b
    Example:
        warmledger start my-farm --template tubes-and-tank
        warmledger start my-farm --log my-farm/logs/station.csv

    Nothing that is there already is overwritten. With --log, on a terminal, eight questions are asked.
    """
    from ledger.intake.start import begin, templates
    from ledger.views.started import ALL_INVENTED, LOG_WAITS, REST_INVENTED, started_lines, template_lines

    if listed:
        show(template_lines([(one.name, one.purpose) for one in templates()], screen=_screen()))
        return
    if folder is None:
        raise Refused([_complaint("FOLDER", "no folder is named", "for example: warmledger start my-farm")])
    ask = _ask if log is not None and sys.stdin.isatty() and sys.stdout.isatty() else None
    begun = begin(folder, template=template, log=log, ask=ask)
    _make_folder(folder)
    _write(begun.path, begun.text.encode("utf-8"), force=False)
    block = begun.log
    found, doubts, untaken = ((), (), ()) if block is None else (block.found, block.open_questions, block.untaken)
    notes = [ALL_INVENTED if begun.answers is None else REST_INVENTED, *([LOG_WAITS] if begun.log_waits else [])]
    lines = started_lines(
        begun.path, found=found, open_questions=doubts, untaken=untaken, notes=notes, screen=_screen()
    )
    show(lines)


@app.command(cls=EarlyCommand, short_help="Read everything: what is wrong, doubtful, assumed.")
@in_words
def check(
    ledger: LedgerArgument = None, json: JsonOption = None, since: SinceOption = None, quiet: QuietOption = False
) -> None:
    """Read everything and say what is wrong, doubtful or assumed, and what the logs cover.

    \b
    Example:
        warmledger check my-farm
        warmledger check my-farm --since last-year.json

    With --since it also says what changed since those results were written, and what moved the answer: each changed
    entry is put back alone.
    """
    _writable_json(json)
    from ledger.cli.since import checked_since, with_changes

    path = _found(ledger)
    with _progress(quiet=quiet) as progress:
        checked, moved = checked_since(path, since, progress)
    from ledger.views.checked import checked_document, checked_lines

    document, lines = checked_document(checked), checked_lines(checked, screen=_screen())
    if moved is not None:
        document, lines = with_changes(checked, moved, document, lines, screen=_screen())
    _give(json, document, lines, quiet=quiet)


@app.command(cls=EarlyCommand, short_help="What it cost, what it saved, when it is paid back.")
@in_words
def appraise(
    ledger: LedgerArgument = None,
    json: JsonOption = None,
    workbook: WorkbookOption = None,
    report: ReportOption = None,
    pdf: PdfOption = None,
    force: ForceOption = False,
    quiet: QuietOption = False,
) -> None:
    """Answer what it cost, what heat was not bought, what that is worth and when it is paid back.

    \b
    Example:
        warmledger appraise my-farm --workbook my-farm.xlsx --report my-farm.html
    """
    _writable_json(json)
    _writable_workbook(workbook, force=force)
    refuse_unwritable_papers(report, pdf, force=force)
    appraisal = _appraised(ledger, quiet=quiet)
    from ledger.views.answer import answer_lines
    from ledger.views.json_view import appraisal_document

    if workbook is not None:
        from ledger.views.workbook import workbook_bytes

        _write(workbook, workbook_bytes(appraisal), force=force)
    write_papers(appraisal, report, pdf, force=force)
    _give(json, appraisal_document(appraisal), answer_lines(appraisal, screen=_screen()), quiet=quiet)


@app.command(cls=EarlyCommand, short_help="Every way to heat, side by side.")
@in_words
def compare(ledger: LedgerArgument = None, json: JsonOption = None, quiet: QuietOption = False) -> None:
    """Set every way to heat side by side: money, work, whether it copes, whether it works in a power cut.

    \b
    Example:
        warmledger compare my-farm
    """
    _writable_json(json)
    appraisal = _appraised(ledger, quiet=quiet)
    from ledger.views.compare_screen import compare_lines
    from ledger.views.json_view import part_document

    keys = ("builds", "plans", "ties", "plan_ranges", "cheaper_builds", "next_steps", "power", "power_cut")
    _give(json, part_document(appraisal, keys=keys), compare_lines(appraisal, screen=_screen()), quiet=quiet)


@app.command(cls=EarlyCommand, short_help="Season by season.")
@in_words
def seasons(ledger: LedgerArgument = None, json: JsonOption = None, quiet: QuietOption = False) -> None:
    """Show season by season what was needed, what was not bought, and what it cost to run.

    \b
    Example:
        warmledger seasons my-farm
    """
    _writable_json(json)
    appraisal = _appraised(ledger, quiet=quiet)
    from ledger.views.json_view import part_document
    from ledger.views.lists import season_lines

    _give(json, part_document(appraisal, keys=("seasons",)), season_lines(appraisal, screen=_screen()), quiet=quiet)


app.command(cls=EarlyCommand, short_help="A colder winter.")(stress)
app.command(cls=EarlyCommand, short_help="Add a line to the season book or the capital.")(note)


def _appraised(ledger: Path | None, *, quiet: bool) -> Appraisal:
    path = _found(ledger)
    from ledger.intake.gather import gather_and_appraise

    with _progress(quiet=quiet) as progress:
        return gather_and_appraise(path, progress=progress)


def _make_folder(folder: Path) -> None:
    if folder.exists() and not folder.is_dir():
        raise Refused([_complaint(folder.name, "this is a file, not a folder", "name a folder")])
    folder.mkdir(parents=True, exist_ok=True)


def _writable_workbook(path: Path | None, *, force: bool) -> None:
    """Refuse before the long work what could not be written after it; only a workbook is replaced, only by force."""
    if path is None:
        return
    from ledger.errors import OutputError
    from ledger.views.whole_file import Existing, refuse_foreign, refuse_unwritable

    if path.suffix.lower() != ".xlsx":
        raise Refused([_complaint(path.name, "a workbook's name ends in .xlsx", f"write {path.name}.xlsx")])
    try:
        refuse_unwritable(path, existing=Existing.REPLACE if force else Existing.KEEP)
        refuse_foreign(path, begins=b"PK", what="workbook")
    except OutputError as refusal:
        raise Refused(refusal.complaints) from refusal


def _write(path: Path, content: bytes, *, force: bool) -> None:
    from ledger.views.whole_file import Existing, write_whole

    write_whole(path, content, existing=Existing.REPLACE if force else Existing.KEEP)
