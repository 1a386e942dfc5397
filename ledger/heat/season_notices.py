"""What has to be said beside a season's figures."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ledger.errors import Doubt, Notice
from ledger.heat.months import month_names
from ledger.heat.prepared import YearHours
from ledger.heat.results import SeasonHeat
from ledger.heat.rungs import DOUBTFUL_SHARE_OF_ADDED
from ledger.heat.season import Reckoned
from ledger.model.house import BareWay, CountRule
from ledger.model.ledger import Ledger, Show

ENOUGH_COVER = 0.9
LEAST_HEAT_PER_KWH_OF_FAN = 2.0

LITTLE_HEAT = Doubt(
    "little-heat-per-fan-kwh",
    f"each kilowatt-hour that the build used avoided less than {LEAST_HEAT_PER_KWH_OF_FAN:g} kWh of heat; under 1 the "
    "fan uses more than it gives",
    "look at the fan's watts and the meter; a thermostat that runs it less, or only when the bed is warmer than the "
    "air, may save more than it costs",
    "common practice, no source: what a heat pump gives in the cold",
)


def season_notices(heat: SeasonHeat, year: YearHours, ledger: Ledger, reckoned: Reckoned) -> tuple[Notice, ...]:
    """Warnings about one season; none of them changes a figure.

    Parameters
    ----------
    heat : the season's figures.
    year : its hours.
    ledger : hold and house.
    reckoned : the way whose hours the rungs rest on.

    Returns
    -------
    tuple of Notice
    """
    name = f"Season {heat.season}"
    return tuple(
        Notice(code, f"{name}: {text}", path)
        for code, text, path in (
            *_of_cover(year, ledger, reckoned),
            *_of_the_bare_house(heat, ledger),
            *_of_the_answer(heat, ledger),
            *_of_the_unknown(heat, year),
        )
    )


Said = Iterator[tuple[str, str, str]]


def _of_cover(year: YearHours, ledger: Ledger, reckoned: Reckoned) -> Said:
    counted, used = np.count_nonzero(year.counted), len(reckoned.rows)
    if used < ENOUGH_COVER * counted:
        yield (
            "cover",
            f"{used / counted:.0%} of the hours that count were logged ({used * year.step_h:.0f} of "
            f"{counted * year.step_h:.0f}); sums are over these hours and an hour not logged earns nothing.",
            "seasons.coverage",
        )
    left_out = np.count_nonzero(year.counted_valid) - used
    if left_out > 0:
        yield (
            "bare-hours-missing",
            f"the bare house's temperature ({reckoned.way.value}) is missing in {left_out * year.step_h:.0f} hours "
            "that count; they are left out of need and saving.",
            "seasons.bare",
        )
    if ledger.hold.count is CountRule.BALANCE and not np.any(np.isfinite(year.channels["sun"])):
        yield (
            "balance-without-sun",
            'count = "balance" needs a sun channel and the log has none; only dark hours are counted.',
            "hold.count",
        )


def _of_the_bare_house(heat: SeasonHeat, ledger: Ledger) -> Said:
    wanted, used = ledger.house.bare.value, heat.bare.used
    if wanted not in (BareWay.AUTO.value, used):
        yield (
            "bare-way-not-possible",
            f'house.bare = "{wanted}" was asked for and this season\'s log does not allow it; used: {used}.',
            "house.bare",
        )
    if heat.bare_doubt_kwh > DOUBTFUL_SHARE_OF_ADDED * max(0.0, heat.rungs.added_kwh):
        yield (
            "bare-doubt",
            f"in hours that take {heat.bare_doubt_kwh:.0f} kWh off the {heat.rungs.added_kwh:.0f} kWh added, the bare "
            "house is reckoned warmer than the built one: its temperature is doubtful.",
            "seasons.bare_doubt_kwh",
        )
    if used == BareWay.LIFT.value:
        yield (
            "bare-by-lift",
            "nothing in the log shows what the bare house would have done; the saving stands on an assumed warmth of "
            "the unheated house and is a placeholder between the two ends of its range. Cheapest way to find out: "
            "nights with the fan off, in blocks of three or more, or a metered heater for three nights.",
            "seasons.bare",
        )


def _of_the_answer(heat: SeasonHeat, ledger: Ledger) -> Said:
    if heat.avoided_kwh < 0.0:
        yield (
            "negative-saving",
            f"at a hold temperature of {degrees_in_words(ledger.hold.temperature_c, ledger)} the build takes more heat "
            f"than it gives ({heat.avoided_kwh:.0f} kWh).",
            "seasons.avoided_kwh",
        )
    if heat.hours_below_hold > 0:
        yield (
            "not-held",
            f"the house was below its hold temperature in {heat.hours_below_hold} hours (short of "
            f"{heat.shortfall_kwh:.0f} kWh in the hours that count); part of the saving is heat that nobody would have "
            f"bought. Really bought: {heat.backup_delivered_kwh:.0f} kWh.",
            "seasons.shortfall_kwh",
        )
    per_kwh = heat.avoided_per_kwh_used
    if per_kwh is not None and per_kwh < LEAST_HEAT_PER_KWH_OF_FAN:
        yield (LITTLE_HEAT.code, _little_heat(per_kwh), "seasons.avoided_per_kwh_used")


def _little_heat(per_kwh: float) -> str:
    if per_kwh < 1.0:
        return (
            f"the build used more electricity than the heat avoided ({per_kwh:.1f} kWh for each kilowatt-hour): "
            f"an electric heater would have given more. To mend it {LITTLE_HEAT.mend}."
        )
    return f"each kilowatt-hour that the build used avoided {per_kwh:.1f} kWh of heat; a heat pump gives more."


def _of_the_unknown(heat: SeasonHeat, year: YearHours) -> Said:
    """Why a figure of the season is null."""
    if heat.need_whole_season_kwh is None:
        missing = np.setdiff1d(year.month[year.counted], year.month[year.counted_valid])
        why = f"{month_names(missing)} never logged" if len(missing) else "the house model had no weather for the gaps"
        yield (
            "whole-season-unknown",
            f"need and saving over the whole season are not reckoned: {why}.",
            "seasons.need_whole_season_kwh",
        )
    if heat.need_kwh <= 0.0 and heat.hours_valid > 0:
        yield (
            "no-need",
            "the bare house needed no heat in the hours logged, so that there is no share of the need to cover.",
            "seasons.passive_fraction",
        )
    if heat.gdd_indoor_k_d is None:
        yield (
            "degree-days-unknown",
            "no day of the crop window was logged for 20 hours; degree-days are unknown, not 0.",
            "seasons.gdd_indoor_k_d",
        )


def degrees_in_words(temp_c: float, ledger: Ledger) -> str:
    """A temperature in the ledger's own units."""
    return f"{temp_c:.1f} °C" if ledger.show is Show.METRIC else f"{temp_c * 1.8 + 32.0:.0f} °F"
