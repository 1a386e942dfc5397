"""Which program answered, from which ledger and logs."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Program:
    """Which program answered."""

    name: str
    version: str


@dataclass(frozen=True, slots=True)
class LogHash:
    """A log file by its bare name and the hash of its bytes."""

    file: str
    sha256: str


@dataclass(frozen=True, slots=True)
class Typed:
    """An entry of the ledger by its path, as typed."""

    path: str
    value: str


@dataclass(frozen=True, slots=True)
class Identity:
    """Which ledger and logs were read; `inputs`: what stood in the ledger."""

    title: str
    currency: str
    file: str
    sha256: str
    logs: tuple[LogHash, ...]
    inputs: tuple[Typed, ...] = ()
