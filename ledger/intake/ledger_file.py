"""Reading the ledger file: bytes to text, text to the frozen ledger."""

from __future__ import annotations

import hashlib
import stat
from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Any

from ledger.errors import Complaint, LedgerError, Place
from ledger.intake.desk import Desk
from ledger.intake.ledger_bytes import LARGEST_BYTES, text_of
from ledger.intake.money_values import NO_CURRENCY, Coin, coins
from ledger.intake.resolve import resolve
from ledger.intake.sheets import read_sheets
from ledger.intake.slips import nearest
from ledger.intake.syntax import parse
from ledger.intake.toml_places import places_of
from ledger.model.ledger import Ledger


@dataclass(frozen=True, slots=True)
class Reading:
    """A ledger as read, where it was read, the hash of its bytes, and its text."""

    ledger: Ledger
    path: FilePath
    sha256: str
    text: str


def read_ledger(path: FilePath | str) -> Reading:
    """Read a ledger file.

    Parameters
    ----------
    path : the TOML file. [-]

    Returns
    -------
    Reading : the ledger in SI units with every default filled in and listed, its hash (SHA-256, hex), its text.

    Raises
    ------
    LedgerError : the file cannot be opened; one fault of syntax, alone; or all other faults, in the order of lines.
    """
    where = FilePath(path)
    raw = bytes_of(where)
    text = text_of(raw, where.name)
    return Reading(ledger_of(text, where.name), where, hashlib.sha256(raw).hexdigest(), text)


def ledger_of(text: str, file: str) -> Ledger:
    """Read the text of a ledger.

    Parameters
    ----------
    text : TOML. [-]
    file : bare name of the file, for complaints. [-]

    Raises
    ------
    LedgerError : as `read_ledger`.
    """
    text = text.replace("\r\n", "\n")
    document = parse(text, file)
    try:
        places = places_of(text)
    except RecursionError:
        mend = "a ledger needs three levels at most: close some"
        raise LedgerError([Complaint("brackets are nested too deeply to be read", Place(file), mend)]) from None
    desk = Desk(file, places, Coin(NO_CURRENCY, 2))
    desk.document = document
    desk.coin = _coin(desk, document)
    return resolve(desk, read_sheets(desk, document), title=FilePath(file).stem)


def _coin(desk: Desk, document: dict[str, Any]) -> Coin:
    """The ledger's currency and its smallest coin; without one, two decimals."""
    head = document.get("ledger")
    typed = head.get("currency") if isinstance(head, dict) else None
    if not isinstance(typed, str):
        return Coin(NO_CURRENCY, 2)
    code = typed.strip().upper()
    if code not in coins():
        near = nearest(code, coins())
        mend = 'write the three letters of ISO 4217, such as "EUR" or "USD"'
        desk.fault(
            ("ledger", "currency"), f'"{typed}" is no currency code', f'did you mean "{near}"? {mend}' if near else mend
        )
        return Coin(NO_CURRENCY, 2)
    return Coin(code, coins()[code])


def bytes_of(path: FilePath) -> bytes:
    """The bytes of a plain file of sensible size.

    Raises
    ------
    LedgerError : there is none, or it cannot be opened.
    """
    try:
        status = path.stat()
    except FileNotFoundError:
        raise _cannot(path, "there is no such file", _near_file(path)) from None
    except (OSError, ValueError) as error:
        raise _cannot(path, f"it cannot be opened ({_why(error)})", "check the path and its permissions") from None
    if stat.S_ISDIR(status.st_mode):
        raise _cannot(path, "this is a folder", f"name the ledger file in it, such as {path.name}/ledger.toml")
    if not stat.S_ISREG(status.st_mode):
        raise _cannot(path, "this is no plain file", "name a ledger file")
    if status.st_size > LARGEST_BYTES:
        size = status.st_size / 1e6
        raise _cannot(
            path,
            f"it has {size:.0f} MB; a ledger has {LARGEST_BYTES / 1e6:.0f} at most",
            "is this a log? name the ledger",
        )
    try:
        return path.read_bytes()
    except OSError as error:
        raise _cannot(path, f"it cannot be read ({_why(error)})", "check its permissions") from None


def _why(error: Exception) -> str:
    return (getattr(error, "strerror", None) or type(error).__name__).lower()


def _near_file(path: FilePath) -> str:
    try:
        there = sorted(one.name for one in path.parent.glob("*.toml"))
    except OSError:
        there = []
    near = nearest(path.name, there)
    if near is not None:
        return f"did you mean {near}?"
    return (
        f"the folder holds: {', '.join(there[:6])}"
        if there
        else "`warmledger start FOLDER` writes a ledger to begin with"
    )


def _cannot(path: FilePath, what: str, mend: str) -> LedgerError:
    return LedgerError([Complaint(what, Place(path.name), mend)])
