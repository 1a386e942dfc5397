"""The ledger's house in the model's terms, and what the model must refuse."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ledger.heat.draws import drawn
from ledger.heat.envelope import changes_envelope, doubts, envelope
from ledger.heat.housemodel.grid import Grid
from ledger.heat.housemodel.priors import HouseNumbers
from ledger.model.ledger import Ledger
from ledger.model.values import Spread
from ledger.series.record import HourlyRecord

J_PER_KWH = 3.6e6
WATER = "water"
DAY_S = 86400.0
LEAST_DAYS = 28
LONGEST_STEP_S = 7200.0


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why the model does not answer."""

    why: str


def refusal(record: HourlyRecord, ledger: Ledger) -> Refusal | None:
    """What stands in the way of a model for this ledger and log.

    A store that the log does not show cannot be taken out of a run: it is refused, never answered with 0.

    Parameters
    ----------
    record : the clean record.
    ledger : builds and stores.

    Returns
    -------
    Refusal or None : None where the model can run.
    """
    if not {"indoor", "outdoor"} <= set(record.fine.columns):
        return Refusal("The house model needs indoor and outdoor readings.")
    if not ledger.builds:
        return Refusal("Nothing was built.")
    return _unseen(ledger, tank=WATER in record.fine.columns, fan="fan_on" in record.fine.columns)


def season_refusal(grid: Grid | None, ledger: Ledger) -> Refusal | None:
    """What stands in the way of a model for one season.

    Parameters
    ----------
    grid : the season's log; None where indoor or outdoor was never read.
    ledger : builds and stores.

    Returns
    -------
    Refusal or None
    """
    if grid is None or grid.read.sum() * grid.step_s < LEAST_DAYS * DAY_S:
        return Refusal(f"fewer than {LEAST_DAYS} days of readings indoors and outdoors.")
    if grid.step_s > LONGEST_STEP_S:
        return Refusal("readings come more than two hours apart: too far for the model to follow a day.")
    return _unseen(ledger, tank=grid.water_c is not None, fan=grid.fan_level is not None)


def unmetered_heat(grid: Grid, record: HourlyRecord, ledger: Ledger) -> str | None:
    """Backup heat that the log does not show by the hour, so that the model takes it for the house's own.

    Parameters
    ----------
    grid : the season's log.
    record : whether a heater channel with watts is logged.
    ledger : the season book.

    Returns
    -------
    str or None : what is said of it.
    """
    if "heater_w" in record.fine.columns:
        return None
    if "heater_on" in record.fine.columns:
        return "a heater is logged without its power: its heat is taken for the house's own. Note what it draws."
    first, last = grid.stamps_utc[0].date(), grid.stamps_utc[-1].date()
    sources = {s.name for s in ledger.sources}
    burnt = [r for r in ledger.running if r.target in sources and r.last_day >= first and r.first_day <= last]
    if any((r.energy_kwh or 0.0) > 0.0 or (r.quantity or 0.0) > 0.0 for r in burnt):
        return "backup heat stands in the season book and not in the log: its heat is taken for the house's own."
    return None


def _unseen(ledger: Ledger, *, tank: bool, fan: bool) -> Refusal | None:
    tanks = {s.build for s in ledger.stores if s.channel == WATER} if tank else set()
    unseen = [b.name for b in ledger.builds if not changes_envelope(b) and b.name not in tanks]
    if len(unseen) <= (1 if fan else 0):
        return None
    return Refusal(
        f"Nothing in the log shows what {' and '.join(unseen)} did: log the fan that charges it, or the store's "
        "temperature, and note its volume or mass under [[store]]."
    )


def house_numbers(record: HourlyRecord, ledger: Ledger) -> HouseNumbers:
    """The ledger's figures as the model takes them.

    Parameters
    ----------
    record : for the fan's power.
    ledger : house, builds, stores, site.

    Returns
    -------
    HouseNumbers
    """
    house, builds, height = ledger.house, ledger.builds, ledger.site.elevation_m
    likely = envelope(house, builds, elevation_m=height)
    drawn_loss = envelope(house, builds, elevation_m=height, draws=drawn(doubts(house, builds)))
    night = float(likely.night.total_w_per_k)
    tanks = [s.heat_capacity_kwh_per_k for s in ledger.stores if s.channel == WATER and WATER in record.fine.columns]
    capacity = sum(t.likely for t in tanks)
    return HouseNumbers(
        floor_area_m2=house.floor_area_m2.likely,
        cover_area_m2=sum(s.area_m2.likely for s in house.surfaces),
        heat_loss_w_per_k=night,
        heat_loss_log_sd=float(np.std(np.log(drawn_loss.night.total_w_per_k))),
        day_factor=float(likely.day.total_w_per_k) / night,
        bare_factor_night=float(likely.bare_night.total_w_per_k) / night,
        bare_factor_day=float(likely.bare_day.total_w_per_k) / night,
        tank_j_per_k=capacity * J_PER_KWH if capacity > 0.0 else None,
        tank_log_sd=max((_log_sd(t) for t in tanks), default=0.0),
        fan_power_w=_fan_power_w(record),
        elevation_m=height,
    )


def _fan_power_w(record: HourlyRecord) -> float:
    fine = record.fine
    if "fan_w" not in fine.columns:
        return 0.0
    watts = fine["fan_w"][fine["fan_w"] > 0.0]
    return float(watts.median()) if len(watts) else 0.0


def _log_sd(spread: Spread) -> float:
    if spread.low <= 0.0 or spread.high <= spread.low:
        return 0.0
    return float(np.log(spread.high / spread.low) / 2.0 / 2.45)
