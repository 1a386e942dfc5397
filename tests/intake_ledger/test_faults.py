"""Every other fault comes in one go, in the order of lines, each with its line, its entry and its mend."""

# ruff: noqa: E501  (a table of faults reads best with one of them to a line)
from __future__ import annotations

import pytest

from ledger.errors import Complaint, LedgerError
from ledger.intake.ledger_file import ledger_of
from tests.intake_ledger.test_least_ledger import LEAST


def complaints(text: str) -> tuple[Complaint, ...]:
    with pytest.raises(LedgerError) as caught:
        ledger_of(text, "farm.toml")
    return caught.value.complaints


# what it is, typed in the least ledger, what stands in its place, entry, line, words of the fault, words of the mend
PLACES = [
    ("bare number", '"12 m"', "12", "house.length", 8, "bare number", '"12 m"'),
    ("wrong dimension", '"12 m"', '"12 m2"', "house.length", 8, "not a unit of length", "ft"),
    ("comma in a quantity", '"12 m"', '"12,5 m"', "house.length", 8, "comma", '"12.5 m"'),
    ("area of nothing", '"12 m"', '"0 m"', "house.length", 8, "not above 0", "above 0"),
    ("number beyond floats", '"12 m"', '"1e999 m"', "house.length", 8, "too large", "check"),
    ("not a number", "latitude = 46", "latitude = nan", "site.latitude", 2, "no number", "finite"),
    ("latitude out of bounds", "latitude = 46", "latitude = 146", "site.latitude", 2, "above 90", "at most 90"),
    ("number in quotes", "latitude = 46", 'latitude = "46"', "site.latitude", 2, "not a number", "without quotes"),
    ("unknown key", "latitude = 46", "latitude = 46\nlongitud = 1", "site.longitud", 3, "unknown key", '"longitude"'),
    ("missing key", "latitude = 46\n", "", "site.latitude", 1, "missing", "add latitude"),
    ("unknown zone", "Europe/Rome", "Europe/Roma", "site.timezone", 5, "not known", '"Europe/Rome"'),
    ("unknown form", '"gable"', '"gabel"', "house.form", 7, "not known", '"gable"'),
    ("missing measure", 'ridge_height = "3.4 m"\n', "", "house.ridge_height", 6, "needs the measure", "add ridge_height"),
    ("low ridge", '"3.4 m"', '"1.4 m"', "house.ridge_height", 11, "not higher", "highest point"),
    ("unknown cover", "twin-wall polycarbonate 10 mm", "twin wal poly 10mm", "house.cover", 12, "built-in", "10 mm"),
    ("quoted date", "2025-06-11", '"2025-06-11"', "build[1].item[1].date", 18, "date in quotes", "without quotes"),
    ("moment for a day", "2025-06-11", "2025-06-11T08:00:00", "build[1].item[1].date", 18, "clock time", "2025-06-11"),
    ("year of a slip", "2025-06-11", "0205-06-11", "build[1].item[1].date", 18, "looks like a slip", "1900"),
    ("finer than the coin", "3850.00", "3850.005", "build[1].item[1].amount", 20, "smallest coin", "3850.01"),
    ("money of two readings", "3850.00", '"3.850,00"', "build[1].item[1].amount", 20, "two ways", "1250.00"),
    ("money that is none", "3850.00", '"much"', "build[1].item[1].amount", 20, "not money", "$1,250.00"),
    ("text that is none", '"excavation"', "5", "build[1].item[1].what", 19, "not text", '"5"'),
    ("empty text", '"excavation"', '""', "build[1].item[1].what", 19, "empty", "name or description"),
    ("unknown kind", '"electric resistance"', '"electric"', "source[1].kind", 23, "not known", '"electric resistance"'),
    ("price below 0", "price = 0.30", "price = -0.30", "source[1].price", 24, "below 0", "0 or more"),
    ("seven decimals", "price = 0.30", "price = 0.1234567", "source[1].price", 24, "six decimals", "six"),
    ("cord without heat", '"electric resistance"', '"wood stove"', "source[1].heat_per_unit", 21, "differ", "heat_basis"),
    ("efficiency of 68", "price = 0.30", "price = 1\nefficiency = 68", "source[1].efficiency", 25, "above 1", "0.68"),
    ("efficiency above 1", "price = 0.30", "price = 1\nefficiency = 1.2", "source[1].efficiency", 25, "above 1", "at most 1"),
    ("efficiency of 0", "price = 0.30", "price = 1\nefficiency = 0", "source[1].efficiency", 25, "no heat", "above 0"),
    ("cop at a heater", "price = 0.30", "price = 1\ncop = [[0, 2]]", "source[1].cop", 25, "electric resistance", "heat pump"),
    ("no price", "price = 0.30\n", "", "source[1].price", 21, "no price", "[electricity]"),
    ("absolute path", "logs/*.csv", "/logs/x.csv", "log[1].file", 26, "not relative", "logs/"),
    ("drive letter", "logs/*.csv", "C:/logs/x.csv", "log[1].file", 26, "not relative", "logs/"),
    ("climbing behind a wildcard", "logs/*.csv", "*/../../x.csv", "log[1].file", 26, "climbs", "in front"),
    ("backslash that is an escape", "logs/*.csv", "logs\\new.csv", "log[1].file", 26, "backslash", '"logs/station.csv"'),
    ("unknown temperature unit", 'unit = "degC" }\nout', 'unit = "deg" }\nout', "log[1].indoor.unit", 27, "unknown unit", "degF"),
    ("no outdoor column", 'outdoor = { column = "Outside", unit = "degC" }\n', "", "log[1].outdoor", 25, "outdoor", "add outdoor"),
    ("one bracket too few", "[[build]]", "[build]", "build", 15, "several", "two brackets"),
    ("one bracket too many", "[site]", "[[site]]", "site", 1, "only one", "[site] once"),
    ("no such section", "[hold]", "[holt]", "holt", 13, "unknown section", '"hold"'),
]  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "now", "entry", "line", "what", "mend"), [p[1:] for p in PLACES], ids=[p[0] for p in PLACES]
)
def test_each_fault_names_its_line_entry_and_mend(
    typed: str, now: str, entry: str, line: int, what: str, mend: str
) -> None:
    assert typed in LEAST
    found = next(c for c in complaints(LEAST.replace(typed, now, 1)) if c.place.entry == entry)
    assert found.place.file == "farm.toml"
    assert found.place.line == line
    assert what in found.what
    assert mend in found.mend


# lines added at the end, entry, line below the least ledger, words of the fault, words of the mend
ADDED = [
    ("rate of 6", "[money]\ndiscount_rate = 6", "money.discount_rate", 2, "bare number above 1", '0.06 or "6 %"'),
    ("rate in quotes", '[money]\ninflation = "2"', "money.inflation", 2, "without a per cent sign", '0.02 or "2 %"'),
    ("rate with comma", '[money]\ninflation = "2,5 %"', "money.inflation", 2, "not a rate", '"6 %"'),
    ("half a year", "[money]\nstudy_years = 25.5", "money.study_years", 2, "whole number", "1 to 100"),
    ("unknown source", '[money]\nagainst = "stove"', "money.against", 2, "no source", "electric heater"),
    ("grant for nobody", '[[money.grant]]\namount = 5\nfor = "tubes"', "money.grant[1].for", 3, "no build", "buried air tubes"),
    ("one end only", "[crop]\nbegins = \"03-01\"", "crop.ends", 1, "only one end", "add ends"),
    ("capped without ceiling", '[crop]\nmethod = "capped"', "crop.ceiling", 1, "needs a ceiling", "add ceiling"),
    ("ceiling below base", '[crop]\nceiling = "5 degC"', "crop.ceiling", 2, "not above the base", "above the base"),
    ("leap day", "[crop]\nbegins = \"02-29\"\nends = \"10-01\"", "crop.begins", 2, "leap years", "02-28"),
    ("day before month", "[crop]\nbegins = \"31-10\"\nends = \"10-01\"", "crop.begins", 2, "no day of the year", "month first"),
    ("single digits", "[crop]\nbegins = \"3-1\"\nends = \"10-01\"", "crop.begins", 2, "not a day of the year", "MM-DD"),
    ("spent for nobody", '[[spent]]\nfor = "tube"\ndate = 2025-01-01\nwhat = "x"\namount = 1', "spent[1].for", 2, "no build", "buried air tubes"),
    ("line for nobody", '[[running]]\nfor = "tubes"\ndate = 2025-01-01\namount = 1', "running[1].for", 2, "no build, no source", "buried air tubes"),
    ("meter backwards", '[[running]]\nfor = "house"\ndate = 2025-01-01\nmeter = { from = 9, to = 2 }', "running[1].meter.to", 4, "backwards", "rolls_over_at"),
    ("used twice", '[[running]]\nfor = "house"\ndate = 2025-01-01\nenergy = "1 kWh"\nquantity = 2', "running[1]", 1, "twice", "keep one"),
    ("says nothing", '[[running]]\nfor = "house"\ndate = 2025-01-01', "running[1]", 1, "neither", "add energy"),
    ("quantity of a build", '[[running]]\nfor = "house"\ndate = 2025-01-01\nquantity = 2', "running[1].quantity", 4, "no source", "energy"),
    ("ends before it begins", '[[running]]\nfor = "house"\ndate = 2025-01-01\namount = 2\nfrom = 2025-02-01', "running[1].from", 5, "before they begin", "check"),
    ("store without size", '[[store]]\nname = "tank"\nchannel = "water"', "store[1]", 1, "volume or mass", "add volume"),
    ("store without specific heat", '[[store]]\nname = "tank"\nchannel = "water"\nmass = "2 tonne"', "store[1].specific_heat", 1, "specific heat", "kJ/kg/K"),
    ("store of tons", '[[store]]\nname = "tank"\nchannel = "water"\nmass = "2 ton"', "store[1].mass", 4, "three different", "short_ton"),
    ("store of wind", '[[store]]\nname = "tank"\nchannel = "wind"\nvolume = "2 m3"', "store[1].channel", 3, "no temperature", "water"),
    ("store of nobody", '[[store]]\nname = "tank"\nbuild = "tank"\nchannel = "water"\nvolume = "2 m3"', "store[1].build", 3, "no build", "buried"),
    ("two of one name", '[[source]]\nname = "electric heater"\nkind = "propane"\nprice = 2', "source[2].name", 2, "called", "own name"),
    ("source called as a build", '[[source]]\nname = "buried air tubes"\nkind = "propane"\nprice = 2', "source[2].name", 2, "a build", "own name"),
    ("source called house", '[[source]]\nname = "house"\nkind = "propane"\nprice = 2', "source[2].name", 2, "season book", "another name"),
    ("then nobody", '[[source]]\nname = "gas"\nkind = "propane"\nprice = 2\nthen = "oil"', "source[2].then", 5, "no source", "electric heater"),
    ("then itself", '[[source]]\nname = "gas"\nkind = "propane"\nprice = 2\nthen = "gas"', "source[2].then", 5, "after itself", "no further"),
    ("unit without heat", '[[source]]\nname = "gas"\nkind = "propane"\nprice = 2\nunit = "bottle"', "source[2].heat_per_unit", 1, "no heat content", '"gal"'),
    ("other without anything", '[[source]]\nname = "peat"\nkind = "other"\nprice = 2', "source[2].unit", 1, "no unit", "add unit"),
    ("cop that is no list", '[[source]]\nname = "hp"\nkind = "heat pump"\ncop = 3', "source[2].cop", 4, "list of pairs", "[[-15, 1.8]"),
    ("two tariffs of a day", '[[source]]\nname = "gas"\nkind = "propane"\nprice = 2\n[[source.tariff]]\nsince = 2026-01-01\nprice = 1\n[[source.tariff]]\nsince = 2026-01-01\nprice = 2', "source[2].tariff[2].since", 9, "two tariffs", "own day"),
    ("loan of nothing", "[[money.loan]]\nprincipal = 0\nannual_rate = 0.05\nyears = 5", "money.loan[1].principal", 2, "nothing", "above 0"),
    ("rate of a loan", "[[money.loan]]\nprincipal = 5\nannual_rate = 5\nyears = 5", "money.loan[1].annual_rate", 3, "bare number", '"5 %"'),
    ("normals of one month", '[climate]\nnormals = [ { month = 1, mean_low = "-9 degC", mean_high = "1 degC" } ]', "climate.normals", 2, "missing: 2, 3", "all twelve"),
    ("no climate at all", "[climate]", "climate", 1, "neither a file nor normals", "normals"),
    ("end before beginning", '[[log.exclude]]\nfrom = 2025-12-12T00:00:00\nto = 2025-12-11T00:00:00\nwhy = "x"', "log[1].exclude[1]", 1, "ends before", "check"),
    ("exclude with an offset", '[[log.exclude]]\nfrom = 2025-12-12T00:00:00Z\nto = 2025-12-13\nwhy = "x"', "log[1].exclude[1].from", 2, "offset", "2025-12-12T00:00:00"),
    ("unknown clock", 'clock = "Mars"', "log[1].clock", 1, "no clock", "UTC-07:00"),
    ("unknown encoding", 'encoding = "utf-99"', "log[1].encoding", 1, "not known", "utf-8"),
    ("separator and decimal alike", 'separator = ","\ndecimal = ","', "log[1].separator", 1, "same", "differ"),
    ("offset of a fan", 'fan = { column = "F", offset = "1 K" }', "log[1].fan.offset", 1, "no temperature", "take offset out"),
    ("power of the sun", 'sun = { column = "S", power = "1 W" }', "log[1].sun.power", 1, "power", "fan"),
    ("column missing", 'sun = { unit = "W/m2" }', "log[1].sun.column", 1, "missing", "add column"),
    ("rolls over below its readings", '[[running]]\nfor = "house"\ndate = 2025-01-01\nmeter = { from = 9, to = 2, rolls_over_at = 5 }', "running[1].meter.rolls_over_at", 4, "below its own readings", "100000"),
    ("loan of a day", "[[money.loan]]\nprincipal = 5\nannual_rate = 0.05\nyears = 0.01", "money.loan[1].years", 4, "before its first payment", "payments_per_year"),
    ("rate of -95 %", '[money]\ninflation = "-95 %"', "money.inflation", 2, "no rate a year", "-90 %"),
    ("huge rate", '[money]\ninflation = "99999999 %"', "money.inflation", 2, "too large", "6 %"),
    ("study of 0 years", "[money]\nstudy_years = 0", "money.study_years", 2, "out of bounds", "1 to 100"),
    ("range for one amount", "[[money.loan]]\nprincipal = { likely = 5 }\nannual_rate = 0.05\nyears = 5", "money.loan[1].principal", 2, "one amount", "takes no range"),
    ("range in the book", '[[running]]\nfor = "house"\ndate = 2025-01-01\namount = { likely = 5 }', "running[1].amount", 4, "one amount", "takes no range"),
    ("range for a choice", '[crop]\nbase = { likely = "5 degC" }', "crop.base", 2, "one plain value", "takes no range"),
    ("upkeep below 0", '[[build]]\nname = "tank"\n[[build.item]]\ndate = 2025-01-01\nwhat = "tank"\namount = 1\n[[build.upkeep]]\nwhat = "paint"\namount = -5', "build[2].upkeep[1].amount", 9, "below 0", "0 or more"),
    ("fuel without heat", '[[source]]\nname = "gas"\nkind = "propane"\nprice = 2\nheat_per_unit = "0 kWh"', "source[2].heat_per_unit", 5, "holds no heat", "20 MMBtu"),
    ("output of nothing", '[[source]]\nname = "gas"\nkind = "propane"\nprice = 2\noutput = "0 kW"', "source[2].output", 5, "gives no heat", "9 kW"),
    ("unknown fuel unit", '[[source]]\nname = "e"\nkind = "electric resistance"\nprice = 2\nunit = "cord"', "source[2].heat_per_unit", 1, "no heat content", "kWh"),
    ("cop of 30", '[[source]]\nname = "hp"\nkind = "heat pump"\ncop = [[0, 30]]', "source[2].cop", 4, "between 0.5 and 12", "pairs"),
    ("cop in Fahrenheit", '[[source]]\nname = "hp"\nkind = "heat pump"\ncop = [[80, 3]]', "source[2].cop", 4, "no outdoor temperature", "degC"),
    ("cop twice", '[[source]]\nname = "hp"\nkind = "heat pump"\ncop = [[0, 3], [0, 2]]', "source[2].cop", 4, "two COPs", "one COP"),
    ("climate without outdoor", '[climate]\nfile = "c.csv"', "climate.outdoor", 1, "no outdoor column", "add outdoor"),
    ("odd decimal sign", 'decimal = ";"', "log[1].decimal", 1, "no decimal sign", '","'),
    ("flag in quotes", 'exclude = true', "log[1].exclude", 1, "sections are due", "[[log.exclude]]"),
    ("backup in quotes", '[[source]]\nname = "gas"\nkind = "propane"\nprice = 2\nbackup = "yes"', "source[2].backup", 5, "neither true nor false", "without quotes"),
    ("long name", '[[benefit]]\nwhat = "' + "x" * 301 + '"\namount = 1', "benefit[1].what", 2, "longer than 300", "comment"),
    ("name over lines", '[[benefit]]\nwhat = """a\nb"""\namount = 1', "benefit[1].what", 2, "line break", "one line"),
    ("word for money", '[[benefit]]\nwhat = "x"\namount = "5 dollars"', "benefit[1].amount", 3, "not money", "$1,250.00"),
    ("season that is no table", "[climate]\nnormals = 5", "climate.normals", 2, "sections are due", "[[climate.normals]]"),
    ("labour without rate", "[labour]", "labour.rate", 1, "missing", "add rate"),
    ("table for a list", "[[benefit]]\nwhat = \"greens\"\namount = true", "benefit[1].amount", 3, "true is not a number", "bare number"),
]  # fmt: skip


@pytest.mark.parametrize(("typed", "entry", "below", "what", "mend"), [a[1:] for a in ADDED], ids=[a[0] for a in ADDED])
def test_each_fault_of_a_section_added_names_its_line_entry_and_mend(
    typed: str, entry: str, below: int, what: str, mend: str
) -> None:
    found = next(c for c in complaints(f"{LEAST}{typed}\n") if c.place.entry == entry)
    assert found.place.line == len(LEAST.splitlines()) + below
    assert what in found.what
    assert mend in found.mend


RANGES = [
    ("{ low = 2, likely = 1, high = 3 }", "likely", "not in this order"),
    ("{ low = 0.5, likly = 1, high = 3 }", "likly", 'unknown key "likly"'),
    ("{ low = 0.5, high = 3 }", "", "no likely figure"),
    ("{ low = 0.5, likely = 1 }", "", "no high"),
    ('{ low = 0.5, likely = "x", high = 3 }', "likely", "not a number"),
    ('{ likely = 1, basis = "measured" }', "basis", "not known"),
    ("{ low = 0.5, likely = 1, high = 3, exact = true }", "exact", "exact = true stands beside"),
    ("{ low = -1, likely = 1, high = 3 }", "low", "below 0"),
    ("{ likely = inf }", "likely", "no number"),
]


@pytest.mark.parametrize(("typed", "key", "what"), RANGES)
def test_each_fault_of_an_uncertain_value_names_the_key_inside_it(typed: str, key: str, what: str) -> None:
    (found,) = complaints(LEAST.replace("[hold]", f"air_changes = {typed}\n[hold]"))
    assert found.place.entry == "house.air_changes" + (f".{key}" if key else "")
    assert found.place.line == 13
    assert what in found.what
    assert found.mend


def test_all_faults_come_at_once_in_the_order_of_lines() -> None:
    text = LEAST.replace("latitude = 46", "latitude = 146").replace("amount = 3850.00", 'amount = "much"')
    text = text.replace('"4 degC"', "4") + '[[spent]]\nfor = "nobody"\n[money]\nagainst = "nothing"\ninflation = 3\n'
    found = complaints(text)
    assert [c.place.entry for c in found] == [
        "site.latitude",
        "hold.temperature",
        "build[1].item[1].amount",
        "spent[1].amount",
        "spent[1].date",
        "spent[1].what",
        "spent[1].for",
        "money.against",
        "money.inflation",
    ]
    lines = [c.place.line or 0 for c in found]
    assert lines == sorted(lines)


@pytest.mark.parametrize(("key", "header"), [("money = 5", "[money]"), ("running = 5", "[[running]]")])
def test_a_key_that_should_be_a_section_is_answered_with_its_header(key: str, header: str) -> None:
    (found,) = complaints(f"{key}\n{LEAST}")
    assert (found.place.line, header in found.mend) == (1, True)


def test_a_section_written_as_a_value_is_a_table_all_the_same() -> None:
    (found,) = complaints(LEAST.replace("[hold]", '[hold]\nseason = "10-01"'))
    assert (found.place.entry, "table" in found.what) == ("hold.season", True)


def test_a_house_without_anything_says_all_that_is_missing() -> None:
    start, end = LEAST.index("[house]"), LEAST.index("[hold]")
    found = complaints(LEAST[:start] + "[house]\n" + LEAST[end:])
    assert {c.place.entry for c in found} == {"house", "house.floor_area", "house.volume"}


def test_a_cover_without_a_form_has_no_area() -> None:
    start, end = LEAST.index("[house]"), LEAST.index("[hold]")
    house = '[house]\nfloor_area = "9 m2"\nvolume = "20 m3"\ncover = "single glass"\n'
    assert "house.cover" in {c.place.entry for c in complaints(LEAST[:start] + house + LEAST[end:])}


def test_a_form_without_a_cover_is_a_fault() -> None:
    found = complaints(LEAST.replace('cover = "twin-wall polycarbonate 10 mm"\n', ""))
    assert [c.place.entry for c in found] == ["house.cover"]


def test_two_surfaces_of_one_name_are_a_fault_and_so_is_the_covers() -> None:
    wall = '[[house.surface]]\nname = "{}"\narea = "3 m2"\nu_value = "0.4 W/m2/K"\n'
    twice = LEAST.replace("[hold]", wall.format("wall") * 2 + "[hold]")
    assert [c.place.entry for c in complaints(twice)] == ["house.surface[2].name"]
    own = LEAST.replace("[hold]", wall.format("cover") + "[hold]")
    assert [c.place.entry for c in complaints(own)] == ["house.surface[1].name"]


def test_an_unknown_cover_of_a_surface_is_answered_with_the_nearest() -> None:
    wall = '[[house.surface]]\nname = "wall"\narea = "3 m2"\ncover = "single glas"\n[hold]'
    (found,) = complaints(LEAST.replace("[hold]", wall))
    assert (found.place.entry, "single glass" in found.mend) == ("house.surface[1].cover", True)


def test_an_empty_ledger_says_which_sections_it_needs() -> None:
    assert {c.place.entry for c in complaints("")} == {"site", "house", "hold", "build", "source", "log"}


def test_a_build_without_an_item_has_no_cost_and_is_a_fault() -> None:
    (found,) = complaints(LEAST + '[[build]]\nname = "tank"\n')
    assert "no item" in found.what
    assert "[[build.item]]" in found.mend


def test_shares_of_the_saving_above_one_are_a_fault() -> None:
    text = LEAST.replace('name = "buried air tubes"', 'name = "buried air tubes"\nshare_of_saving = 0.7')
    text += '[[build]]\nname = "tank"\nshare_of_saving = 0.4\n'
    text += '[[build.item]]\ndate = 2025-01-01\nwhat = "tank"\namount = 1\n'
    (found,) = complaints(text)
    assert found.place.entry == "build[2].share_of_saving"


def test_an_unknown_surface_in_before_is_answered_with_those_there_are() -> None:
    text = LEAST.replace("[[build.item]]", '[[build.before]]\nsurface = "roof"\nu_value = "6 W/m2/K"\n[[build.item]]')
    (found,) = complaints(text)
    assert found.place.entry == "build[1].before[1].surface"
    assert '"cover"' in found.mend


@pytest.mark.parametrize(
    ("lines", "entry"),
    [
        ('surface = "cover"', ".u_value"),
        ('u_value = "6 W/m2/K"', ""),
        ('loss = "1 W/m/K"', ""),
        ('edge = "perimeter"', ".loss"),
        ('surface = "cover"\nu_value = "6 W/m2/K"\nair_changes = 2', ""),
        ('air_changes = 2\nu_value = "6 W/m2/K"', ".u_value"),
    ],
)
def test_before_says_exactly_one_thing_with_its_value(lines: str, entry: str) -> None:
    found = complaints(LEAST.replace("[[build.item]]", f"[[build.before]]\n{lines}\n[[build.item]]"))
    assert found[0].place.entry == f"build[1].before[1]{entry}"


def test_surfaces_larger_than_the_form_are_a_fault_unless_they_lie_beyond_it() -> None:
    wall = '[[house.surface]]\nname = "wall"\narea = "300 m2"\nu_value = "0.4 W/m2/K"\n[hold]'
    (found,) = complaints(LEAST.replace("[hold]", wall))
    assert "beyond_form" in found.mend
    beyond = ledger_of(LEAST.replace("[hold]", wall.replace("[hold]", "beyond_form = true\n[hold]")), "farm.toml")
    assert [surface.name for surface in beyond.house.surfaces] == ["cover", "wall"]


def test_electricity_that_is_used_is_never_free() -> None:
    """A fan channel, or energy without an amount, needs a price; an electric source's own price would do."""
    gas = LEAST.replace('"electric resistance"', '"propane"').replace("price = 0.30", "price = 2.5")
    (found,) = complaints(gas + 'fan = { column = "Fan", power = "90 W" }\n')
    assert found.place.entry == "log[1].fan"
    (found,) = complaints(gas + '[[running]]\nfor = "house"\ndate = 2025-12-01\nenergy = "5 kWh"\n')
    assert found.place.entry == "electricity.price"
    assert f"line {len(LEAST.splitlines()) + 1}" in found.what
    paid = ledger_of(gas + '[[running]]\nfor = "house"\ndate = 2025-12-01\nenergy = "5 kWh"\namount = 1\n', "farm.toml")
    assert paid.electricity.price is None


def test_a_currency_that_is_none_is_answered_with_the_nearest() -> None:
    (found,) = complaints('[ledger]\ncurrency = "EURO"\n' + LEAST)
    assert '"EUR"' in found.mend


def test_money_in_another_currency_than_the_ledgers_is_a_fault() -> None:
    text = '[ledger]\ncurrency = "EUR"\n' + LEAST
    assert "in USD" in complaints(text.replace("3850.00", '"USD 3,850.00"'))[0].what
    assert "in £" in complaints(text.replace("3850.00", '"£3,850.00"'))[0].what
    assert "in $" in complaints(text.replace("3850.00", '"$3,850.00"'))[0].what
    assert "not known" in complaints(text.replace("3850.00", '"3,850 EURO"'))[0].what
    ledger_of(text.replace("3850.00", '"€3,850.00"'), "farm.toml")
    ledger_of(text.replace("3850.00", '"3,850.00 EUR"'), "farm.toml")


@pytest.mark.parametrize(
    ("currency", "typed"),
    [
        ("USD", "$3,850.00"), ("CAD", "C$3,850.00"), ("MXN", "$3,850.00"), ("BRL", "R$ 3,850.00"), ("GBP", "£3,850"),
        ("CHF", "Fr. 3'850.50"), ("SEK", "3850 kr"), ("PLN", "3850 zł"), ("JPY", "¥3,850"), ("CNY", "¥3,850.00"),
    ],
)  # fmt: skip
def test_a_sign_of_the_ledgers_currency_is_taken(currency: str, typed: str) -> None:
    ledger_of(f'[ledger]\ncurrency = "{currency}"\n' + LEAST.replace("3850.00", f'"{typed}"'), "farm.toml")


def test_a_yen_has_no_smaller_coin() -> None:
    assert (
        "smallest coin of JPY"
        in complaints('[ledger]\ncurrency = "JPY"\n' + LEAST.replace("3850.00", "3850.5"))[0].what
    )


def test_rows_that_are_no_tables_are_answered_with_words() -> None:
    head, tail = LEAST.split("[[log]]")
    found = complaints("log = [1, 2]\n" + head)
    assert [c.place.entry for c in found if c.place.entry.startswith("log")] == ["log[1]", "log[2]"]
    assert tail
