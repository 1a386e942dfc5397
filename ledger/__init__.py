"""Warmledger: what a passive heating investment cost, what heat was not bought, and what that is worth.

import ledger
answer = ledger.appraise(ledger.read("my-farm/ledger.toml"))
answer.verdict, answer.worth.npv, answer.typical_heat.avoided_kwh
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ledger.errors import Complaint, LedgerError, LogError, Notice, OutputError, Place, WarmledgerError

if TYPE_CHECKING:
    from pathlib import Path

    from ledger.appraisal import Appraisal
    from ledger.intake.gather import Gathered

__version__ = "0.1.0"
__all__ = [
    "Complaint",
    "LedgerError",
    "LogError",
    "Notice",
    "OutputError",
    "Place",
    "WarmledgerError",
    "__version__",
    "appraise",
    "read",
]


def read(path: Path | str) -> Gathered:
    """Read a ledger file and the logs that it names.

    Parameters
    ----------
    path : the ledger file.

    Returns
    -------
    Gathered : ledger, hourly record, what reading had to say.

    Raises
    ------
    LedgerError : the ledger needs mending; every fault with file, line, entry and mend.
    LogError : a log cannot be read, or leaves something to be asked.
    """
    from ledger.intake.gather import gather

    return gather(path)


def appraise(gathered: Gathered) -> Appraisal:
    """Answer what it cost, what was not bought, what that is worth, when it pays, and how sure that is.

    Parameters
    ----------
    gathered : from `read`.

    Returns
    -------
    Appraisal : frozen; its parts carry the names of the JSON results.
    """
    from ledger.intake.gather import appraise_gathered

    return appraise_gathered(gathered)
