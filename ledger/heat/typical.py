"""The year that payback rests on, from the best that is there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ledger.heat.bare import Ways
from ledger.heat.bare_lift import bare_lift_p10_k
from ledger.heat.envelope import Envelope
from ledger.heat.prepared import Prepared
from ledger.heat.results import TypicalHeat
from ledger.heat.season_answer import SeasonWork
from ledger.heat.typical_climate import from_climate
from ledger.heat.typical_curves import TypicalWork, expected_fractions, model_curve
from ledger.heat.typical_growth import TypicalGrowth, typical_growth
from ledger.heat.typical_hours import logged_year
from ledger.heat.typical_log import from_log, from_model
from ledger.heat.typical_notices import nothing_known
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger


def typical_year(
    prepared: Prepared, ledger: Ledger, loss: Envelope, works: Sequence[SeasonWork], ways: Ways
) -> TypicalWork:
    """Reckon the typical year from the best that is there.

    Best first: the model's own run over a long outdoor record; a long outdoor record or twelve normals (each season's
    need, avoided = passive fraction · need); the logged seasons, month by month. Nothing is scaled by degree-hours.

    Parameters
    ----------
    prepared : logged seasons and climate.
    ledger : house, hold, builds.
    loss : coefficients at likely values. [W/K]
    works : the logged seasons as reckoned.
    ways : what other rooms answer.

    Returns
    -------
    TypicalWork
    """
    growth = typical_growth(works)
    by_model = any(w.way is BareWay.MODEL for w in works)
    at_this_hold = ways.typical_hold_c in (None, ledger.hold.temperature_c)
    if by_model and ways.typical is not None and at_this_hold:
        heat = replace(_with_growth(ways.typical, growth), bare_lift_p10_k=bare_lift_p10_k(works))
        return TypicalWork(heat, model_curve(ledger, loss, heat), ways.typical_notices)
    logged = logged_year(works)
    if logged is not None and by_model:
        return from_model(ledger, loss, logged, growth)
    if prepared.climate and (logged is not None or expected_fractions(ledger) or not ledger.builds):
        return from_climate(prepared, ledger, loss, logged=logged, growth=growth)
    if logged is not None:
        return from_log(ledger, loss, logged, growth)
    return TypicalWork(None, None, (nothing_known(ledger, works),))


def _with_growth(heat: TypicalHeat, growth: TypicalGrowth) -> TypicalHeat:
    by_build = heat.gdd_by_build_k_d
    return replace(
        heat,
        gdd_indoor_k_d=growth.indoor_k_d if heat.gdd_indoor_k_d is None else heat.gdd_indoor_k_d,
        gdd_over_outdoors_k_d=(
            growth.over_outdoors_k_d if heat.gdd_over_outdoors_k_d is None else heat.gdd_over_outdoors_k_d
        ),
        gdd_by_build_k_d=growth.by_build_k_d if by_build is None else by_build,
        gdd_months=heat.gdd_months or growth.months,
        bare=BareWay.MODEL.value,
    )
