"""The typical year's need and avoided heat as a function of every uncertain input of the heat rooms."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ledger.heat.bare import lift_k
from ledger.heat.draws import from_band
from ledger.heat.envelope import Doubt, Envelope, doubts, envelope
from ledger.heat.heat_curve import HeatCurve
from ledger.heat.results import Band
from ledger.heat.rungs import Floats
from ledger.heat.season import BACKUP, BARE, INDOOR, NIGHTS, NIGHTS_FACTOR
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger

LIFT = "house.unheated_lift"
FLOOR_HEAT = "house.night_floor_heat"
FLOOR_AREA = "house.floor_area"
MODEL = "house model"


@dataclass(frozen=True, slots=True, eq=False)
class LoggedPart:
    """What the log shows: need of the logged hours, heat missing in them, backup heat delivered.

    `months_missing_share`: the need of months not logged, as a share of the logged need.
    """

    need: HeatCurve
    shortfall: HeatCurve
    backup_kwh: float
    months_missing_share: float


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """Values of many draws.

    Attributes
    ----------
    h_w_per_k, bare_h_w_per_k : coefficients by night, as the house stands and bare. [W/K]
    bare_shift_k, indoor_shift_k : how much warmer than likely the bare house and the house indoors were. [K]
    backup_factor : backup heat delivered ÷ its likely value. [-]
    nights_factor : energy of a heater ÷ heat added in the hours that count. [-]
    fraction : share of the need that a build not yet logged is expected to avoid. [-]
    """

    h_w_per_k: Floats
    bare_h_w_per_k: Floats
    bare_shift_k: Floats
    indoor_shift_k: Floats
    backup_factor: Floats
    nights_factor: Floats
    fraction: Floats


@dataclass(frozen=True, slots=True, eq=False)
class EnergyCurve:
    """Need and avoided heat of the typical year for any number of draws at once.

    Exactly one of three forms: the logged seasons (`logged` alone), a climate (`climate`, with the passive fraction of
    `logged`, or with `fraction_paths` where nothing is logged), the model (`model`, whose own band is drawn).

    Attributes
    ----------
    inputs : everything that may be drawn or swung, with its range; other paths are not looked at.
    ledger, likely_loss, lift_likely_k : what the likely values are.
    """

    inputs: tuple[Doubt, ...]
    ledger: Ledger
    likely_loss: Envelope
    lift_likely_k: float
    way: BareWay
    logged: LoggedPart | None
    climate: HeatCurve | None
    fraction_paths: tuple[Doubt, ...]
    model: tuple[float, float] | None

    @property
    def months_missing_share(self) -> float:
        """Need of the months that no season logged ÷ need of those logged, where nothing else fills them. [-]"""
        if self.logged is None or self.climate is not None or self.model is not None:
            return 0.0
        return self.logged.months_missing_share

    def answer(self, draws: Mapping[str, Floats]) -> tuple[Floats, Floats]:
        """Need and avoided heat of each draw.

        Parameters
        ----------
        draws : arrays of one length by path of `inputs`; an input left out stands at its likely value.

        Returns
        -------
        need, avoided : one entry a draw (one entry where nothing was drawn). [kWh]
        """
        if self.model is not None:
            need, avoided = self.model
            drawn_avoided = np.atleast_1d(np.asarray(draws.get(MODEL, avoided), dtype=np.float64))
            return np.full(len(drawn_avoided), need), drawn_avoided
        loss = envelope(self.ledger.house, self.ledger.builds, elevation_m=self.ledger.site.elevation_m, draws=draws)
        return self.at(
            Drawn(
                h_w_per_k=np.asarray(loss.night.total_w_per_k),
                bare_h_w_per_k=np.asarray(loss.bare_night.total_w_per_k),
                bare_shift_k=self.bare_shift_k(draws, np.asarray(loss.bare_night.total_w_per_k)),
                indoor_shift_k=draws.get(INDOOR, np.zeros(1)),
                backup_factor=draws.get(BACKUP, np.ones(1)),
                nights_factor=draws.get(NIGHTS, np.ones(1)),
                fraction=self._fraction(draws),
            )
        )

    def bare_shift_k(self, draws: Mapping[str, Floats], bare_h_w_per_k: Floats) -> Floats:
        """How much warmer than likely the bare house is in each draw [K].

        By the lift: as drawn, or floor heat · floor area ÷ H_bare of the draw. By another way: its own doubt.

        Parameters
        ----------
        draws : arrays by path.
        bare_h_w_per_k : coefficient of the bare house in each draw. [W/K]

        Returns
        -------
        array : shift. [K]
        """
        if self.way is not BareWay.LIFT:
            return np.asarray(draws.get(BARE, np.zeros(1)))
        house = self.ledger.house
        if house.unheated_lift_k is not None:
            lift = draws.get(LIFT, np.full(1, house.unheated_lift_k.likely))
        else:
            floor_heat = draws.get(FLOOR_HEAT, np.full(1, house.night_floor_heat_w_per_m2.likely))
            lift = floor_heat * draws.get(FLOOR_AREA, np.full(1, house.floor_area_m2.likely)) / bare_h_w_per_k
        return np.asarray(lift - self.lift_likely_k)

    def at(self, values: Drawn) -> tuple[Floats, Floats]:
        """Need and avoided heat at given coefficients and shifts.

        Parameters
        ----------
        values : one entry a draw, or one for all.

        Returns
        -------
        need, avoided : arrays. [kWh]
        """
        need_logged = added = None
        if self.logged is not None:
            need_logged = self.logged.need.kwh(values.bare_h_w_per_k, values.bare_shift_k)
            short = self.logged.shortfall.kwh(values.h_w_per_k, values.indoor_shift_k)
            added = (need_logged - short) * values.nights_factor - self.logged.backup_kwh * values.backup_factor
        if self.climate is not None:
            need = self.climate.kwh(values.bare_h_w_per_k, values.bare_shift_k)
            if need_logged is None or added is None:
                share = values.fraction
            else:
                share = np.where(need_logged > 0.0, added / np.where(need_logged > 0.0, need_logged, 1.0), 0.0)
            return _even(need, need * np.minimum(1.0, share))
        if need_logged is None or added is None or self.logged is None:
            raise ValueError("a curve without a log and without a climate")
        need = need_logged * (1.0 + self.logged.months_missing_share)
        return _even(need, np.minimum(need, added))

    def _fraction(self, draws: Mapping[str, Floats]) -> Floats:
        total = np.zeros(1)
        for doubt in self.fraction_paths:
            total = total + draws.get(doubt.path, np.full(1, doubt.spread.likely))
        return np.minimum(1.0, total)


def heat_inputs(ledger: Ledger, way: BareWay, *, bare: Doubt | None, indoor: Doubt, backup: Doubt) -> tuple[Doubt, ...]:
    """Every input of the heat rooms that carries a range, for draws and drivers.

    Parameters
    ----------
    ledger : house and builds.
    way : how the bare house is reckoned.
    bare : doubt about a measured bare temperature; None by the lift.
    indoor, backup : doubt about the thermometer and about the backup's efficiency.

    Returns
    -------
    tuple of Doubt
    """
    house = ledger.house
    found = list(doubts(house, ledger.builds))
    if way is BareWay.LIFT and house.unheated_lift_k is not None:
        found.append(Doubt(LIFT, house.unheated_lift_k))
    elif way is BareWay.LIFT:
        found += [Doubt(FLOOR_HEAT, house.night_floor_heat_w_per_m2), Doubt(FLOOR_AREA, house.floor_area_m2)]
    elif bare is not None:
        found += [bare, Doubt(NIGHTS, NIGHTS_FACTOR)]
    found += [indoor, backup]
    return tuple(d for d in found if d.spread.high > d.spread.low)


def model_input(avoided_kwh: float, band: Band) -> Doubt:
    """The model's own band as one input."""
    return Doubt(MODEL, from_band(avoided_kwh, p10=band.p10, p90=band.p90))


def likely_lift_k(ledger: Ledger, likely_loss: Envelope) -> float:
    """Likely lift of the bare house [K]."""
    return lift_k(ledger.house, likely_loss).likely


def _even(need: Floats, avoided: Floats) -> tuple[Floats, Floats]:
    need, avoided = np.broadcast_arrays(np.atleast_1d(need), np.atleast_1d(avoided))
    return np.asarray(need), np.asarray(avoided)
