"""Every doubt about input that can be read, in one table that the README prints."""

from __future__ import annotations

from typing import Final

from ledger.errors import Doubt
from ledger.heat.doubtful_dates import DOUBTS as DATES
from ledger.heat.doubtful_log import DOUBTS as LOG
from ledger.heat.presence import BEFORE
from ledger.heat.season_notices import LITTLE_HEAT
from ledger.intake.plausible import DOUBTS as LEDGER
from ledger.intake.plausible_prices import DOUBTS as PRICES
from ledger.intake.resolve_logs import TWICE
from ledger.intake.resolve_place import ZONE
from ledger.plans.dearer import DOUBTS as PLANS

DOUBTS: Final[tuple[Doubt, ...]] = (*LEDGER, *PRICES, ZONE, TWICE, *LOG, *DATES, BEFORE, LITTLE_HEAT, *PLANS)
