"""What a test takes to be there: it fails at once, with a name, where it is not."""

from __future__ import annotations

from typing import TypeVar

from ledger.money.project import Number

Thing = TypeVar("Thing")


def known(thing: Thing | None) -> Thing:
    """The thing itself; a failed test where it is None."""
    assert thing is not None, "None where the test takes a value to be known"
    return thing


def known_float(value: Number | None) -> float:
    """One number; a failed test where it is None or an array over draws."""
    assert isinstance(value, float | int), f"{value!r} where the test takes one number to be known"
    return value
