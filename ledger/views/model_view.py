"""The house model for scripts: its figures, how well it foretold, whether it is believed and why."""

from __future__ import annotations

from typing import Any

from ledger.heat.housemodel.answer import HouseModelAnswer, SeasonModel


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
}


def _season(season: SeasonModel) -> dict[str, Any]:
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
        "other_holds": {f"{hold_c:g}": {"need_kwh": n, "avoided_kwh": a} for hold_c, (n, a) in _holds(season)},
    }


def _holds(season: SeasonModel) -> list[tuple[float, tuple[float, float]]]:
    return sorted(season.answer.other_holds.items())
