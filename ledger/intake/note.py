"""Noting lines in a ledger: under a lock, checked before and after, whole or not at all."""

from __future__ import annotations

import contextlib
import errno
import os
import re
import stat
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

import filelock

from ledger.errors import Complaint, LedgerError, OutputError, Place
from ledger.intake.ledger_bytes import LARGEST_BYTES, text_of
from ledger.intake.ledger_file import bytes_of, ledger_of
from ledger.intake.note_line import Book, NewLine
from ledger.intake.note_text import Added, with_lines
from ledger.model.book import RunningLine
from ledger.model.ledger import Ledger

BACKUP = ".before"
"""Behind the ledger's name: the file as it was before the last line was noted."""
WAIT_S = 60.0
POLL_S = 0.005
"""So often a waiting note looks whether the lock is free; for twice as long a note that is done leaves it to others, so
that one program noting line after line does not keep another out for a minute."""

Write = Callable[[Path, bytes], None]
_LEFT_OVER = r"\.{name}(?:{backup})?\.[0-9a-f]{{8}}\.part"


@dataclass(frozen=True, slots=True)
class Skipped:
    """A line that stands in the ledger already, at `stands_at` there (None: not known)."""

    line: NewLine
    stands_at: int | None


@dataclass(frozen=True, slots=True)
class Noted:
    """What was added (`starts`: at which lines of the file), what was left out, and the ledger that came of it.

    `like`: where a line that was added all the same has its like already. `raw`: the bytes of the new file.
    """

    path: Path
    ledger: Ledger
    raw: bytes
    added: tuple[NewLine, ...]
    skipped: tuple[Skipped, ...] = ()
    starts: tuple[int, ...] = ()
    like: tuple[Skipped, ...] = ()


def note_line(path: Path, line: NewLine, *, write: Write | None) -> Noted:
    """Add one line, even where its like stands already (two bags of pellets on one day), which is then said.

    `write` puts a file in its place whole; None: only look.

    Raises
    ------
    LedgerError : the ledger has a fault, or would have one with the line; nothing is changed.
    OutputError : the ledger is locked by another program for a minute, or cannot be written.
    """
    with contextlib.nullcontext(_real(path)) if write is None else locked(path) as real:
        raw = bytes_of(real)
        added, before, after = _checked(raw, [line], path.name)
        like = _twins(before, after, added, [line])
        if write is not None:
            _keep(real, raw, added.raw, write)
    return Noted(path, after, added.raw, (line,), (), added.starts, like)


def note_new_lines(path: Path, lines: Sequence[NewLine], *, write: Write | None) -> Noted:
    """Add those of some lines of the season book that do not stand there yet. `write` None: only look.

    A line stands there when one of the same date, `for`, what, amount and use does; two like lines of one export are
    two lines, and one is added when the book holds only one.

    Raises
    ------
    LedgerError, OutputError : as `note_line`.
    """
    with contextlib.nullcontext(_real(path)) if write is None else locked(path) as real:
        raw = bytes_of(real)
        skipped = _standing(raw, lines, path.name)
        left_out = {id(one.line) for one in skipped}
        new = tuple(line for line in lines if id(line) not in left_out)
        if not new:
            return Noted(path, _ledger(raw, path.name), raw, (), skipped)
        added, _, after = _checked(raw, new, path.name)
        if write is not None:
            _keep(real, raw, added.raw, write)
    return Noted(path, after, added.raw, new, skipped, added.starts)


@contextlib.contextmanager
def locked(path: Path) -> Iterator[Path]:
    """The real file behind a path (a link is followed), held so that no other note can write it meanwhile.

    Raises
    ------
    OutputError : another one holds it for longer than a minute, or its folder takes no lock.
    """
    real = _real(path)
    beside = str(real.with_name(f".{real.name}.lock"))
    lock = filelock.FileLock(beside, timeout=WAIT_S, mode=_mode(real) | 0o600)
    try:
        lock.acquire(poll_interval=POLL_S)
    except filelock.Timeout:
        mend = "wait until the other one is done, then note the line again"
        raise OutputError([Complaint("another note is being written", Place(path.name), mend)]) from None
    except (OSError, NotImplementedError) as problem:
        code = getattr(problem, "errno", None)
        what = "its folder may not be written" if code in (errno.EACCES, errno.EPERM, errno.EROFS) else str(problem)
        mend = "note it where the ledger may be written; nothing was changed"
        raise OutputError([Complaint(what, Place(path.name), mend)]) from None
    try:
        yield real
    finally:
        lock.release()
        time.sleep(2 * POLL_S)


def _real(path: Path) -> Path:
    """The file behind a link, however many links there are.

    Raises
    ------
    OutputError : the links go round in a circle.
    """
    try:
        return path.resolve()
    except (RuntimeError, OSError):
        mend = "name the ledger itself; nothing was changed"
        raise OutputError([Complaint("this is a link that leads to no file", Place(path.name), mend)]) from None


def _mode(real: Path) -> int:
    """Who may read and write the ledger may do so with what stands beside it: two growers may keep one book."""
    try:
        return stat.S_IMODE(real.stat().st_mode)
    except OSError:
        return 0o644


def _checked(raw: bytes, lines: Sequence[NewLine], file: str) -> tuple[Added, Ledger, Ledger]:
    """The ledger without and with the lines; a fault that comes with them is told of the option that it came by."""
    before = _ledger(raw, file)
    added = with_lines(raw, lines, file)
    if len(added.raw) > LARGEST_BYTES:
        raise LedgerError([Complaint("the ledger would grow too large", Place(file), "begin a new one")])
    try:
        return added, before, ledger_of(added.text, file)
    except LedgerError as fault:
        raise LedgerError([_as_given(c, added, lines) for c in fault.complaints]) from None


def _standing(raw: bytes, lines: Sequence[NewLine], file: str) -> tuple[Skipped, ...]:
    """Those of some lines that stand in the book already."""
    if not lines:
        return ()
    added, before, after = _checked(raw, lines, file)
    return _twins(before, after, added, lines)


def _ledger(raw: bytes, file: str) -> Ledger:
    return ledger_of(text_of(raw, file), file)


def _as_given(complaint: Complaint, added: Added, lines: Sequence[NewLine]) -> Complaint:
    """A complaint about a line that is not yet in the file, told of what the person gave."""
    line = complaint.place.line
    if line is None or line < added.first:
        return complaint
    if line > added.last:
        place = Place(complaint.place.file, line - (added.last - added.first + 1), complaint.place.entry)
        return Complaint(complaint.what, place, complaint.mend, complaint.excerpt)
    key = re.sub(r"^\w+\[\d+\]\.?", "", complaint.place.entry).replace(".", "-").replace("_", "-")
    heads = [i for i, one in enumerate(added.text.split("\n")[added.first - 1 : line]) if one.startswith("[[")]
    new = lines[len(heads) - 1] if heads else lines[0]
    mend = complaint.mend.replace("rolls_over_at = ", "--meter-rolls-over-at ")
    if new.origin is not None:
        return Complaint(complaint.what, Place("the file to import", new.origin, key), mend)
    return Complaint(complaint.what, Place(f"--{key}" if key else "the new line"), mend)


def _keep(real: Path, old: bytes, new: bytes, write: Write) -> None:
    """The old file beside, then the new one in its place, each whole; what a killed note left is swept away."""
    if not os.access(real, os.W_OK):
        mend = "take the protection off if the line is to be noted; nothing was changed"
        raise OutputError([Complaint("the file is protected against writing", Place(real.name), mend)])
    pattern = re.compile(_LEFT_OVER.format(name=re.escape(real.name), backup=re.escape(BACKUP)))
    for stray in real.parent.iterdir():
        if pattern.fullmatch(stray.name):
            with contextlib.suppress(OSError):
                stray.unlink()
    _keep_backup(real, old, write)
    if bytes_of(real) != old:
        mend = "save it in the editor, close it there, and note the line again"
        raise OutputError([Complaint("the file was changed by another program meanwhile", Place(real.name), mend)])
    write(real, new)


def _keep_backup(real: Path, old: bytes, write: Write) -> None:
    """The old file beside, for the eyes of those who may read the ledger; never through a link into another file."""
    backup = real.with_name(real.name + BACKUP)
    if backup.is_symlink():
        backup.unlink()
    write(backup, old)
    with contextlib.suppress(OSError):
        backup.chmod(_mode(real))


def _twins(before: Ledger, after: Ledger, added: Added, lines: Sequence[NewLine]) -> tuple[Skipped, ...]:
    """Those of the new lines whose like stands in the book, each line of the book taken once."""
    if any(line.book is not Book.RUNNING for line in lines):
        return ()
    standing: dict[tuple[object, ...], list[RunningLine]] = {}
    for one in before.running:
        standing.setdefault(_like(one), []).append(one)
    new = sorted((one for one in after.running if one.line and added.first <= one.line), key=lambda x: x.line or 0)
    twins = []
    for line, read in zip(lines, new, strict=True):
        there = standing.get(_like(read))
        if there:
            twins.append(Skipped(line, there.pop(0).line))
    return tuple(twins)


def _like(line: RunningLine) -> tuple[object, ...]:
    """What makes two lines the same: figures to the tenth digit, words without case and doubled blanks."""
    amount = None if line.amount is None else Decimal(line.amount)
    use = [None if x is None else f"{x:.10g}" for x in (line.energy_kwh, line.quantity)]
    return (line.date, line.target, " ".join(line.what.casefold().split()), amount, *use)
