"""The season book: what a line stands for, and which days it covers."""

from __future__ import annotations

from datetime import date

import pytest

from ledger.intake.ledger_file import ledger_of
from ledger.model.book import RunningLine
from tests.intake_ledger.test_least_ledger import LEAST

GAS = '[[source]]\nname = "gas"\nkind = "propane"\nprice = 3\n'


def lines(*rows: str) -> tuple[RunningLine, ...]:
    return ledger_of(LEAST + GAS + "".join(f"[[running]]\n{row}\n" for row in rows), "f").running


def fan(day: str, more: str = 'energy = "41 kWh"') -> str:
    return f'date = {day}\nfor = "buried air tubes"\nwhat = "fan electricity"\n{more}'


def covered(line: RunningLine) -> tuple[date, date]:
    return line.first_day, line.last_day


def test_the_first_line_of_a_season_covers_it_from_its_first_day() -> None:
    """Season 10-01 to 04-30: a line of 31 January covers 1 October to 31 January."""
    assert covered(lines(fan("2026-01-31"))[0]) == (date(2025, 10, 1), date(2026, 1, 31))


def test_a_later_line_covers_the_days_since_the_last_like_line() -> None:
    first, second = lines(fan("2026-01-31"), fan("2026-02-28"))
    assert covered(second) == (date(2026, 2, 1), date(2026, 2, 28))
    assert first.last_day == date(2026, 1, 31)


def test_lines_count_by_date_wherever_they_are_typed() -> None:
    first, second = lines(fan("2026-02-28"), fan("2026-01-31"))
    assert (first.date, second.first_day) == (date(2026, 1, 31), date(2026, 2, 1))


def test_a_first_line_outside_a_season_covers_its_month_so_far() -> None:
    assert covered(lines(fan("2026-07-20"))[0]) == (date(2026, 7, 1), date(2026, 7, 20))


def test_like_means_the_same_target_and_the_same_words() -> None:
    other = fan("2026-02-28").replace("fan electricity", "pump")
    assert lines(fan("2026-01-31"), other)[1].first_day == date(2025, 10, 1)
    same = fan("2026-02-28").replace("fan electricity", "Fan  Electricity")
    assert lines(fan("2026-01-31"), same)[1].first_day == date(2026, 2, 1)
    gas = 'date = 2026-02-28\nfor = "gas"\nwhat = "fan electricity"\nquantity = 2'
    assert lines(fan("2026-01-31"), gas)[1].first_day == date(2025, 10, 1)


def test_two_like_lines_of_one_day_cover_the_same_days() -> None:
    first, second = lines(fan("2026-01-31"), fan("2026-01-31"))
    assert covered(first) == covered(second)


def test_typed_days_stand_as_typed() -> None:
    line = lines(fan("2026-01-31", 'energy = "41 kWh"\nfrom = 2026-01-01\nto = 2026-01-30'))[0]
    assert covered(line) == (date(2026, 1, 1), date(2026, 1, 30))
    only_to = lines(fan("2026-02-10", 'energy = "41 kWh"\nto = 2026-01-31'))[0]
    assert covered(only_to) == (date(2025, 10, 1), date(2026, 1, 31))


def test_the_next_line_begins_after_the_last_day_covered_not_after_the_lines_date() -> None:
    second = lines(fan("2026-02-05", 'energy = "1 kWh"\nto = 2026-01-31'), fan("2026-02-28"))[1]
    assert second.first_day == date(2026, 2, 1)


def test_a_season_that_lies_in_one_year_begins_in_that_year() -> None:
    text = LEAST.replace("latitude = 46", "latitude = -44") + "[[running]]\n" + fan("2026-06-30") + "\n"
    assert ledger_of(text, "f").running[0].first_day == date(2026, 4, 1)


@pytest.mark.parametrize(
    ("day", "first"), [("2026-04-30", (2025, 10, 1)), ("2026-05-01", (2026, 5, 1)), ("2025-10-01", (2025, 10, 1))]
)
def test_both_ends_of_the_season_belong_to_it(day: str, first: tuple[int, int, int]) -> None:
    assert lines(fan(day))[0].first_day == date(*first)


def test_a_meter_on_a_build_or_the_house_is_kilowatt_hours() -> None:
    (line,) = lines(fan("2026-01-31", "meter = { from = 10412, to = 10590 }"))
    assert (line.energy_kwh, line.quantity) == (178.0, None)
    (line,) = lines('date = 2026-01-31\nfor = "house"\nmeter = { from = 10, to = 15.5 }')
    assert line.energy_kwh == 5.5


def test_a_meter_on_an_electric_source_is_kilowatt_hours_and_on_another_its_own_unit() -> None:
    (line,) = lines('date = 2026-01-31\nfor = "electric heater"\nmeter = { from = 1, to = 9 }')
    assert (line.energy_kwh, line.quantity) == (8.0, None)
    (line,) = lines('date = 2026-01-31\nfor = "gas"\nmeter = { from = 1, to = 9 }')
    assert (line.energy_kwh, line.quantity) == (None, 8.0)


def test_a_meter_that_began_again_at_0_counts_on() -> None:
    """99 950 to 100 000 is 50, and 30 more."""
    (line,) = lines(fan("2026-01-31", "meter = { from = 99950, to = 30, rolls_over_at = 100000 }"))
    assert line.energy_kwh == 80.0


def test_a_line_with_an_amount_only_has_no_energy() -> None:
    (line,) = lines(fan("2026-01-31", "amount = 12.50"))
    assert (line.energy_kwh, line.quantity, str(line.amount)) == (None, None, "12.50")


def test_work_alone_makes_a_line() -> None:
    (line,) = lines(fan("2026-01-31", "hours = 1.5"))
    assert (line.hours, line.amount) == (1.5, None)


def test_energy_is_brought_to_kilowatt_hours() -> None:
    """1 MMBtu = 293.07 kWh."""
    (line,) = lines('date = 2026-01-31\nfor = "gas"\nenergy = "1 MMBtu"')
    assert line.energy_kwh == pytest.approx(293.0711, abs=1e-4)
