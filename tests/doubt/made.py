"""A chain for the tests of doubt: a small ledger and a response of the heat that can be followed by hand."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TypedDict, Unpack

import numpy as np

from ledger.doubt.chain import Chain, Draws
from ledger.heat.envelope import Doubt
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger
from ledger.model.values import Basis, Spread
from ledger.money.project import FloatArray
from tests.changes import LedgerChanges
from tests.money.made import build, heater, item
from tests.running.made import ledger_with, typical

UPV = 1.02 / 0.04 * (1 - (1.02 / 1.06) ** 25)
"""One unit a year for 25 years at 6 %, grown by 2 %: Σ (1.02/1.06)^k."""
NEED = [2.0] * 500
BUY = [0.5] * 500


def ranged(likely: float, low: float, high: float, basis: Basis = Basis.ESTIMATED) -> Spread:
    return Spread(likely, low, high, basis, stated=True)


@dataclass(frozen=True)
class Linear:
    """Avoided heat = likely + Σ slope · (input − its likely value); the need stays."""

    need_kwh: float
    avoided_kwh: float
    inputs: tuple[Doubt, ...] = ()
    slopes: tuple[float, ...] = ()
    fraction_paths: tuple[Doubt, ...] = ()
    way: BareWay = BareWay.TWIN
    months_missing_share: float = 0.0
    asked: list[Draws] = field(default_factory=list)

    def answer(self, draws: Draws) -> tuple[FloatArray, FloatArray]:
        self.asked.append(draws)
        avoided = np.full(1, self.avoided_kwh)
        for doubt, slope in zip(self.inputs, self.slopes, strict=True):
            if doubt.path in draws:
                avoided = avoided + slope * (draws[doubt.path] - doubt.spread.likely)
        return np.full(avoided.shape, self.need_kwh), avoided


class LinearChanges(TypedDict, total=False):
    """Of a linear response, beside its inputs and slopes."""

    avoided_kwh: float
    fraction_paths: tuple[Doubt, ...]
    way: BareWay
    months_missing_share: float


def chain_of(
    ledger: Ledger | None = None, *, heat_inputs: tuple[tuple[Doubt, float], ...] = (), **changes: Unpack[LinearChanges]
) -> Chain:
    """Need 1,000 kWh, avoided 750 kWh a year; 0.20 a kWh; 1,500 of trench; nothing uncertain unless stated.

    The trench lasts 25 years, the study; d 6 %, inflation and growth 2 %; expected running 20 a year.
    """
    heat = typical(NEED, BUY)
    doubts, slopes = tuple(d for d, _ in heat_inputs), tuple(s for _, s in heat_inputs)
    response = Linear(heat.need_kwh, heat.avoided_kwh, doubts, slopes)
    return Chain(ledger or plain_ledger(), heat, replace(response, **changes), fan_kwh=100.0)


def plain_ledger(**changes: Unpack[LedgerChanges]) -> Ledger:
    """Electric heat at 0.20 a kWh, the fan's 100 kWh a year at the same price."""
    book = ledger_with(build("tubes", item("1500")), sources=(heater(),), price=0.20)
    return replace(book, **changes)
