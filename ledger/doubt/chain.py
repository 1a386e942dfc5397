"""The whole chain from uncertain inputs to a project, for the likely values or for thousands of draws at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Protocol

import numpy as np

from ledger.doubt.inputs import MoneyInput, headline_sources, money_inputs
from ledger.heat.envelope import Doubt
from ledger.heat.results import TypicalHeat
from ledger.heat.season import BACKUP
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger
from ledger.model.values import Spread
from ledger.money.avoided import to_year_money
from ledger.money.project import FloatArray, Number, Project, project_from
from ledger.money.running import typical_running, typical_upkeep

Draws = Mapping[str, FloatArray]

MONTHS_NOT_LOGGED = "log.months_not_logged"


class EnergyResponse(Protocol):
    """Need and avoided heat of the typical year as a function of what is uncertain (heat.curve is one)."""

    @property
    def inputs(self) -> tuple[Doubt, ...]:
        """Everything that may be drawn, with its range."""
        ...

    @property
    def fraction_paths(self) -> tuple[Doubt, ...]:
        """Those of the inputs that are an expected share of the need, for a build not yet logged."""
        ...

    @property
    def way(self) -> BareWay:
        """How the bare house was reckoned."""
        ...

    @property
    def months_missing_share(self) -> float:
        """Need of the months that no season logged ÷ need of those logged; 0 where none is missing. [-]"""
        ...

    def answer(self, draws: Draws) -> tuple[FloatArray, FloatArray]:
        """Need and avoided heat of each draw. [kWh]"""
        ...


@dataclass(frozen=True, slots=True, eq=False)
class Chain:
    """What is needed to reckon the money again for other values.

    Attributes
    ----------
    ledger : as read.
    heat : the typical year at the likely values.
    response : how its need and avoided heat follow the inputs of the heat rooms.
    fan_kwh : energy of the logged fan in a season; None: not logged. [kWh]
    """

    ledger: Ledger
    heat: TypicalHeat
    response: EnergyResponse
    fan_kwh: float | None

    def inputs(self) -> tuple[Doubt, ...]:
        """Every uncertain input, heat first; the backup's efficiency stands once, as the source's."""
        money = tuple(Doubt(i.path, i.spread) for i in self.money_inputs())
        shared = self.shared_efficiency()
        heat = tuple(d for d in self.response.inputs if not (d.path == BACKUP and shared is not None))
        names = {d.path for d in heat}
        return heat + tuple(d for d in money if d.path not in names)

    def months_not_logged(self) -> Doubt | None:
        """The months that no season logged, from no avoided heat (as the answer has it) to the mean of the logged.

        It is no input of the draws: nothing is known of it but its ends, and the answer stands at the lower.
        """
        share = self.response.months_missing_share
        return Doubt(MONTHS_NOT_LOGGED, Spread(0.0, 0.0, share)) if share > 0.0 else None

    def money_inputs(self) -> tuple[MoneyInput, ...]:
        """Those of the money."""
        return money_inputs(self.ledger, headline_sources(self.ledger))

    def shared_efficiency(self) -> tuple[str, float] | None:
        """Path and likely value of the efficiency that stands both in the backup heat noted and in the price of heat.

        A stove that turns more of its wood into heat gave more backup heat last winter and sells its heat cheaper.
        """
        backup = next((s for s in self.ledger.sources if s.backup), None)
        if backup is None:
            return None
        path = f"source[{backup.name}].efficiency"
        drawn = any(i.path == path for i in self.money_inputs())
        return (path, backup.efficiency.likely) if drawn else None

    def project(self, draws: Draws) -> Project:
        """The project with drawn values in place of the likely ones; inputs left out stand at their likely values.

        Parameters
        ----------
        draws : arrays of one length by path of `inputs`.

        Returns
        -------
        Project : arrays over draws where they make a difference.
        """
        return self.project_with(self.drawn_ledger(draws), self.drawn_heat(draws))

    def project_with(self, ledger: Ledger, heat: TypicalHeat) -> Project:
        """The project of a ledger and a typical year, priced against the headline's source."""
        running, _ = typical_running(ledger, ledger.builds, fan_kwh=self.fan_kwh)
        upkeep = typical_upkeep(ledger, ledger.builds)
        source = ledger.source(ledger.terms.against)
        year, _ = to_year_money(ledger, heat, source, running=running, upkeep=upkeep)
        return project_from(ledger, year)

    def drawn_ledger(self, draws: Draws) -> Ledger:
        """The ledger that carries the draws of the money inputs."""
        ledger = self.ledger
        for one in self.money_inputs():
            if one.path in draws:
                ledger = one.put(ledger, draws[one.path])
        return ledger

    def drawn_heat(self, draws: Draws) -> TypicalHeat:
        """The typical year that carries the draws of the heat inputs, centred on the one reported."""
        heat_draws = {d.path: draws[d.path] for d in self.response.inputs if d.path in draws}
        shared = self.shared_efficiency()
        if shared is not None and shared[0] in draws and any(d.path == BACKUP for d in self.response.inputs):
            heat_draws[BACKUP] = draws[shared[0]] / shared[1]
        heat = self._answered(heat_draws) if heat_draws else self.heat
        if MONTHS_NOT_LOGGED not in draws:
            return heat
        more = heat.avoided_kwh * (1.0 + draws[MONTHS_NOT_LOGGED] * (np.asarray(heat.avoided_kwh) > 0.0))
        most = np.maximum(heat.need_kwh, heat.avoided_kwh)
        return _with_heat(heat, need_kwh=heat.need_kwh, avoided_kwh=np.minimum(more, most))

    def _answered(self, heat_draws: Draws) -> TypicalHeat:
        need, avoided = self.response.answer(heat_draws)
        likely_need, likely_avoided = self.response.answer({})
        return _with_heat(
            self.heat,
            need_kwh=self.heat.need_kwh + (need - likely_need),
            avoided_kwh=self.heat.avoided_kwh + (avoided - likely_avoided),
        )


def scaled_heat(heat: TypicalHeat, factor: Number) -> TypicalHeat:
    """The typical year with so many times the avoided heat and the same need."""
    return _with_heat(heat, need_kwh=heat.need_kwh, avoided_kwh=heat.avoided_kwh * factor)


def swings(inputs: Sequence[Doubt]) -> Draws:
    """Draws in which each input in turn stands at its low and then at its high end, all others at their likely value.

    Row 2k is input k at its low end, row 2k + 1 at its high end.
    """
    rows = 2 * len(inputs)
    return {d.path: _swung(d.spread, k, rows) for k, d in enumerate(inputs)}


def _swung(spread: Spread, place: int, rows: int) -> FloatArray:
    values = np.full(rows, spread.likely)
    values[2 * place], values[2 * place + 1] = spread.low, spread.high
    return values


def _with_heat(heat: TypicalHeat, *, need_kwh: Number, avoided_kwh: Number) -> TypicalHeat:
    """An array in place of a yearly sum stands for draws: the money takes both."""
    need: Any = need_kwh
    avoided: Any = avoided_kwh
    return replace(heat, need_kwh=need, avoided_kwh=avoided, to_buy_kwh=need - avoided)
