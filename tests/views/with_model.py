"""The example of the views with two builds and a fitted house model, for a screen, a workbook and a report of it."""

from __future__ import annotations

from dataclasses import replace

from ledger.appraisal import Appraisal
from ledger.heat.by_build import BuildSplit, SplitBy
from ledger.heat.housemodel.whatif import Told
from ledger.model.build import Store
from ledger.model.values import Spread
from tests.housemodel.fitted import model_of, season_of, told_of
from tests.views.example import example


def with_model(
    told: Told | None = None, *, believed: bool = True, names: tuple[str, str] = ("air tubes", "tank")
) -> Appraisal:
    """A bed and a tank: alone 900 and 300, together 1,100 kWh."""
    whole = example()
    bed = replace(whole.source.builds[0], name=names[0])
    tank = replace(bed, name=names[1], items=())
    items = tuple(replace(item, build=bed.name) for item in whole.capital.items)
    store = Store("water", tank.name, "water", Spread.sure(4.0))
    season = season_of(told or told_of(), believed=believed)
    parts = {bed.name: 850.0, tank.name: 250.0}
    return replace(
        whole,
        source=replace(whole.source, builds=(bed, tank), stores=(store,)),
        capital=replace(whole.capital, items=items),
        builds=tuple(replace(whole.builds[0], name=name) for name in names),
        plans=tuple(replace(plan, builds=names if plan.builds else ()) for plan in whole.plans),
        model=model_of(season),
        split=BuildSplit(parts, SplitBy.MODEL if believed else SplitBy.SHARES),
    )
