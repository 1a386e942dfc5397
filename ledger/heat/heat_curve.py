"""Need and avoided heat as a function of what is uncertain, for thousands of draws at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ledger.heat.excess import Excess
from ledger.heat.rungs import WATT_HOURS_PER_KWH, CountedAir, Floats, need_kwh

H_FACTORS = np.linspace(0.3, 2.5, 12)
SHIFTS_K = np.r_[np.linspace(-12.0, 12.0, 13), 18.0, 30.0]


@dataclass(frozen=True, slots=True, eq=False)
class HeatCurve:
    """Heat missing below the hold temperature, summed over weighted hours, against H and a shift of the temperature.

        Q(H, x) = H · Σ w · max(0, T_h − T − x) · Δt        dark hours, exact
                + the same with the sun taken off           day hours, read off a grid (only with `count = "balance"`)

    Attributes
    ----------
    night : excess of hold over temperature in the dark hours. [K]
    night_h_w_per_k, day_h_w_per_k : coefficients at likely values; a draw scales the day's like the night's. [W/K]
    day_grid : day hours' heat by H factor and shift; None without day hours. [kWh]
    step_h : length of a row. [h]
    """

    night: Excess
    night_h_w_per_k: float
    day_grid: Floats | None
    step_h: float

    def kwh(self, h_w_per_k: Floats | float, shift_k: Floats | float) -> Floats:
        """Heat at each draw.

        Parameters
        ----------
        h_w_per_k : heat-loss coefficient. [W/K]
        shift_k : how much warmer the temperature was than likely. [K]

        Returns
        -------
        array : heat. [kWh]
        """
        h = np.asarray(h_w_per_k, dtype=np.float64)
        dark = h * self.night.above(shift_k) * (self.step_h / WATT_HOURS_PER_KWH)
        if self.day_grid is None:
            return np.asarray(dark)
        return np.asarray(dark + _bilinear(self.day_grid, h / self.night_h_w_per_k, np.asarray(shift_k)))


def heat_curve(
    air: CountedAir, *, temp_c: Floats, hold_c: float, h_w_per_k: Floats, weights: Floats, night_h_w_per_k: float
) -> HeatCurve:
    """Lay out the curve of one set of hours.

    Parameters
    ----------
    air : the hours.
    temp_c : temperature that is brought up to the hold: the bare house's (need) or the built one's (shortfall). [°C]
    hold_c : hold temperature. [°C]
    h_w_per_k : coefficient of each hour at likely values. [W/K]
    weights : how often each hour stands in the year. [-]
    night_h_w_per_k : coefficient by night at likely values. [W/K]

    Returns
    -------
    HeatCurve
    """
    night = ~air.day
    grid = _day_grid(air, temp_c, h_w_per_k, weights, hold_c) if np.any(air.day) else None
    return HeatCurve(Excess.of((hold_c - temp_c)[night], weights[night]), night_h_w_per_k, grid, air.step_h)


def _day_grid(air: CountedAir, temp_c: Floats, h_w_per_k: Floats, weights: Floats, hold_c: float) -> Floats:
    """Heat of the day hours by H factor (rows) and shift (columns) [kWh]."""
    day = air.day
    by_day = CountedAir(air.outdoor_c[day], air.indoor_c[day], air.day[day], air.sun_gain_w[day], air.step_h)

    def heat(factor: float, shift_k: float) -> float:
        h = factor * h_w_per_k[day]
        return float(weights[day] @ need_kwh(by_day, hold_c=hold_c, bare_c=temp_c[day] + shift_k, bare_w_per_k=h))

    return np.array([[heat(factor, shift_k) for shift_k in SHIFTS_K] for factor in H_FACTORS])


def _bilinear(grid: Floats, factors: Floats, shifts: Floats) -> Floats:
    """Straight-line reading of the day grid; held at its edges."""
    factors, shifts = np.broadcast_arrays(factors, shifts)
    row, up = _place(H_FACTORS, factors)
    column, right = _place(SHIFTS_K, shifts)
    low = grid[row, column] * (1.0 - right) + grid[row, column + 1] * right
    high = grid[row + 1, column] * (1.0 - right) + grid[row + 1, column + 1] * right
    return np.asarray(low * (1.0 - up) + high * up)


def _place(axis: Floats, values: Floats) -> tuple[np.ndarray[tuple[int, ...], np.dtype[np.intp]], Floats]:
    inside = np.clip(values, axis[0], axis[-1])
    index = np.clip(np.searchsorted(axis, inside, side="right") - 1, 0, len(axis) - 2)
    return index, np.asarray((inside - axis[index]) / (axis[index + 1] - axis[index]))
