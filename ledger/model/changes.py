"""What changed between an earlier appraisal and this one, and what each change did to the answer."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Change(StrEnum):
    """How an entry or a file differs from the earlier appraisal."""

    ADDED = "added"
    REMOVED = "removed"
    CHANGED = "changed"


@dataclass(frozen=True, slots=True)
class Headline:
    """The two figures that changes are followed by: worth [currency] and heat not bought in a typical year [kWh]."""

    npv: float | None
    avoided_kwh: float | None


@dataclass(frozen=True, slots=True)
class InputChange:
    """One entry of the ledger, or a whole row of it.

    Attributes
    ----------
    path : such as `source[wood stove].price`.
    change : how it differs.
    was, now : as typed; "" where it did not stand.
    npv_effect, avoided_kwh_effect : the answer now less the answer with this alone put back; None: it cannot be put
        back by itself.
    """

    path: str
    change: Change
    was: str
    now: str
    npv_effect: float | None
    avoided_kwh_effect: float | None


@dataclass(frozen=True, slots=True)
class FileChange:
    """A log file, by its bare name."""

    file: str
    change: Change


@dataclass(frozen=True, slots=True)
class Since:
    """What changed since an earlier appraisal.

    Attributes
    ----------
    file : bare name of the earlier results.
    was, now : the answer then and now.
    version_was, version_now : of the program.
    inputs_known : whether the earlier results say what stood in the ledger.
    inputs, files : what changed; `ledger_changed`: whether the bytes of the ledger did.
    rest_npv, rest_avoided_kwh : what the changed entries, each put back alone, do not explain.
    """

    file: str
    was: Headline
    now: Headline
    version_was: str
    version_now: str
    ledger_changed: bool
    inputs_known: bool
    inputs: tuple[InputChange, ...]
    files: tuple[FileChange, ...]
    rest_npv: float | None
    rest_avoided_kwh: float | None
