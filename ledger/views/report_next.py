"""What to measure next: the cheapest step against the greatest doubt."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.doubt.words import in_words
from ledger.heat.season import BACKUP, BARE, INDOOR, NIGHTS
from ledger.money.results import Driver
from ledger.views.phrases import month_words
from ledger.views.report_parts import Bullets, Section, name_of
from ledger.views.row import is_placeholder

MOST_STEPS, MOST_DRIVERS_ASKED = 4, 6
_METERED_NIGHTS = (
    "A heater with a meter, holding the house at a steady temperature for three calm and cold nights: shows what "
    "heat the house loses."
)
_STEPS = (
    (("hold.nights_for_a_heater", NIGHTS, "house.surface", "house.edge", "house.air_changes", "house.model"),
     _METERED_NIGHTS),
    ((BARE,), "The sensor in the other house set beside the one in this house for a night: shows how far they differ."),
    ((INDOOR,), "Both thermometers in ice water for an hour: shows their error."),
    ((BACKUP,), "The heater's fuel weighed or metered for a week."),
    (("labour",), "Hours of own work noted in the season book as they are done."),
)  # fmt: skip


def next_section(a: Appraisal) -> Section:
    """Steps in the order of what they would settle."""
    steps = dict.fromkeys([*_what_is_missing(a), *_against_doubts(a)])
    lines = tuple(steps)[:MOST_STEPS] or ("Another winter's log, and its season book, to see whether this one holds.",)
    return Section("What will be measured next", (Bullets(lines),))


def _what_is_missing(a: Appraisal) -> list[str]:
    found = []
    if a.log is None:
        found.append("A winter's log, indoors and outdoors, before anything is built: without one there is no proof.")
    if is_placeholder(a):
        found.append("The fan left off for blocks of three nights or more, in weather like that of nights with it on.")
        found.append(_METERED_NIGHTS)
    if a.typical_money is not None and a.typical_money.running_cost is None:
        found.append("The fan's meter read at the beginning and the end of the season.")
    if a.typical_heat is not None and a.typical_heat.months_not_logged:
        months = month_words(a.typical_heat.months_not_logged, first=a.source.hold.season.begins.month)
        found.append(f"{months} logged; until then twelve monthly normals in the ledger.")
    return found


def _against_doubts(a: Appraisal) -> list[str]:
    if is_placeholder(a):
        return []
    return [step for driver in a.drivers[:MOST_DRIVERS_ASKED] if (step := _step(driver, a))]


def _step(driver: Driver, a: Appraisal) -> str:
    path = driver.input
    for starts, words in _STEPS:
        if any(path.startswith(start) for start in starts):
            return words
    if path.endswith(("price", "price_growth")):
        return "The heater's yearly fuel bills, with price and quantity, as they come."
    if path.endswith("efficiency"):
        return f"A test or data sheet for {name_of(in_words(path, a.source), most=70)}."
    if path.endswith((".amount", "hours")):
        return f"A paper for {name_of(in_words(path, a.source), most=70)}."
    return ""
