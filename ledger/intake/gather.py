"""Everything that an answer needs, from disk: the ledger, its logs as one hourly record, a long outdoor record."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from ledger import __version__
from ledger.errors import Notice
from ledger.heat.doubtful_dates import date_doubts
from ledger.heat.doubtful_log import log_doubts
from ledger.heat.presence import presence_notices
from ledger.intake.ledger_file import read_ledger
from ledger.intake.log_file import Progress
from ledger.intake.log_files import read_logs
from ledger.intake.typed_inputs import typed_inputs
from ledger.model.identity import Identity, LogHash, Program
from ledger.model.ledger import Ledger
from ledger.model.logs import LogSpec
from ledger.series.hourly import hourly_record
from ledger.series.record import HourlyRecord

if TYPE_CHECKING:
    from ledger.appraisal import Appraisal

PROGRAM = Program("warmledger", __version__)


@dataclass(frozen=True, slots=True, eq=False)
class Gathered:
    """What was read: the ledger, the hourly record of its logs (None: no log), the long outdoor record (None: none)."""

    program: Program
    identity: Identity
    ledger: Ledger
    record: HourlyRecord | None
    climate_record: HourlyRecord | None
    warnings: tuple[Notice, ...]


def gather(path: Path | str, *, progress: Progress | None = None) -> Gathered:
    """Read a ledger and everything that it names.

    Parameters
    ----------
    path : the ledger file.
    progress : told from time to time how far the reading of logs has come.

    Returns
    -------
    Gathered

    Raises
    ------
    LedgerError : the ledger needs mending.
    LogError : a log is missing, cannot be read, or leaves something to be asked.
    """
    reading = read_ledger(path)
    ledger, folder = reading.ledger, reading.path.parent
    record, said = hourly(ledger.logs, ledger, folder, progress)
    climate = ledger.climate.record if ledger.climate is not None else None
    outdoors, said_outdoors = hourly(() if climate is None else (climate,), ledger, folder, progress)
    logs = () if record is None else record.figures.files
    return Gathered(
        program=PROGRAM,
        identity=Identity(
            title=ledger.title,
            currency=ledger.terms.currency,
            file=reading.path.name,
            sha256=reading.sha256,
            logs=tuple(LogHash(f.file, f.sha256) for f in logs),
            inputs=typed_inputs(reading.text),
        ),
        ledger=ledger,
        record=record,
        climate_record=outdoors,
        warnings=(*ledger.notices, *said, *_doubts(record, ledger), *said_outdoors),
    )


def appraise_gathered(gathered: Gathered) -> Appraisal:
    """Answer from what was read."""
    from ledger.appraisal import appraise  # with all that reckons, which `check` does not need

    return appraise(
        gathered.ledger,
        gathered.record,
        climate_record=gathered.climate_record,
        identity=gathered.identity,
        program=gathered.program,
        notices=gathered.warnings,
    )


def gather_and_appraise(path: Path | str, *, progress: Progress | None = None) -> Appraisal:
    """Read a ledger and everything that it names, and answer.

    Raises
    ------
    LedgerError, LogError : as `gather`.
    """
    return appraise_gathered(gather(path, progress=progress))


def _doubts(record: HourlyRecord | None, ledger: Ledger) -> tuple[Notice, ...]:
    """What ledger and record make doubtful together."""
    return (
        *(() if record is None else log_doubts(record, ledger)),
        *date_doubts(record, ledger),
        *presence_notices(record, ledger),
    )


def hourly(
    specs: Sequence[LogSpec], ledger: Ledger, folder: Path, progress: Progress | None
) -> tuple[HourlyRecord | None, tuple[Notice, ...]]:
    """The clean hourly record of some logs; None where the ledger names none."""
    if not specs:
        return None, ()
    readings = read_logs(specs, folder=folder, site_timezone=ledger.site.timezone, progress=progress)
    record, notices = hourly_record(readings, timezone=ledger.site.timezone, latitude_deg=ledger.site.latitude_deg)
    return record, (*readings.notices, *notices)
