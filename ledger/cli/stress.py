"""The command `stress`: a colder winter, or the hardest of another record."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli.options import JsonOption, LedgerArgument, QuietOption
from ledger.cli.outputs import complaint, found, give, progress, screen, writable_json
from ledger.views.console import Refused, in_words

COLDEST_K = 40.0


@in_words
def stress(
    ledger: LedgerArgument = None,
    colder: Annotated[
        str | None,
        typer.Option("--colder", metavar="K", help='How much colder, such as "5 K" or "9 degF". Left out: 5 K.'),
    ] = None,
    record: Annotated[
        Path | None,
        typer.Option(
            "--record", metavar="FILE", help="Another outdoor record: its hardest winter, as it was unless --colder."
        ),
    ] = None,
    json: JsonOption = None,
    quiet: QuietOption = False,
) -> None:
    """Look at a colder winter: what the build still gives, what must be bought, which heater copes.

    \b
    Example:
        warmledger stress my-farm --colder "8 K"
        warmledger stress my-farm --record long-record.csv
    """
    writable_json(json)
    colder_k = None if colder is None else _kelvins(colder)
    path = found(ledger)
    from ledger.intake.hard_winter import appraise_hard_winter

    with progress(quiet=quiet) as told:
        appraisal = appraise_hard_winter(path, colder_k=colder_k, record=record, progress=told)
    from ledger.views.json_view import part_document
    from ledger.views.stress_screen import stress_lines

    document = part_document(appraisal, keys=("stress", "worst_winter", "power", "power_cut"))
    name = None if record is None else record.name
    give(json, document, stress_lines(appraisal, screen=screen(), record=name), quiet=quiet)


def _kelvins(typed: str) -> float:
    from ledger.units import Dimension, UnitError, parse_quantity

    try:
        colder_k = parse_quantity(typed, Dimension.DIFFERENCE)
    except UnitError as fault:
        raise Refused([complaint("--colder", str(fault), 'for example --colder "5 K"')]) from fault
    if not abs(colder_k) <= COLDEST_K:
        text = f"{typed} is not a winter that can be: at most {COLDEST_K:g} K colder or milder"
        raise Refused([complaint("--colder", text, 'for example --colder "5 K"')])
    return colder_k
