"""A hard winter from disk: the ledger, and another outdoor record where one is named."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from ledger.errors import Complaint, LogError, Notice, Place
from ledger.intake.gather import appraise_gathered, gather
from ledger.intake.log_file import Progress
from ledger.intake.log_files import read_logs
from ledger.intake.start_log import log_block
from ledger.model.ledger import Ledger
from ledger.model.logs import ChannelSpec, LogSpec
from ledger.series.hourly import hourly_record
from ledger.series.record import HourlyRecord

if TYPE_CHECKING:
    from ledger.appraisal import Appraisal


def appraise_hard_winter(
    path: Path, *, colder_k: float | None, record: Path | None, progress: Progress | None = None
) -> Appraisal:
    """Answer a ledger with a hard winter beside it.

    Parameters
    ----------
    path : the ledger file.
    colder_k : how much colder; None: 5 K for the logged winter, 0 K for another record. [K]
    record : a file with another outdoor record; None: the logged winter.
    progress : told from time to time how far the reading of logs has come.

    Returns
    -------
    Appraisal : its `around.stress` is the hard winter.

    Raises
    ------
    LedgerError, LogError : as `gather`; the record is missing, cannot be read, or its columns are not known.
    """
    gathered = gather(path, progress=progress)
    other, said = (None, ()) if record is None else other_record(record, gathered.ledger, progress=progress)
    from ledger.plans.around import with_winter
    from ledger.plans.other_winter import USUAL_HARD_WINTER, HardWinter

    appraisal = appraise_gathered(gathered)
    if appraisal.work is None:
        return appraisal
    usual_k = USUAL_HARD_WINTER.colder_k if record is None else 0.0
    hard = HardWinter(usual_k if colder_k is None else colder_k, other)
    around = with_winter(appraisal.around, gathered.ledger, appraisal.work.seasons, hard=hard)
    return replace(appraisal, around=around, warnings=(*appraisal.warnings, *said))


def other_record(file: Path, ledger: Ledger, *, progress: Progress | None) -> tuple[HourlyRecord, tuple[Notice, ...]]:
    """Another outdoor record as clean hours.

    Its columns are those of the ledger's `[climate]` file or of one of its logs, whichever fits; else the one whose
    header speaks of outdoors.

    Raises
    ------
    LogError : no such file, or nothing fits; what the last attempt met is said.
    """
    if not file.is_file():
        raise LogError([Complaint("there is no such file", Place(file.name), "check the name after --record")])
    fault: LogError | None = None
    for spec in _mappings(file, ledger):
        try:
            readings = read_logs((spec,), folder=file.parent, site_timezone=ledger.site.timezone, progress=progress)
        except LogError as error:
            fault = error
            continue
        record, notices = hourly_record(readings, timezone=ledger.site.timezone, latitude_deg=ledger.site.latitude_deg)
        return record, (*readings.notices, *notices)
    if fault is not None:
        raise fault
    mend = "name the column Outdoor, or type it once in the ledger: [climate] file and outdoor"
    raise LogError([Complaint("which column is the temperature outdoors is not clear", Place(file.name), mend)])


def _mappings(file: Path, ledger: Ledger) -> Iterator[LogSpec]:
    """How the file may be laid out, likeliest first; only what is outdoors is read, and the sun."""
    known = () if ledger.climate is None or ledger.climate.record is None else (ledger.climate.record,)
    for spec in (*known, *ledger.logs):
        wanted = tuple(c for c in spec.channels if c.channel in ("outdoor", "sun"))
        if any(c.channel == "outdoor" for c in wanted):
            yield replace(spec, file=file.name, channels=wanted, exclude=())
            yield replace(spec, file=file.name, channels=tuple(c for c in wanted if c.channel == "outdoor"), exclude=())
    header = dict(log_block(file, folder=file.parent).found).get("outdoor")
    if header is not None:
        yield LogSpec(file=file.name, channels=(ChannelSpec("outdoor", header),))
