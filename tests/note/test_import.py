"""Exports of a bank and of a meter: what they say is noted, nothing twice, nothing guessed. All are invented."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from ledger.cli.outputs import replace
from ledger.errors import LedgerError, WarmledgerError
from ledger.intake.ledger_file import read_ledger
from ledger.intake.note import Noted, note_new_lines
from ledger.intake.note_import import Import, ImportSpec, read_import
from tests.note.farm import LEDGER, farm

BANK = """Account 1234
Booked;Value;Text;Balance
05.11.2025;-1.250,50;"Wood; two cords";5.000,00
17.12.2025;-7,38;Fan  belt;4.992,62
17.12.2025;-7,38;Fan belt;4.985,24
20.12.2025;3,00;Refund, belt;4.988,24
Total;;;4.988,24
"""
METER = "Date,Reading (kWh)\n11/01/2025,99950.0\n12/31/2025,35.5\n11/30/2025,99990.0\n"
BY_BANK = ImportSpec("date=Booked,amount=-Value,what=Text", "stove")


def _read(folder: Path, text: str | bytes, spec: ImportSpec) -> Import:
    path = folder / "export.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    return read_import(path, spec)


def _noted(path: Path, read: Import) -> Noted:
    return note_new_lines(path, read.lines, write=replace)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_banks_export_with_comma_decimals_and_quotes_becomes_lines(encoding: str, tmp_path: Path) -> None:
    """1.250,50 paid is 1250.50; a minus before the column turns the sign, so that 3,00 received is a refund."""
    path = farm(tmp_path)
    read = _read(tmp_path, BANK.replace("Fan  belt", "Fän  belt").encode(encoding), BY_BANK)
    assert read.refused == ((7, '"Total" is no date'),)
    _noted(path, read)
    lines = [x for x in read_ledger(path).ledger.running if x.target == "stove"]
    assert [(x.date, x.what, x.amount) for x in lines] == [
        (date(2025, 11, 5), "Wood; two cords", Decimal("1250.50")),
        (date(2025, 12, 17), "Fän belt", Decimal("7.38")),
        (date(2025, 12, 17), "Fan belt", Decimal("7.38")),
        (date(2025, 12, 20), "Refund, belt", Decimal("-3.00")),
    ]


def test_nothing_is_noted_twice_and_two_like_lines_of_one_export_are_two(tmp_path: Path) -> None:
    """The first export holds one of two like lines; the longer one, a month later, adds the other one and the rest."""
    path = farm(tmp_path)
    first = _noted(path, _read(tmp_path, "\n".join(BANK.split("\n")[:4]), BY_BANK))
    assert (len(first.added), len(first.skipped)) == (2, 0)
    again = _noted(path, _read(tmp_path, BANK, BY_BANK))
    assert [x.given["what"] for x in again.added] == ["Fan belt", "Refund, belt"]
    assert [x.stands_at for x in again.skipped] == list(first.starts)
    third = _noted(path, _read(tmp_path, BANK, BY_BANK))
    assert (len(third.added), len(third.skipped)) == (0, 4)
    assert len(read_ledger(path).ledger.running) == 1 + 4


def test_a_dry_run_writes_nothing_at_all(tmp_path: Path) -> None:
    path = farm(tmp_path)
    noted = note_new_lines(path, _read(tmp_path, BANK, BY_BANK).lines, write=None)
    assert len(noted.added) == 4
    assert path.read_text(encoding="utf-8") == LEDGER
    assert sorted(x.name for x in tmp_path.iterdir()) == ["export.csv", "ledger.toml"]


def test_a_meters_readings_become_lines_from_one_to_the_next(tmp_path: Path) -> None:
    """Five digits: 99 950 to 99 990 is 40 kWh over 29 days; 99 990 to 35.5 is 45.5 kWh over 31 days."""
    path = farm(tmp_path)
    spec = ImportSpec("date=Date,meter=Reading", "tank", what="meter of the fan", rolls_over_at="100000")
    _noted(path, _read(tmp_path, METER, spec))
    lines = [x for x in read_ledger(path).ledger.running if x.what == "meter of the fan"]
    assert [x.energy_kwh for x in lines] == [pytest.approx(40.0), pytest.approx(45.5)]
    assert [(x.last_day - x.first_day).days + 1 for x in lines] == [29, 31]


def test_a_meter_that_runs_backwards_is_told_with_its_line_in_the_export(tmp_path: Path) -> None:
    path = farm(tmp_path)
    read = _read(tmp_path, METER, ImportSpec("date=Date,meter=Reading", "tank"))
    with pytest.raises(LedgerError, match="runs backwards") as told:
        _noted(path, read)
    assert told.value.complaints[0].place.line == 3
    assert path.read_text(encoding="utf-8") == LEDGER


def test_day_and_month_are_asked_for_where_no_date_proves_their_order(tmp_path: Path) -> None:
    """05/11 and 06/12 may be read in two ways; 17/12 proves that the day stands first."""
    text = "Day;Used (kWh)\n05/11/2025;4\n06/12/2025;5\n"
    spec = ImportSpec("date=Day,energy=Used", "tank")
    with pytest.raises(LedgerError, match="no date proves") as told:
        _read(tmp_path, text, spec)
    assert "--dates" in told.value.complaints[0].mend
    proved = _read(tmp_path, text + "17/12/2025;6\n", spec)
    assert [x.given["date"] for x in proved.lines] == ["2025-11-05", "2025-12-06", "2025-12-17"]
    for said, first in (("day first", "2025-11-05"), ("Month first", "2025-05-11")):
        told_order = ImportSpec(spec.columns, "tank", dates=said)
        assert _read(tmp_path, text, told_order).lines[0].given["date"] == first


@pytest.mark.parametrize(
    ("text", "columns"),
    [
        ("Day,Used [Wh]\n2025-12-17,4000\n", "date=Day,energy=Used"),
        ("Day,Used\n2025-12-17,4000 Wh\n", "date=Day,energy=Used"),
        ("Day,Used\n2025-12-17,4000\n", "date=Day,energy=Used Wh"),
        ("Day,Used (kWh)\n2025-12-17,4.0\n", "date=Day,energy=Used"),
        ("Day,Used\n2025-12-17,14.4\n", "date=Day,energy=Used MJ"),
    ],
)
def test_the_unit_of_energy_comes_from_header_cell_or_mapping(text: str, columns: str, tmp_path: Path) -> None:
    """4000 Wh = 4 kWh = 14.4 MJ."""
    path = farm(tmp_path)
    _noted(path, _read(tmp_path, text, ImportSpec(columns, "tank")))
    assert read_ledger(path).ledger.running[-1].energy_kwh == pytest.approx(4.0)


def test_energy_without_a_unit_is_asked_for(tmp_path: Path) -> None:
    with pytest.raises(LedgerError, match="unit"):
        _read(tmp_path, "Day,Used\n2025-12-17,4\n", ImportSpec("date=Day,energy=Used", "tank"))


def test_only_lines_that_hold_a_text_are_taken(tmp_path: Path) -> None:
    spec = ImportSpec(BY_BANK.columns, "stove", only="belt")
    assert [x.given["amount"] for x in _read(tmp_path, BANK, spec).lines] == ["7.38", "7.38", "-3"]


@pytest.mark.parametrize(
    ("columns", "words"),
    [
        ("date=Booked,amount=Value", "all amounts are below 0"),
        ("date=Bookd,amount=-Value", 'did you mean "Booked"'),
        ("date=Booked,sum=Value", 'no "sum"'),
        ("amount=-Value", "for the date"),
        ("date=Booked,what=Text", "used or paid"),
        ("Booked", "names no column"),
    ],
)
def test_a_mapping_that_cannot_be_is_told_with_the_mend(columns: str, words: str, tmp_path: Path) -> None:
    text = "\n".join(BANK.split("\n")[:5])
    with pytest.raises(WarmledgerError) as told:
        _read(tmp_path, text, ImportSpec(columns, "stove"))
    assert words in " ".join(f"{c.what} {c.mend}" for c in told.value.complaints)


def test_a_figure_whose_comma_may_be_either_mark_is_asked_for(tmp_path: Path) -> None:
    text = "Booked;Value\n2025-12-17;1,250\n"
    spec = ImportSpec("date=Booked,amount=Value", "stove")
    with pytest.raises(WarmledgerError) as told:
        _read(tmp_path, text, spec)
    assert "--decimal" in told.value.complaints[0].mend
    for mark, amount in ((".", "1250"), (",", "1.25")):
        said = ImportSpec(spec.columns, "stove", decimal=mark)
        assert _read(tmp_path, text, said).lines[0].given["amount"] == amount
