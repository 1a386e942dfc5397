"""The running sum of the money recovered, season by season, beside the plan that the first season led to expect."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.appraisal import Appraisal
from ledger.views.row import is_placeholder


@dataclass(frozen=True, slots=True)
class SeasonSums:
    """By season, from before the first one on: [currency]

    seasons : names; savings : left over in each; recovered : their running sum, beginning with 0; plan : the net saving
    of the typical year, as it was first known, as often as there were seasons; to_recover : net capital.
    """

    seasons: tuple[str, ...]
    savings: tuple[float, ...]
    recovered: tuple[float, ...]
    plan_a_season: float
    to_recover: float

    @property
    def plan(self) -> tuple[float, ...]:
        """The running sum of the plan, beginning with 0."""
        return tuple(self.plan_a_season * n for n in range(len(self.recovered)))


def season_sums(a: Appraisal) -> SeasonSums | None:
    """The sums of an answer; None with fewer than two seasons, by an assumed lift, or where a saving is not known.

    The plan is the typical year as the first season that had one told it: what was forecast at the outset, at prices of
    the base date. It is not moved by what came later, so that the two may be held against one another.
    """
    first = next((one.worth for one in a.seasons if one.worth is not None), None)
    savings = [one.account.net_saving for one in a.seasons if one.account.net_saving is not None]
    recovered = [one.account.recovered_to_date for one in a.seasons if one.account.recovered_to_date is not None]
    if len(a.seasons) < 2 or first is None or is_placeholder(a):
        return None
    if len(savings) < len(a.seasons) or len(recovered) < len(a.seasons):
        return None
    names = tuple(one.heat.season for one in a.seasons)
    return SeasonSums(names, tuple(savings), (0.0, *recovered), first.net_saving, a.capital.net)
