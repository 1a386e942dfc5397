"""The whole ledger as read."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from ledger.errors import Notice
from ledger.model.book import RunningLine
from ledger.model.build import Build, Store
from ledger.model.climate import Climate
from ledger.model.heaters import Source
from ledger.model.house import Crop, Hold, House, Site
from ledger.model.logs import LogSpec
from ledger.model.terms import Benefit, Electricity, NextStep, Power, Terms
from ledger.model.values import Assumption, Spread


class Show(StrEnum):
    """Units of screens and papers."""

    METRIC = "metric"
    US = "us"


@dataclass(frozen=True, slots=True)
class Ledger:
    """Everything the grower wrote, in SI, with every default filled in."""

    title: str
    show: Show
    site: Site
    house: House
    hold: Hold
    crop: Crop
    terms: Terms
    electricity: Electricity
    builds: tuple[Build, ...]
    sources: tuple[Source, ...]
    running: tuple[RunningLine, ...]
    labour_rate_per_h: Spread | None
    logs: tuple[LogSpec, ...]
    stores: tuple[Store, ...] = ()
    benefits: tuple[Benefit, ...] = ()
    power: Power | None = None
    climate: Climate | None = None
    next_steps: tuple[NextStep, ...] = ()
    prepared_for: str = ""
    prepared_by: str = ""
    purpose: str = ""
    assumed: tuple[Assumption, ...] = ()
    notices: tuple[Notice, ...] = ()

    def source(self, name: str) -> Source:
        """The source of that name (its existence is checked when the ledger is read)."""
        return next(s for s in self.sources if s.name == name)

    @property
    def own_hours(self) -> Decimal:
        """Own work put into the builds, hours."""
        return Decimal(str(sum(i.hours.likely for b in self.builds for i in b.items if i.hours)))
