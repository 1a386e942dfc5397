"""Sums of the part of many numbers above a moving threshold, exact and quick for thousands of thresholds."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ledger.heat.rungs import Floats


@dataclass(frozen=True, slots=True, eq=False)
class Excess:
    """S(x) = Σ w · max(0, m − x): piecewise linear in x, its corners at the margins themselves.

    Attributes
    ----------
    margins : sorted margins m. [K]
    weight_above : Σ of the weights from each margin upwards, one entry more than margins, the last 0.
    product_above : Σ of w · m in the same way.
    """

    margins: Floats
    weight_above: Floats
    product_above: Floats

    @classmethod
    def of(cls, margins: Floats, weights: Floats) -> Excess:
        """Sort the margins once.

        Parameters
        ----------
        margins : numbers whose excess is summed. [K]
        weights : weight of each. [-]
        """
        order = np.argsort(margins)
        m, w = np.asarray(margins, dtype=np.float64)[order], np.asarray(weights, dtype=np.float64)[order]
        return cls(m, _from_the_end(w), _from_the_end(w * m))

    def above(self, thresholds: Floats | float) -> Floats:
        """S at each threshold [weight · K].

        Parameters
        ----------
        thresholds : x. [K]

        Returns
        -------
        array : Σ w · max(0, m − x).
        """
        x = np.asarray(thresholds, dtype=np.float64)
        first = np.searchsorted(self.margins, x, side="right")
        return np.asarray(self.product_above[first] - x * self.weight_above[first])


def _from_the_end(values: Floats) -> Floats:
    return np.asarray(np.r_[np.cumsum(values[::-1])[::-1], 0.0], dtype=np.float64)
