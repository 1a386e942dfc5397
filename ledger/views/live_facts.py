"""What the live sheets take from the answer as values: groups of builds, and the heat of each way to heat."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.appraisal import Appraisal
from ledger.heat.results import TypicalHeat
from ledger.model.heaters import Source
from ledger.model.ledger import Ledger
from ledger.money.avoided import buy_heat, heat_hours
from ledger.money.project import number
from ledger.money.running import RunningYear, UpkeepYear, typical_running, typical_upkeep
from ledger.money.year import NO_HEAT_KWH
from ledger.plans.compare import heat_left
from ledger.views.fan import fan_kwh_of
from ledger.views.figures import Measure, in_unit, unit_of
from ledger.views.row import style_of


@dataclass(frozen=True, slots=True, eq=False)
class Group:
    """All builds together (number 0), or one of several: what it uses in a typical year, its part of the saving."""

    number: int
    name: str
    share: float | None
    running: RunningYear
    upkeep: UpkeepYear


@dataclass(frozen=True, slots=True)
class Part:
    """Heat bought from one source: gross input [kWh] at the filed sums, and how it moves with the year's heat."""

    source: str
    input_kwh: float
    input_per_kwh: float


@dataclass(frozen=True, slots=True)
class Way:
    """What a source has to give for a year's heat: filed heat [kWh] and its one or two parts."""

    heat_kwh: float
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Facts:
    """Values that the sheets start from. `ways`: by source and number of the group that stands (None: nothing)."""

    groups: tuple[Group, ...]
    ways: dict[tuple[str, int | None], Way]
    degree_day_unit: str
    per_degree_day: float

    def shown_degree_days(self, days_k_d: float) -> float:
        """Degree-days in the ledger's unit."""
        return days_k_d * self.per_degree_day


def facts_of(a: Appraisal) -> Facts:
    """Gather them from an answer."""
    ledger = a.source
    groups = _groups(a, fan_kwh_of(a))
    ways: dict[tuple[str, int | None], Way] = {}
    heat = a.typical_heat
    if heat is not None:
        for source in ledger.sources:
            ways[source.name, None] = _way(ledger, source, heat, 0.0)
            for group in groups:
                if group.share is not None:
                    ways[source.name, group.number] = _way(ledger, source, heat, group.share)
    style = style_of(a)
    unit = unit_of(Measure.DEGREE_DAYS, style)
    return Facts(groups, ways, unit, in_unit(1.0, Measure.DEGREE_DAYS, style))


def _groups(a: Appraisal, fan_kwh: float | None) -> tuple[Group, ...]:
    ledger = a.source
    if not ledger.builds:
        return ()
    together = Group(0, "all builds" if len(ledger.builds) > 1 else ledger.builds[0].name, 1.0,
                     typical_running(ledger, ledger.builds, fan_kwh=fan_kwh)[0],
                     typical_upkeep(ledger, ledger.builds))  # fmt: skip
    if len(ledger.builds) == 1:
        return (together,)
    shares = _shares(a)
    each = tuple(
        Group(place, build.name, share, typical_running(ledger, (build,), fan_kwh=None)[0],
              typical_upkeep(ledger, (build,)))
        for place, (build, share) in enumerate(zip(ledger.builds, shares, strict=True), start=1)
    )  # fmt: skip
    return (together, *each)


def _shares(a: Appraisal) -> Sequence[float | None]:
    """Each build's part of the avoided heat, as the answer has it."""
    whole = None if a.typical_heat is None else a.typical_heat.avoided_kwh
    by_name = {one.name: one.avoided_kwh for one in a.builds}
    known = [by_name.get(build.name) for build in a.source.builds]
    if whole is None or abs(whole) < NO_HEAT_KWH:
        return [None] * len(known)
    return [None if kwh is None else kwh / whole for kwh in known]


def _way(ledger: Ledger, source: Source, heat: TypicalHeat, share: float) -> Way:
    hours = heat_hours(heat)
    left = heat_left(hours, heat, share)
    step = max(1.0, abs(heat.need_kwh))
    filed = buy_heat(ledger, source, left.hourly_kwh, hours=hours, total_kwh=left.total_kwh)
    more = buy_heat(ledger, source, left.hourly_kwh, hours=hours, total_kwh=left.total_kwh + step)
    parts = []
    for one, two in zip(filed, more, strict=True):
        gross = float(number(one.source.heat_per_unit_kwh))
        gross *= 1.0 if one.source.cop else float(number(one.source.efficiency))
        parts.append(Part(one.source.name, float(one.units) * gross, float(two.units - one.units) * gross / step))
    return Way(float(left.total_kwh), tuple(parts))
