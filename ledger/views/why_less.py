"""Why the claim is smaller than all that warmth: from the first rung to the last in six lines that add up."""

from __future__ import annotations

from ledger.heat.results import SeasonHeat
from ledger.model.house import CountRule, Hold
from ledger.views.figures import Measure, Style, show_figure

HEADING = "Why so little of all that warmth is money"
_STEP_KWH = 10
_SHORT = {"model": "days and warmed floor, by the model"}


def why_rows(heat: SeasonHeat, hold: Hold, style: Style) -> tuple[tuple[str, str, str], ...]:
    """Words, figure and unit of each line. Every figure is a rung to the nearest ten, so that the lines add up.

    All the warmth, less what the sun gave or nobody pays for, less what the bare house holds, less heat bought.
    """
    rungs = heat.rungs
    gross, held, added, credited = (
        _round(value) for value in (rungs.gross_kwh, rungs.held_kwh, rungs.added_kwh, rungs.credited_kwh)
    )
    kept = show_figure(hold.temperature_c, Measure.TEMPERATURE, style)
    sun = "came by day" if hold.count is CountRule.DARK else "the sun gave"
    lines = [
        ("All the warmth inside over outdoors", gross),
        (f"less what {sun} or lay above {kept}: any glazed house has it, and nobody pays for it", held - gross),
        (f"less what {_bare_words(heat)} holds by itself: its floor gives back the sun", added - held),
        ("left: added by the build", added),
    ]
    if credited != added:
        lines.append((_last_words(heat), credited - added))
    lines.append(("not bought: only this is money", credited))
    return tuple((words, f"{kwh:,}", "kWh") for words, kwh in lines)


def why_short(heat: SeasonHeat, hold: Hold, style: Style) -> tuple[tuple[str, str], ...]:
    """The same figures in words that fit a narrow column."""
    kept = show_figure(hold.temperature_c, Measure.TEMPERATURE, style)
    sun = "by day" if hold.count is CountRule.DARK else "the sun's"
    any_house = f"{sun}, or above {kept}: nobody pays"
    words = ["All the warmth inside", any_house, "the bare house's own", "added by the build"]
    words += [_SHORT.get(heat.bare.used, "heat that was bought"), "not bought: only this is money"]
    figures = [figure for _, figure, _ in why_rows(heat, hold, style)]
    return tuple(zip(words if len(figures) == len(words) else [*words[:4], words[5]], figures, strict=True))


def _round(kwh: float) -> int:
    return round(kwh / _STEP_KWH) * _STEP_KWH


def _bare_words(heat: SeasonHeat) -> str:
    if heat.bare.used == "lift":
        return "the same house with nothing built (an assumed lift)"
    return "the same house with nothing built"


def _last_words(heat: SeasonHeat) -> str:
    if heat.bare.used == "model":
        return "by the fitted model, which counts days as well and the floor that a heater warms"
    if heat.backup_delivered_kwh > 0.0:
        return "less the heat that was bought"
    return "less what lies above the need"
