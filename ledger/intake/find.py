"""Which file is the ledger when none, or only its folder, is named."""

from __future__ import annotations

import re
from pathlib import Path

from ledger.errors import Complaint, LedgerError, Place

LOOKED_AT_BYTES = 65_536
_SECTIONS = re.compile(
    rb"^\s*\[\s*(site|house|hold|money|ledger)\s*\]|^\s*\[\[\s*(build|source|log)\s*\]\]", re.MULTILINE
)
_ENOUGH_SECTIONS = 2
_TO_START = "name the ledger file, or write one with: warmledger start FOLDER"


def find_ledger(named: Path | None, *, folder: Path) -> Path:
    """The ledger file itself.

    Parameters
    ----------
    named : what the person gave: a file, a folder that holds one ledger, or None.
    folder : where to look when nothing was given.

    Raises
    ------
    LedgerError : there is no such file, no ledger in the folder, or more than one.
    """
    if named is not None and not named.is_dir():
        if not named.exists():
            raise _refusal(named.name, "there is no such file", _near(named))
        return named
    looked_in = folder if named is None else named
    found = [path for path in sorted(looked_in.glob("*.toml")) if _is_ledger(path)]
    if not found:
        raise _refusal(looked_in.name or "this folder", "there is no ledger in this folder", _TO_START)
    if len(found) > 1:
        names = ", ".join(path.name for path in found)
        raise _refusal(looked_in.name or "this folder", f"there are {len(found)} ledgers: {names}", "name one of them")
    return found[0]


def _refusal(name: str, what: str, mend: str) -> LedgerError:
    return LedgerError([Complaint(what, Place(name), mend)])


def _near(named: Path) -> str:
    """What else could have been meant."""
    if not named.parent.is_dir():
        return "check the name of the folder"
    others = [path.name for path in sorted(named.parent.glob("*.toml")) if _is_ledger(path)]
    return f"there is {', '.join(others)}" if others else _TO_START


def _is_ledger(path: Path) -> bool:
    """Whether a file has sections as a ledger has them, whatever else may be wrong with it."""
    try:
        if not path.is_file():
            return False
        with path.open("rb") as file:
            begin = file.read(LOOKED_AT_BYTES)
    except OSError:
        return False
    if begin[:2] in (b"\xff\xfe", b"\xfe\xff"):
        begin = begin.replace(b"\x00", b"")
    return len({match.group().strip() for match in _SECTIONS.finditer(begin)}) >= _ENOUGH_SECTIONS
