"""What changed since an earlier appraisal, and what each change alone did to the answer."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ledger.errors import Complaint, LedgerError, LogError, Place
from ledger.intake.gather import PROGRAM, Gathered, hourly
from ledger.intake.ledger_file import ledger_of
from ledger.intake.log_file import Progress
from ledger.intake.typed_inputs import HIDDEN, entries_of, text_from
from ledger.model.changes import Change, FileChange, Headline, InputChange, Since
from ledger.model.ledger import Ledger

if TYPE_CHECKING:
    from ledger.doubt.headline import Laid

Entries = Mapping[str, str]
LARGEST_BYTES = 256_000_000
_MONEY_ONLY = re.compile(
    r"(?:ledger|money|labour|benefit|spent|next|electricity)\b.*"
    r"|build\[[^\]]*\]\.(?:item|upkeep|life_years|expected_running)\b.*"
    r"|source\[[^\]]*\]\.(?:price|price_growth|capital|bought|life_years|upkeep|tariff|hours_per_unit)\b.*"
)
"""Entries that change no kilowatt-hour: the fitted house and the seasons stay as they are."""


@dataclass(frozen=True, slots=True)
class Earlier:
    """Earlier results, as far as they are compared: answer, version, hashes, entries (None: they do not say)."""

    file: str
    answer: Headline
    version: str
    ledger_sha256: str
    logs: Mapping[str, str]
    entries: Entries | None


def read_earlier(path: Path) -> Earlier:
    """Read the results that an earlier `appraise --json` wrote.

    Raises
    ------
    LedgerError : no such file, or no results of an appraisal.
    """
    place = Place(path.name)
    mend = "name a file that `warmledger appraise --json FILE` has written"
    try:
        if not path.is_file() or path.stat().st_size > LARGEST_BYTES:
            raise LedgerError([Complaint("there are no results in a file of this name", place, mend)])
        document = json.loads(path.read_bytes())
        head = document["ledger"]
        earlier = Earlier(
            file=path.name,
            answer=Headline(
                _number(document["worth"]["npv"]), _number((document["typical_year"] or {}).get("avoided_kwh"))
            ),
            version=str(document["program"]["version"]),
            ledger_sha256=str(head["sha256"]),
            logs={str(log["file"]): str(log["sha256"]) for log in head["logs"]},
            entries={str(one["path"]): str(one["value"]) for one in head["inputs"]} if "inputs" in head else None,
        )
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise LedgerError([Complaint("these are no results of an appraisal", place, mend)]) from None
    if document["program"]["name"] != PROGRAM.name or document.get("schema") != 1:
        raise LedgerError([Complaint("these are no results of an appraisal", place, mend)])
    return earlier


def _number(value: Any) -> float | None:
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else None


def since(path: Path, text: str, gathered: Gathered, earlier: Earlier, *, progress: Progress | None = None) -> Since:
    """Compare with earlier results, and put each changed entry back by itself.

    Parameters
    ----------
    path : the ledger file.
    text : what stands in it.
    gathered : what was read from it.
    earlier : from `read_earlier`.
    progress : told before each entry is put back.
    """
    from ledger.doubt.headline import headline, laid_out

    laid = laid_out(gathered.ledger, gathered.record, gathered.climate_record)
    now = headline(gathered.ledger, laid)
    was, present = earlier.entries or {}, entries_of(text)
    changes = [] if earlier.entries is None else changed_entries(was, present)
    found = []
    for number, (entry, change) in enumerate(changes, 1):
        if progress is not None:
            progress(f"putting back {number} of {len(changes)}: {entry}")
        before = put_back(entry, was, present)
        money_only = _is_money(entry, (was, present), gathered.ledger)
        alone = _NOTHING if before is None else _answer(before, path, gathered, laid if money_only else None)
        effects = _less(now.npv, alone.npv), _less(now.avoided_kwh, alone.avoided_kwh)
        found.append(InputChange(entry, change, _said(entry, was), _said(entry, present), *effects))
    return _told(earlier, gathered, now, found)


_NOTHING = Headline(None, None)


def _told(earlier: Earlier, gathered: Gathered, now: Headline, found: Sequence[InputChange]) -> Since:
    logs = {log.file: log.sha256 for log in gathered.identity.logs}
    return Since(
        file=earlier.file,
        was=earlier.answer,
        now=now,
        version_was=earlier.version,
        version_now=gathered.program.version,
        ledger_changed=earlier.ledger_sha256 != gathered.identity.sha256,
        inputs_known=earlier.entries is not None,
        inputs=tuple(found),
        files=tuple(changed_files(earlier.logs, logs)),
        rest_npv=_rest(earlier.answer.npv, now.npv, [one.npv_effect for one in found]),
        rest_avoided_kwh=_rest(earlier.answer.avoided_kwh, now.avoided_kwh, [one.avoided_kwh_effect for one in found]),
    )


def _less(now: float | None, without: float | None) -> float | None:
    return None if now is None or without is None else now - without


def _rest(was: float | None, now: float | None, effects: Sequence[float | None]) -> float | None:
    return None if was is None or now is None else now - was - sum(effect or 0.0 for effect in effects)


def changed_entries(was: Entries, now: Entries) -> list[tuple[str, Change]]:
    """Entries that differ, in the order in which they stand now, those that went last; a whole row is one change."""
    found: dict[str, Change] = {}
    for path in [*now, *was]:
        if path in was and path in now:
            if was[path] not in (now[path], HIDDEN):
                found[path] = Change.CHANGED
            continue
        here, there = (now, was) if path in now else (was, now)
        row = _whole_row(path, there)
        kind = Change.ADDED if here is now else Change.REMOVED
        found.setdefault(row or path, kind)
    return list(found.items())


def _whole_row(path: str, other: Entries) -> str | None:
    """The outermost row on a path of which the other side has nothing."""
    for match in re.finditer(r"\]", path):
        row = path[: match.end()]
        if not any(one.startswith(row) for one in other):
            return row
    return None


def put_back(entry: str, was: Entries, now: Entries) -> dict[str, str] | None:
    """The present entries with one entry or row as it was before; None where the earlier results hide it."""
    earlier = {path: value for path, value in was.items() if _within(path, entry)}
    if HIDDEN in earlier.values():
        return None
    result = {path: value for path, value in now.items() if not _within(path, entry) or path in earlier}
    result.update(earlier)
    return result


def _within(path: str, entry: str) -> bool:
    return path == entry or (entry.endswith("]") and path.startswith(f"{entry}."))


def _said(entry: str, entries: Entries) -> str:
    """An entry as typed; a row by all that stands in it."""
    inside = {path: value for path, value in entries.items() if _within(path, entry)}
    if not entry.endswith("]"):
        return inside.get(entry, "")
    return ", ".join(f"{path[len(entry) + 1 :]} = {value}" for path, value in inside.items())


def _is_money(entry: str, sides: Sequence[Entries], ledger: Ledger) -> bool:
    """Whether an entry changes no kilowatt-hour; what a build used is money, what a source used is heat."""
    if entry.startswith("running[") and entry.endswith("]"):
        users = {side[f"{entry}.for"].strip("\"'") for side in sides if f"{entry}.for" in side}
        return bool(users) and users <= {build.name for build in ledger.builds}
    return _MONEY_ONLY.fullmatch(entry) is not None


def _answer(entries: Entries, path: Path, gathered: Gathered, laid: Laid | None) -> Headline:
    """The answer of a ledger with these entries; nothing where it is none by itself. `laid`: for changes of money."""
    from ledger.doubt.headline import headline, laid_out

    try:
        ledger = ledger_of(text_from(entries), path.name)
        if laid is None:
            record, climate = _records(ledger, gathered, path.parent)
            laid = laid_out(ledger, record, climate)
        return headline(ledger, laid)
    except (LedgerError, LogError):
        return _NOTHING


def _records(ledger: Ledger, gathered: Gathered, folder: Path) -> tuple[Any, Any]:
    """The records of a changed ledger, read again only where the change may touch them."""
    same_place = ledger.site == gathered.ledger.site
    if same_place and _same_logs(ledger, gathered.ledger) and ledger.climate == gathered.ledger.climate:
        return gathered.record, gathered.climate_record
    climate = ledger.climate.record if ledger.climate is not None else None
    record, _ = hourly(ledger.logs, ledger, folder, None)
    outdoors, _ = hourly(() if climate is None else (climate,), ledger, folder, None)
    return record, outdoors


def _same_logs(one: Ledger, other: Ledger) -> bool:
    """Whether two ledgers read their logs alike; on which lines the sections stand does not matter."""
    return re.sub(r"line=\w+", "", repr(one.logs)) == re.sub(r"line=\w+", "", repr(other.logs))


def changed_files(was: Mapping[str, str], now: Mapping[str, str]) -> list[FileChange]:
    """Log files that came, went or hold other bytes."""
    found = [FileChange(name, Change.ADDED) for name in now if name not in was]
    found += [FileChange(name, Change.REMOVED) for name in was if name not in now]
    found += [FileChange(name, Change.CHANGED) for name in now if name in was and was[name] != now[name]]
    return found
