"""Warmledger: what a passive heating investment cost, what heat was not bought, and what that is worth.

>>> import ledger
>>> answer = ledger.appraise(ledger.read("templates/tubes-and-tank.toml"))
>>> answer.verdict
'not yet known'
>>> answer.typical_heat.avoided_kwh < answer.typical_heat.need_kwh
True
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ledger.errors import Complaint, LedgerError, LogError, Notice, OutputError, Place, WarmledgerError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path
    from typing import Any

    from ledger.appraisal import Appraisal
    from ledger.intake.gather import Gathered
    from ledger.views.frame import Table

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
    "results",
    "stress",
    "table",
]


def read(path: Path | str) -> Gathered:
    """Read a ledger file and the logs that it names.

    >>> import ledger
    >>> ledger.read("templates/layers-and-screen.toml").ledger.hold.temperature_c
    4.0

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

    >>> import ledger
    >>> answer = ledger.appraise(ledger.read("templates/layers-and-screen.toml"))
    >>> [plan.name for plan in answer.plans][-1]
    'nothing'

    Parameters
    ----------
    gathered : from `read`.

    Returns
    -------
    Appraisal : frozen; its parts carry the names of the JSON results.
    """
    from ledger.intake.gather import appraise_gathered

    return appraise_gathered(gathered)


def stress(path: Path | str, *, colder_k: float | None = None, record: Path | str | None = None) -> Appraisal:
    """Answer with a hard winter beside the answer, in `around.stress`; None there where nothing is logged.

    >>> import ledger
    >>> ledger.stress("templates/tubes-and-tank.toml", colder_k=8.0).around.stress is None
    True

    Parameters
    ----------
    path : the ledger file.
    colder_k : how much colder than logged; None: 5 K, or 0 K with another record. [K]
    record : a file with another outdoor record, of which the hardest winter is taken; None: the logged winter.

    Returns
    -------
    Appraisal

    Raises
    ------
    LedgerError, LogError : as `read`; the record is missing or cannot be read.
    """
    from pathlib import Path

    from ledger.intake.hard_winter import appraise_hard_winter

    return appraise_hard_winter(Path(path), colder_k=colder_k, record=None if record is None else Path(record))


def results(answer: Appraisal) -> dict[str, Any]:
    """Everything that `appraise --json` writes, as plain dicts, lists, numbers and words.

    >>> import ledger
    >>> answer = ledger.appraise(ledger.read("templates/tubes-and-tank.toml"))
    >>> ledger.results(answer)["typical_year"]["basis"]
    'expected'

    Parameters
    ----------
    answer : from `appraise` or `stress`.

    Returns
    -------
    dict : the keys of the JSON results, in their order; numbers to ten significant digits.
    """
    from ledger.views.json_view import appraisal_document

    return appraisal_document(answer)


def table(rows: Sequence[object]) -> Table:
    """Results that come as many, as a table: one row each, one column a field, the first field as index.

    >>> import ledger
    >>> answer = ledger.appraise(ledger.read("templates/tubes-and-tank.toml"))
    >>> float(ledger.table(answer.cash_flow).loc[0, "saving"])
    0.0
    >>> ledger.table(answer.plans).index[0]
    'electric heater alone'

    Parameters
    ----------
    rows : seasons, plans, builds, years of cash flow, loan rows: any results of one kind.

    Returns
    -------
    DataFrame : empty where there are none; what could not be reckoned is None or NaN.

    Raises
    ------
    TypeError : what is given is no sequence of results.
    """
    from ledger.views.frame import frame

    return frame(rows)
