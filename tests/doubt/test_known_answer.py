"""The verdict on simulated farms whose true saving is known: wherever it is not "not yet known", it is right.

Four farms of other physics than the fitted model, six weeks of winter; their own logs, ledgers as wrong as growers'.
The truth is put through the same money in place of the saving found. Capital alone differs from case to case, so each
log is fitted once.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest

from ledger.doubt.chain import Chain
from ledger.doubt.draws import worth_range
from ledger.doubt.verdict import Answer, Standing, verdict
from ledger.heat.bare import Ways
from ledger.heat.housemodel.answer import fit_house
from ledger.heat.reckoning import heat_work, prepare
from ledger.intake.gather import gather
from ledger.model.ledger import Ledger
from ledger.model.values import MoneyRange, Spread
from ledger.money.running import fan_energy_kwh
from ledger.money.worth import npv
from tests.housemodel.farms import draw_farms, simulate, write_farm

SEED = 21
FARMS = 4
# Heat is bought at three times what the fan's electricity costs, so that in six weeks a build may pay.
DEAR = 3.0
PARTS_OF_BREAK_EVEN = np.concatenate([np.linspace(0.05, 1.0, 20), np.linspace(1.05, 3.0, 20)])


@dataclass(frozen=True, slots=True, eq=False)
class Farm:
    """A farm as the program sees it, and what its build truly avoids. [kWh]"""

    chain: Chain
    true_kwh: float

    def true_npv(self, capital: float) -> float:
        """What the build is truly worth at a capital."""
        priced = with_capital(self.chain.ledger, capital)
        return float(npv(self.chain.project_with(priced, replace(self.chain.heat, avoided_kwh=self.true_kwh))))

    def said(self, capital: float) -> Answer:
        """The program's verdict at a capital."""
        chain = replace(self.chain, ledger=with_capital(self.chain.ledger, capital))
        standing = Standing(chain.response.way, by_expected_share=False, running_known=True)
        return verdict(worth_range(chain, draws=2_000), standing, greatest_doubt="").verdict

    def break_even(self) -> float:
        """The capital at which the build truly just pays; the worth is a straight line in it."""
        at_0, at_1000 = self.true_npv(0.0), self.true_npv(1000.0)
        return 1000.0 * at_0 / (at_0 - at_1000)


def with_capital(ledger: Ledger, capital: float) -> Ledger:
    """The ledger with so much money in its items, in equal parts; a tank costs nothing to run; dear heat to buy."""
    part = MoneyRange.sure(f"{capital / len(ledger.builds):.2f}")
    builds = tuple(
        replace(b, items=tuple(replace(i, amount=part) for i in b.items), expected_running=MoneyRange.sure("0"))
        for b in ledger.builds
    )
    sources = tuple(replace(s, price=scaled(s.price, DEAR)) for s in ledger.sources)
    return replace(ledger, builds=builds, sources=sources)


def scaled(price: Spread, factor: float) -> Spread:
    return replace(price, likely=price.likely * factor, low=price.low * factor, high=price.high * factor)


@pytest.fixture(scope="module")
def farms(tmp_path_factory: pytest.TempPathFactory) -> tuple[Farm, ...]:
    drawn = draw_farms(FARMS, SEED, days=(40, 82))
    drawn = replace(
        drawn, holes=np.zeros(FARMS, dtype=np.int64), houses=replace(drawn.houses, hold_c=np.full(FARMS, 6.0))
    )
    logged, truths = simulate(drawn, SEED)
    found = []
    for house, truth in enumerate(truths):
        folder = tmp_path_factory.mktemp(f"farm{house}")
        write_farm(folder, drawn, logged, house, SEED)
        found.append(Farm(chain_from(folder), truth.avoided_kwh))
    return tuple(found)


def chain_from(folder: Path) -> Chain:
    gathered = gather(folder / "ledger.toml")
    ledger, record = gathered.ledger, gathered.record
    assert record is not None
    prepared = prepare(record, ledger)
    model = fit_house(record, prepared, ledger)
    ways = Ways(fan_off={}, model=model.model_seasons, model_believed=model.believed)
    typical = heat_work(prepared, ledger, ways=ways).typical
    assert typical.heat is not None
    assert typical.curve is not None
    return Chain(ledger, typical.heat, typical.curve, fan_energy_kwh(record, ledger.hold.season))


def test_wherever_a_verdict_is_given_it_is_right(farms: tuple[Farm, ...]) -> None:
    """From a twentieth of the capital at which the build truly breaks even to three times it, forty each."""
    wrong, given = [], []
    for number, farm in enumerate(farms):
        even = farm.break_even()
        levels = even * PARTS_OF_BREAK_EVEN if even > 0 else np.linspace(50.0, 5000.0, 40)
        for capital in levels:
            said, truth = farm.said(float(capital)), farm.true_npv(float(capital))
            given.append((number, said))
            right = Answer.PAYS if truth > 0 else Answer.DOES_NOT_PAY
            if said not in (Answer.NOT_YET_KNOWN, right):
                wrong.append((number, round(float(capital)), str(said), round(truth)))
    assert not wrong
    assert {kind for _, kind in given} == set(Answer)
    assert len({number for number, kind in given if kind is not Answer.NOT_YET_KNOWN}) >= 2
