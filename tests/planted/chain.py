"""From files to the credited heat, by the steps that an appraisal takes, without the money that follows."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from ledger.heat.bare import Ways
from ledger.heat.fan_off import fan_off_answer
from ledger.heat.housemodel.answer import fit_house
from ledger.heat.reckoning import prepare, reckon
from ledger.heat.results import Band, SeasonHeat
from ledger.intake.gather import gather


@dataclass(frozen=True)
class Credited:
    """One season's heat, and the codes of everything that was said on the way."""

    season: SeasonHeat
    codes: frozenset[str]

    @property
    def whole_kwh(self) -> float:
        """Heat credited over the whole season: a missing night earns nothing in the valid hours alone."""
        found = self.season.avoided_whole_season_kwh
        assert found is not None
        return found

    @property
    def need_kwh(self) -> float:
        """Need over the whole season."""
        found = self.season.need_whole_season_kwh
        assert found is not None
        return found

    @property
    def span(self) -> Band:
        """Its stated range."""
        found = self.season.avoided_whole_season_range_kwh
        assert found is not None
        return found

    def holds(self, kwh: float) -> bool:
        """Whether the range holds an amount."""
        return self.span.p10 <= kwh <= self.span.p90


def credited(path: Path) -> Credited:
    """Read a ledger with its logs like a grower's own and reckon its one season."""
    found = gather(path)
    assert found.record is not None
    prepared = prepare(found.record, found.ledger, climate_record=found.climate_record)
    model = fit_house(found.record, prepared, found.ledger)
    fan_off = {name: one.bare for name, one in fan_off_answer(prepared, found.ledger).seasons.items()}
    ways = Ways(fan_off=fan_off, model=model.model_seasons, model_believed=model.believed)
    answer = reckon(prepared, found.ledger, ways=ways)
    (season,) = answer.seasons
    return Credited(season, frozenset(notice.code for notice in (*found.warnings, *answer.notices)))
