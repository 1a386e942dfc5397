"""The options that several commands share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

LedgerArgument = Annotated[
    Path | None,
    typer.Argument(metavar="LEDGER", help="The ledger file, or its folder. Left out: the one in this folder."),
]
JsonOption = Annotated[
    Path | None,
    typer.Option("--json", metavar="FILE", help="Write the results for scripts; - is standard output, then only that."),
]
ForceOption = Annotated[bool, typer.Option("--force", help="Replace papers that are there already.")]
QuietOption = Annotated[
    bool, typer.Option("--quiet", "-q", help="Show no answer and no progress: only files are written, faults said.")
]
