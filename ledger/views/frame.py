"""Results that come as many, as a table for those who work in Python."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, is_dataclass

import pandas as pd

Table = pd.DataFrame


def frame(rows: Sequence[object]) -> Table:
    """One row each, one column a field, the first field as index.

    Parameters
    ----------
    rows : results of one kind.

    Returns
    -------
    Table : empty where there are none; what could not be reckoned is None or NaN.

    Raises
    ------
    TypeError : what is given is no sequence of results.
    """
    if not rows:
        return pd.DataFrame()
    first = rows[0]
    if not is_dataclass(first) or isinstance(first, type):
        raise TypeError("a table is made of results: answer.plans, answer.cash_flow, answer.seasons and their like")
    names = [one.name for one in fields(first)]
    data = pd.DataFrame([[getattr(row, name) for name in names] for row in rows], columns=names)
    return data.set_index(names[0])
