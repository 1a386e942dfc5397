"""Calendar months by name."""

from __future__ import annotations

from collections.abc import Iterable

MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def month_names(months: Iterable[int]) -> str:
    """Months in a row of words.

    Parameters
    ----------
    months : numbers from 1, January.

    Returns
    -------
    str : names with commas between them.
    """
    return ", ".join(MONTHS[int(m) - 1] for m in months)
