"""Paths of uncertain inputs in words that can be read aloud."""

from __future__ import annotations

import re

from ledger.doubt.chain import MONTHS_NOT_LOGGED
from ledger.heat.curve import FLOOR_AREA, FLOOR_HEAT, LIFT, MODEL
from ledger.heat.season import BACKUP, BARE, INDOOR, NIGHTS
from ledger.model.ledger import Ledger

_PLAIN = {
    "house.volume": "the air volume of the house",
    "house.air_changes": "how leaky the house is (air changes)",
    FLOOR_AREA: "the floor area of the house",
    FLOOR_HEAT: "how much heat the floor gives back at night",
    LIFT: "how much warmer than outdoors the bare house is",
    BARE: "the measured temperature of the bare house",
    INDOOR: "the accuracy of the indoor thermometer",
    BACKUP: "the efficiency of the backup heater",
    NIGHTS: "what a heater would have used for nights as warm",
    MODEL: "the house model",
    MONTHS_NOT_LOGGED: "the months that no season logged",
    "money.discount_rate": "the discount rate",
    "money.inflation": "inflation",
    "labour.rate": "the price of an hour of own work",
    "electricity.price": "the price of electricity",
    "electricity.price_growth": "the growth of the price of electricity",
}
_NAMED = {
    ("house.surface", "area"): "the area of {name}",
    ("house.surface", "u_value"): "the U-value of {name}",
    ("house.edge", "length"): "the length of {name}",
    ("house.edge", "loss"): "the edge loss of {name}",
    ("build", "expected_fraction"): "the share of the need that {name} is expected to cover",
    ("build", "expected_running"): "what {name} is expected to cost to run",
    ("money.grant", "amount"): "the grant {name}",
    ("source", "price"): "the fuel price of {name}",
    ("source", "price_growth"): "the growth of the fuel price of {name}",
    ("source", "heat_per_unit"): "the heat in a unit of fuel for {name}",
    ("source", "efficiency"): "the efficiency of {name}",
    ("source", "hours_per_unit"): "the work that {name} takes",
    ("source", "capital"): "what {name} costs to buy",
    ("source", "life_years"): "the life of {name}",
    ("source", "upkeep"): "the upkeep of {name}",
}
_LISTED = {
    ("item", "amount"): "what {what} cost ({name})",
    ("item", "share"): "the share of {what} that is only for the heat ({name})",
    ("item", "life_years"): "the life of {what} ({name})",
    ("item", "residual"): "what is left of {what} at its end ({name})",
    ("item", "hours"): "the own work in {what} ({name})",
    ("upkeep", "amount"): "the upkeep for {what} ({name})",
    ("tariff", "price"): "the price of {name} from {what} on",
    ("before", ""): "what stood there before {name}",
}
_ONE_NAME = re.compile(r"^(?P<place>[a-z_.]+)\[(?P<name>.*)\]\.(?P<key>[a-z_]+)$")
_ONE_OF_A_LIST = re.compile(
    r"^(?P<place>build|source)\[(?P<name>.*)\]\.(?P<list>[a-z]+)\[(?P<number>\d+)\]\.?(?P<key>[a-z_]*)$"
)


def in_words(path: str, ledger: Ledger) -> str:
    """What an input is, in words.

    Parameters
    ----------
    path : of an uncertain input, as in `Driver.input`.
    ledger : for the names of items.

    Returns
    -------
    str : the path itself where it has no words of its own.
    """
    if path in _PLAIN:
        return _PLAIN[path]
    listed = _ONE_OF_A_LIST.match(path)
    if listed is not None and (listed["list"], listed["key"]) in _LISTED:
        what = _what(ledger, listed["name"], listed["list"], int(listed["number"]))
        return _LISTED[listed["list"], listed["key"]].format(name=listed["name"], what=what)
    named = _ONE_NAME.match(path)
    if named is not None and (named["place"], named["key"]) in _NAMED:
        return _NAMED[named["place"], named["key"]].format(name=named["name"])
    return path


def _what(ledger: Ledger, build: str, kind: str, number: int) -> str:
    """What the grower calls an entry of a list, counted from 1; a tariff by its first day."""
    if kind == "tariff":
        since = [t.since for s in ledger.sources if s.name == build for t in s.tariffs]
        return str(since[number - 1]) if 1 <= number <= len(since) else f"entry {number}"
    for one in ledger.builds:
        entries = one.items if kind == "item" else one.upkeep
        if one.name == build and kind in ("item", "upkeep") and 1 <= number <= len(entries):
            return entries[number - 1].what
    return f"entry {number}"
