"""A small ledger, kept by hand, with comments in every place where one may stand. The farm is invented."""

from __future__ import annotations

from pathlib import Path

from ledger.cli.outputs import replace
from ledger.intake.note import Noted, note_line
from ledger.intake.note_line import Book, NewLine

LEDGER = """# Sill Barn, kept by hand since 2025

[ledger]
title    = "Sill Barn"     # the small one
currency = "EUR"

[site]
latitude = 46
longitude = 11
elevation = "1200 m"
timezone = "Europe/Rome"

[house]
form = "gable"
length = "12 m"
width = "5 m"
side_height = "2 m"
ridge_height = "3.4 m"
cover = "twin-wall polycarbonate 10 mm"

[hold]
temperature = "4 degC"

[money]
base_date = 2025-09-01

# --- what was built ---
[[build]]
name = "tank"

[[build.item]]
date = 2025-08-01
what = "tank"
amount = 900

[[source]]
name = "heater"
kind = "electric resistance"
unit = "kWh"
price = 0.25

[[source]]
name = "stove"
kind = "wood stove"
unit = "cord"
price = 260
heat_per_unit = "20 MMBtu"

[[log]]
file = "station.csv"
indoor = { column = "Inside", unit = "degC" }
outdoor = { column = "Outside", unit = "degC" }

# --- the season book ---

[[running]]                # read by torchlight
date = 2025-11-30
for = "tank"
what = "pump"
energy = "12 kWh"   # new meter
# a last word on the pump


# --- steps ---
[[next]]
what = "second layer"
amount = 100
"""


def farm(folder: Path, raw: bytes | str = LEDGER) -> Path:
    """The ledger in a folder."""
    path = folder / "ledger.toml"
    path.write_bytes(raw if isinstance(raw, bytes) else raw.encode("utf-8"))
    return path


def line(**given: str) -> NewLine:
    """A line of the season book; `target` stands for `for`, low strokes for high ones, `first`, `last` for the days."""
    names = {"target": "for", "first": "from", "last": "to"}
    entries = {names.get(key, key.replace("_", "-")): text for key, text in given.items()}
    return NewLine(Book.RUNNING, {"date": "2025-12-31", "for": "tank", **entries})


def spent(**given: str) -> NewLine:
    """A line of the capital."""
    return NewLine(Book.SPENT, {"date": "2025-12-31", "for": "tank", "what": "pump", "amount": "80", **given})


def note(path: Path, one: NewLine) -> Noted:
    """Note a line as the program does."""
    return note_line(path, one, write=replace)
