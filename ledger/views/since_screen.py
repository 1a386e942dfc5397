"""What changed since an earlier appraisal: for a person, and for scripts."""

from __future__ import annotations

from typing import Any

from ledger.model.changes import Change, InputChange, Since
from ledger.views.figures import Measure, Style, show_figure
from ledger.views.screen import Screen

_LONGEST = 70


def since_document(since: Since) -> dict[str, Any]:
    """The comparison under the key `since`."""
    return {"since": since}


def since_lines(since: Since, *, style: Style, screen: Screen) -> list[str]:
    """The comparison on the screen: the answer then and now, each change with what it alone did, the rest."""
    money, heat = Measure.MONEY, Measure.HEAT
    lines = screen.heading(f"What changed since {since.file}")
    lines += screen.figures(
        [
            ("NPV then, now", _pair(since.was.npv, since.now.npv, money, style), style.currency),
            ("heat not bought in a typical year, then, now",
             _pair(since.was.avoided_kwh, since.now.avoided_kwh, heat, style), "kWh"),
        ]
    )  # fmt: skip
    lines += _entries(since, style, screen)
    for file in since.files:
        lines += screen.bullet(f"log {file.file}: {_WORDS[file.change]}")
    if since.version_was != since.version_now:
        lines += screen.bullet(f"program: version {since.version_was} then, {since.version_now} now")
    return lines + _rest(since, style, screen)


_WORDS = {Change.ADDED: "new", Change.REMOVED: "no longer there", Change.CHANGED: "holds other rows"}


def _pair(was: float | None, now: float | None, measure: Measure, style: Style) -> str:
    return f"{show_figure(was, measure, style).text}, {show_figure(now, measure, style).text}"


def _entries(since: Since, style: Style, screen: Screen) -> list[str]:
    if not since.inputs_known:
        words = "The earlier results do not say what stood in the ledger; from now on they do."
        return screen.prose(words, indent=2)
    if not since.inputs:
        remarks = "In the ledger only remarks or the order of lines."
        same = remarks if since.ledger_changed else "Nothing in the ledger."
        return screen.prose(same, indent=2)
    lines: list[str] = []
    for one in since.inputs:
        lines += screen.bullet(_entry_words(one))
        lines += screen.prose(_effect_words(one, style), indent=6)
    return lines


def _entry_words(one: InputChange) -> str:
    match one.change:
        case Change.ADDED:
            return f"{one.path}: new, {_short(one.now)}"
        case Change.REMOVED:
            return f"{one.path}: taken out, it was {_short(one.was)}"
        case Change.CHANGED:
            return f"{one.path}: {_short(one.was)} then, {_short(one.now)} now"


def _short(text: str) -> str:
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 3]}..."


def _effect_words(one: InputChange, style: Style) -> str:
    if one.npv_effect is None and one.avoided_kwh_effect is None:
        return "it cannot be put back by itself, so its part is in the rest"
    npv = _signed(one.npv_effect, Measure.MONEY, style)
    return f"alone it moves the NPV by {npv} and the heat by {_signed(one.avoided_kwh_effect, Measure.HEAT, style)}"


def _signed(value: float | None, measure: Measure, style: Style) -> str:
    shown = str(show_figure(value, measure, style))
    return f"+{shown}" if value is not None and value > 0 and shown[:1].isdigit() else shown


def _rest(since: Since, style: Style, screen: Screen) -> list[str]:
    """What the changes one by one do not explain, and what it may come from."""
    if since.rest_npv is None and since.rest_avoided_kwh is None:
        return screen.prose("One of the two answers has no NPV and no heat: nothing can be set against it.", indent=2)
    sources = ["other log files"] if since.files else []
    sources += ["another version of the program"] if since.version_was != since.version_now else []
    sources += ["entries that cannot be put back alone"] if any(_no_effect(one) for one in since.inputs) else []
    sources += ["changes that act together"] if len(since.inputs) > 1 else []
    if not since.inputs_known and since.ledger_changed:
        sources.append("the ledger")
    npv, heat = _signed(since.rest_npv, Measure.MONEY, style), _signed(since.rest_avoided_kwh, Measure.HEAT, style)
    if not sources:
        return screen.prose(f"The rest: NPV {npv}, heat {heat}.", indent=2)
    return screen.prose(f"The rest, from {', '.join(sources)}: NPV {npv}, heat {heat}.", indent=2)


def _no_effect(one: InputChange) -> bool:
    return one.npv_effect is None and one.avoided_kwh_effect is None
