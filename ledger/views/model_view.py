"""The house model for scripts: its figures, how well it foretold, whether it is believed and why, what it was asked."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:  # `check` shows no model, and need not load what fits one
    from ledger.heat.housemodel.answer import HouseModelAnswer, SeasonModel
    from ledger.heat.housemodel.left_out import Ranged, Split
    from ledger.heat.housemodel.whatif import FanFound, Told, WhatIf


def model_document(model: HouseModelAnswer | None) -> dict[str, Any] | None:
    """The newest season's fit under the keys of the contract, every season below; None where nothing is logged.

    `nights_held_out`, `cv_rmse`, `nmbe`: of the nights kept out of the fit, on the rise over outdoors. A model that
    could not run has no figures, and `why` says why.
    """
    if model is None:
        return None
    seasons = {name: _season(one) for name, one in model.seasons.items()}
    newest = next(reversed(seasons.values()), _NO_SEASON)
    return {**newest, "believed": model.believed, "why": list(model.why_not), "seasons": seasons}


_NO_SEASON: dict[str, Any] = {
    "fitted": {},
    "cv_rmse": None,
    "nmbe": None,
    "nights_held_out": 0,
    "contrast": [],
    "split": None,
    "what_ifs": [],
    "fan": None,
}


def _season(season: SeasonModel) -> dict[str, Any]:
    told = season.answer.told
    return {
        "fitted": {
            one.figure: {
                "value": one.value,
                "prior": one.prior,
                "spread": {"p10": one.low, "p90": one.high},
                "unit": one.unit,
            }
            for one in season.figures
        },
        "cv_rmse": season.held_out.cv_rmse,
        "nmbe": season.held_out.nmbe,
        "nights_held_out": season.held_out.nights,
        "contrast": list(season.contrasts),
        "believed": season.believed,
        "why": list(season.why_not),
        "structures": dict(season.structures),
        "other_holds": _other_holds(told),
        "split": None if told.split is None else _split(told.split),
        "what_ifs": [_what_if(one) for one in told.what_ifs],
        "fan": None if told.fan is None else _fan(told.fan),
    }


def _other_holds(told: Told) -> dict[str, Any]:
    from ledger.heat.housemodel.whatif import Change

    holds = {one.to: (one.need_kwh, one.avoided.kwh) for one in told.what_ifs if one.change is Change.HOLD}
    holds[told.hold_c] = (told.need_kwh, told.now.kwh)
    return {f"{at_c:g}": {"need_kwh": need, "avoided_kwh": avoided} for at_c, (need, avoided) in sorted(holds.items())}


def _split(split: Split) -> dict[str, Any]:
    return {
        "together_kwh": split.together.kwh,
        "together_range_kwh": _range(split.together),
        "shared_kwh": split.shared_kwh,
        "parts": [
            {
                "part": one.part.value,
                "alone_kwh": one.alone.kwh,
                "alone_range_kwh": _range(one.alone),
                "left_out_kwh": one.left_out.kwh,
                "left_out_range_kwh": _range(one.left_out),
                "own_kwh": one.own_kwh,
            }
            for one in split.parts
        ],
    }


def _what_if(one: WhatIf) -> dict[str, Any]:
    return {
        "change": one.change.value,
        "part": None if one.part is None else one.part.value,
        "to": one.to,
        "need_kwh": one.need_kwh,
        "avoided_kwh": one.avoided.kwh,
        "avoided_range_kwh": _range(one.avoided),
        "gain_kwh": one.gain.kwh,
        "gain_range_kwh": _range(one.gain),
        "fan_hours": one.fan_h,
        "fan_kwh": one.fan_kwh,
    }


def _fan(fan: FanFound) -> dict[str, Any]:
    return {
        "gives_back_below_c": fan.cold_c,
        "stores_above_c": fan.warm_c,
        "replayed": fan.replayed,
        "hours": fan.hours,
        "fan_kwh": fan.kwh,
        "beside_its_cold_setting": [_what_if(one) for one in fan.beside],
    }


def _range(one: Ranged) -> dict[str, float]:
    return {"p10": one.p10, "p90": one.p90}
