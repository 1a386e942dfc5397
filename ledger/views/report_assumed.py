"""What was assumed, and which part each doubt has in the answer."""

from __future__ import annotations

import re

from ledger.appraisal import Appraisal
from ledger.doubt.words import in_words
from ledger.heat.curve import FLOOR_HEAT, LIFT
from ledger.views.assumed import assumed_words
from ledger.views.figures import Measure, show_figure, show_span
from ledger.views.report_parts import Bullets, Grid, Part, Prose, Section, name_of
from ledger.views.row import is_placeholder, style_of

MOST_DOUBTS, MOST_ASSUMED = 6, 3
_NAMED = re.compile(r"^(build|source)\[(?P<name>.*)\]\.(?P<rest>[a-z_]+(\[\d+\])?(\.[a-z_]+)?)$")
_SURFACE = re.compile(r"^house\.surface\[.*\]\.u_value$")


def assumed_section(a: Appraisal) -> Section:
    """The greatest doubts with their part in the answer; those that are defaults of ours are marked."""
    defaults = {one.path for one in a.assumed}
    parts: list[Part] = []
    if a.drivers and not is_placeholder(a):
        parts.append(_doubts(a, defaults))
    elif a.assumed:
        lines = [assumed_words(one, a.source.show) for one in a.assumed if one.path.startswith("house")]
        parts.append(Bullets(tuple(name_of(line, most=120) for line in lines[:MOST_ASSUMED])))
    count = len(a.assumed)
    if count:
        words = f"{count} value{'s were' if count > 1 else ' was'} not in the ledger and assumed"
        parts.append(Prose(f"{words}; warmledger check lists each with its source."))
    else:
        parts.append(Prose("Nothing was assumed."))
    return Section("What was assumed, and what it moves", tuple(parts))


def _doubts(a: Appraisal, defaults: set[str]) -> Grid:
    style, shown = style_of(a), a.drivers[:MOST_DOUBTS]
    with_part = any(driver.variance_share is not None for driver in shown)
    rows = []
    for driver in shown:
        words = name_of(in_words(driver.input, a.source), most=64)
        known = "assumed" if is_default(driver.input, a, defaults) else "ledger"
        ends = sorted((driver.npv_low, driver.npv_high))
        part = show_figure(driver.variance_share, Measure.SHARE, style).text
        rows.append(
            (words, known, show_span(ends[0], ends[1], Measure.MONEY, style).text, *([part] if with_part else []))
        )
    head = ("what may be otherwise", "from", f"gain, {style.currency}", *(["% of doubt"] if with_part else []))
    also = ", and its part in all doubt together" if with_part else ""
    return Grid(f"Doubts, each alone from its low to its high end{also}", head, tuple(rows), words=2)


def is_default(path: str, a: Appraisal, defaults: set[str]) -> bool:
    """Whether an uncertain input stands at a default of ours; inputs go by name, the list of defaults by number."""
    if path in defaults or (_SURFACE.match(path) and "house.u_value" in defaults):
        return True
    if path == FLOOR_HEAT:
        return LIFT in defaults
    named = _NAMED.match(path)
    if named is None:
        return False
    kind = path.split("[")[0]
    names = [one.name for one in a.source.builds] if kind == "build" else [one.name for one in a.source.sources]
    places = [k for k, name in enumerate(names, start=1) if name == named["name"]]
    return any(f"{kind}[{k}].{named['rest']}" in defaults for k in places)
