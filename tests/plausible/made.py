"""One short ledger that is in order, and what is doubted when a line of it is changed."""

from __future__ import annotations

from ledger.errors import Notice
from ledger.intake.doubts import DOUBTS
from ledger.intake.ledger_file import ledger_of
from ledger.model.ledger import Ledger

CODES = frozenset(doubt.code for doubt in DOUBTS)

PLAIN = """
[ledger]
currency = "EUR"
[site]
latitude = 46
longitude = 11
elevation = "600 m"
timezone = "Europe/Rome"
[house]
floor_area = "60 m2"
volume = "150 m3"
[[house.surface]]
name = "skin"
area = "140 m2"
u_value = "3 W/m2/K"
[[house.surface]]
name = "north wall"
area = "30 m2"
u_value = "0.45 W/m2/K"
[hold]
temperature = "6 degC"
season = { begins = "10-01", ends = "04-30" }
backup_used = "none"
[money]
base_date = 2025-09-01
study_years = 30
[electricity]
price = 0.2
[[build]]
name = "buried air tubes"
[[build.item]]
date = 2025-06-01
what = "digging and pipe"
amount = 3000
life_years = 30
[[build]]
name = "water tank"
[[build.item]]
date = 2025-06-11
what = "barrels"
amount = 800
[[source]]
name = "heater"
kind = "electric resistance"
price = 0.2
capital = 100
backup = true
[[log]]
file = "log.csv"
indoor = { column = "in" }
outdoor = { column = "out" }
"""


def ledger(*changes: tuple[str, str], more: str = "") -> Ledger:
    """The ledger with some of its text changed; each change must be possible exactly once."""
    text = PLAIN
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return ledger_of(text + more, "ledger.toml")


def doubted(*changes: tuple[str, str], more: str = "") -> list[Notice]:
    """The doubts of the table that reading such a ledger raises."""
    return [notice for notice in ledger(*changes, more=more).notices if notice.code in CODES]


def line_of(text: str, *, more: str = "") -> int:
    """The line of the plain ledger, with something added below, that begins so."""
    return next(n for n, line in enumerate((PLAIN + more).splitlines(), 1) if line.startswith(text))
