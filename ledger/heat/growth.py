"""Growing degree-days of a season's crop window: indoors, outdoors, over outdoors, by the build."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ledger.heat.degree_days import HOURS_PER_DAY, above_base_k, days_of, growing_degree_days_k_d
from ledger.heat.prepared import Integers, YearHours, by_month
from ledger.heat.rungs import Flags, Floats
from ledger.model.house import Crop


@dataclass(frozen=True, slots=True, eq=False)
class Growth:
    """Degree-days of the days on which both thermometers speak, by month of the crop window.

    Attributes
    ----------
    indoor_k_d, outdoor_k_d : by calendar month, index 0 January. [K·d]
    days, days_valid : days of the crop window in each month, and those with at least 20 valid hours.
    dark_hours, dark_hours_valid : dark hours of the crop window in each month, and those that are valid. [h]
    """

    indoor_k_d: Floats
    outdoor_k_d: Floats
    days: Integers
    days_valid: Integers
    dark_hours: Floats
    dark_hours_valid: Floats

    @property
    def known(self) -> bool:
        """Whether any day was logged."""
        return bool(np.any(self.days_valid > 0))


def growth_of(year: YearHours, crop: Crop) -> Growth:
    """Degree-days of the crop window inside the twelve months from the season's first day.

    Days not logged are unknown and add nothing; `days_valid` against `days` says how many.

    Parameters
    ----------
    year : the hours.
    crop : base, ceiling, method, window.

    Returns
    -------
    Growth
    """
    inside = year.in_crop
    both = np.where(year.valid & inside, 1.0, np.nan)
    indoor = days_of(year.indoor_c * both, year.day_number, crop, step_h=year.step_h)
    outdoor = days_of(year.outdoor_c * both, year.day_number, crop, step_h=year.step_h)
    all_days, first_row = np.unique(year.day_number[inside], return_index=True)
    month_of_day = year.month[inside][first_row]
    month = month_of_day[np.searchsorted(all_days, indoor.day_number)] if len(indoor.day_number) else np.empty(0, int)
    return Growth(
        indoor_k_d=by_month(month, growing_degree_days_k_d(indoor, crop)),
        outdoor_k_d=by_month(month, growing_degree_days_k_d(outdoor, crop)),
        days=by_month(month_of_day, np.ones(len(month_of_day))).astype(np.int64),
        days_valid=by_month(month, np.ones(len(month))).astype(np.int64),
        dark_hours=_hours_by_month(year, inside & year.dark),
        dark_hours_valid=_hours_by_month(year, inside & year.dark & year.valid),
    )


@dataclass(frozen=True, slots=True, eq=False)
class BuildGrowth:
    """What the build added to growth, by calendar month, index 0 January.

    `k_d` over the hours that are known [K·d]; `hours_known` of `hours` that would have been asked.
    """

    k_d: Floats
    hours_known: Floats
    hours: Floats


def growth_by_build(year: YearHours, crop: Crop, bare_c: Floats) -> BuildGrowth:
    """What the build added to growth in the dark.

        Σ (above(T_i) − above(T_b)) / 24 over dark valid hours of the crop window

    Differs from `indoor − outdoor`, which is the work of glass and build together. By day the build's part is not
    known without a model: a store takes heat out of the air then.

    Parameters
    ----------
    year : the hours.
    crop : base, ceiling, window.
    bare_c : the bare house's temperature on the grid, NaN where unknown. [°C]

    Returns
    -------
    BuildGrowth
    """
    asked = year.in_crop & year.dark
    return _build_growth(year, crop, (asked & year.valid, asked), (year.indoor_c, bare_c))


def growth_by_build_modelled(year: YearHours, crop: Crop, built_c: Floats, bare_c: Floats) -> BuildGrowth:
    """The same from the model's free runs, all hours of the crop window.

    Parameters
    ----------
    year : the hours.
    crop : base, ceiling, window.
    built_c, bare_c : the free runs on the grid, NaN where not run. [°C]

    Returns
    -------
    BuildGrowth
    """
    return _build_growth(year, crop, (year.in_crop, year.in_crop), (built_c, bare_c))


def _build_growth(
    year: YearHours, crop: Crop, hours: tuple[Flags, Flags], temperatures: tuple[Floats, Floats]
) -> BuildGrowth:
    (usable, asked), (built_c, bare_c) = hours, temperatures
    rows = np.flatnonzero(usable & np.isfinite(built_c) & np.isfinite(bare_c))
    built = above_base_k(built_c[rows], base_c=crop.base_c, ceiling_c=crop.ceiling_c)
    bare = above_base_k(bare_c[rows], base_c=crop.base_c, ceiling_c=crop.ceiling_c)
    step = np.full(len(rows), year.step_h)
    return BuildGrowth(
        k_d=by_month(year.month[rows], (built - bare) * step / HOURS_PER_DAY),
        hours_known=by_month(year.month[rows], step),
        hours=by_month(year.month[asked], np.full(np.count_nonzero(asked), year.step_h)),
    )


def _hours_by_month(year: YearHours, which: Flags) -> Floats:
    return by_month(year.month[which], np.full(np.count_nonzero(which), year.step_h))
