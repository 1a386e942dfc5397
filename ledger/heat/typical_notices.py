"""What has to be said beside the typical year."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.errors import Notice
from ledger.heat.months import month_names
from ledger.heat.season_answer import SeasonWork
from ledger.heat.typical_curves import expected_fractions
from ledger.heat.typical_hours import LoggedYear
from ledger.model.ledger import Ledger


def missing_months(logged: LoggedYear) -> tuple[Notice, ...]:
    """Months of the season that no season logged enough."""
    if not logged.months_missing:
        return ()
    names = month_names(logged.months_missing)
    text = (
        f'No season logged {names} enough: the saving of these months stands at 0, so the headline is "at least"; '
        "their need is the mean per hour of the logged months. Cheapest cure: twelve climate normals under [climate]."
    )
    return (Notice("months-not-logged", text, "typical_year.months_not_logged"),)


def climate_notices(logged: LoggedYear | None) -> tuple[Notice, ...]:
    """What the saving of a climate year rests on."""
    if logged is None:
        text = "No month is logged well enough yet: the saving is the expected share of the need, not a measurement."
        return (Notice("saving-expected", text, "typical_year.avoided_kwh"),)
    if logged.months_missing:
        names = month_names(logged.months_missing)
        text = (
            f"No season logged {names} enough: the share of the need that the build covers is that of the other months."
        )
        return (Notice("months-not-logged", text, "typical_year.months_not_logged"),)
    return ()


def nothing_known(ledger: Ledger, works: Sequence[SeasonWork]) -> Notice:
    """Why there is no typical year, and so no saving."""
    if works:
        text = "No month was logged enough (120 hours that count, or nine tenths of the month's) for a typical year."
    elif ledger.climate is None and not ledger.logs:
        text = "No log and no climate: a typical year needs a log, a long outdoor record or twelve normals."
    elif expected_fractions(ledger):
        text = (
            "Nothing is logged in a season to be held, and no weather of a whole one is known for the expected share."
        )
    elif ledger.climate is None:
        text = "No reading of the log lies in a season to be held: a typical year needs one there, or a climate."
    else:
        text = (
            "Nothing is logged in a season to be held, and no build says what share of the need it is expected to "
            "cover (expected_fraction)."
        )
    return Notice("no-typical-year", text, "typical_year")
