"""Writing a file whole or not at all."""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
import stat
from enum import Enum
from pathlib import Path

from ledger.errors import Complaint, OutputError, Place

FULL_DISK = (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC))
"""What a system answers when there is no room left; not every system knows quotas."""


class Existing(Enum):
    """What to do with a file that is already there."""

    KEEP = "keep"
    REPLACE = "replace"


def write_whole(path: Path, content: bytes, *, existing: Existing) -> None:
    """Write `content` to `path` so that at every moment the old file or the new one is there, whole.

    A temporary file in the same folder is written, flushed to the disk and moved into place.

    Parameters
    ----------
    path : where to write; its folder must be there.
    content : the bytes.
    existing : whether a file of that name may be replaced.

    Raises
    ------
    OutputError : the path is a folder or a device, its folder is missing or closed to us, a file is there and is to be
        kept, it is open elsewhere, or the disk is full. Nothing is left behind.
    """
    refuse_unwritable(path, existing=existing)
    target = path.resolve() if path.is_symlink() else path
    beside = target.with_name(f".{target.name[:80]}.{secrets.token_hex(4)}.part")
    try:
        _write_beside(beside, content, like=target)
        if existing is Existing.KEEP:
            _move_to_free_name(beside, target)
        else:
            os.replace(beside, target)
        _flush_folder(target.parent)
    except OSError as problem:
        raise OutputError([_complaint(path, problem)]) from problem
    finally:
        with contextlib.suppress(OSError):
            beside.unlink(missing_ok=True)


def refuse_unwritable(path: Path, *, existing: Existing) -> None:
    """Say before the long work what would stop the writing after it.

    Raises
    ------
    OutputError : as `write_whole`, as far as it can be seen beforehand.
    """
    place = Place(path.name or str(path))
    try:
        mode = path.stat().st_mode if path.exists() else None
        folder_there = path.parent.is_dir()
    except (OSError, ValueError) as problem:
        raise OutputError([_complaint(path, problem)]) from problem
    if mode is not None and stat.S_ISDIR(mode):
        raise OutputError([Complaint("this is a folder, not a file", place, "give the name of a file in it")])
    if mode is not None and not stat.S_ISREG(mode):
        raise OutputError([Complaint("this is a device, not a file", place, "give the name of an ordinary file")])
    if not folder_there:
        mend = "make the folder first, or give another place"
        raise OutputError([Complaint("its folder is not there", place, mend)])
    if mode is not None and existing is Existing.KEEP:
        raise OutputError([Complaint("a file of this name is there already", place, _TO_REPLACE)])


def refuse_foreign(path: Path, *, begins: bytes, what: str) -> None:
    """Refuse to replace a file that does not begin like the ones we write: it may be a ledger, a log, a letter.

    Raises
    ------
    OutputError : such a file is there.
    """
    if not path.is_file():
        return
    try:
        with path.open("rb") as file:
            head = file.read(len(begins))
    except OSError as problem:
        raise OutputError([_complaint(path, problem)]) from problem
    if head and head != begins:
        place = Place(path.name)
        raise OutputError([Complaint(f"a file of this name is there that is no {what}", place, "give another name")])


_TO_REPLACE = "give another name, or add --force to replace it"


def _write_beside(beside: Path, content: bytes, *, like: Path) -> None:
    descriptor = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
    with os.fdopen(descriptor, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    if like.exists():
        with contextlib.suppress(OSError):
            beside.chmod(stat.S_IMODE(like.stat().st_mode))


def _move_to_free_name(beside: Path, target: Path) -> None:
    """Give the finished file its name only if that is still free, even against another program at the same moment."""
    try:
        os.link(beside, target)
    except FileExistsError:
        raise
    except OSError:  # a file system without links: the short check is all there is
        if target.exists():
            raise FileExistsError(errno.EEXIST, "exists", str(target)) from None
        os.replace(beside, target)


def _flush_folder(folder: Path) -> None:
    """Make the new name itself last through a power cut, where the system can."""
    with contextlib.suppress(OSError, AttributeError):
        descriptor = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def _complaint(path: Path, problem: Exception) -> Complaint:
    place = Place(path.name or str(path))
    code = problem.errno if isinstance(problem, OSError) else None
    if code in FULL_DISK:
        return Complaint("the disk is full", place, "make room, or write to another disk; nothing was changed")
    if code in (errno.EACCES, errno.EPERM, errno.EROFS):
        mend = "close it if it is open in another program, or give a place that you may write to"
        return Complaint("it may not be written", place, mend)
    if code == errno.EEXIST:
        return Complaint("a file of this name is there already", place, _TO_REPLACE)
    if code == errno.ENAMETOOLONG:
        return Complaint("its name is too long", place, "give a shorter name")
    reason = problem.strerror if isinstance(problem, OSError) and problem.strerror else "the name cannot be used"
    return Complaint(f"it cannot be written ({reason.lower()})", place, "give another place; nothing was changed")
