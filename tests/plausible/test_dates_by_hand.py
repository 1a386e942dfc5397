"""Dates at the edge of a season, of today and of a log: on which side each is doubted, and in what words."""

from __future__ import annotations

from datetime import date

import numpy as np
import pandas as pd
import pytest

from ledger.errors import Notice
from ledger.heat.doubtful_dates import date_doubts
from ledger.model.ledger import Ledger
from ledger.series.record import HourlyRecord
from tests.heat.builders import record_of
from tests.plausible.made import ledger, line_of


def hours(first: str, last: str) -> HourlyRecord:
    """A log of both airs in every hour from one to another, both included."""
    count = round((pd.Timestamp(last) - pd.Timestamp(first)) / pd.Timedelta(hours=1)) + 1
    return record_of({"indoor": np.full(count, 12.0), "outdoor": np.full(count, 8.0)}, first=first)


def doubts(record: HourlyRecord | None, book: Ledger | None = None) -> list[Notice]:
    return list(date_doubts(record, book or ledger()))


def codes(record: HourlyRecord | None, book: Ledger | None = None) -> list[str]:
    return [notice.code for notice in doubts(record, book)]


def fan(first: date, last: date, *, of: str = "buried air tubes") -> str:
    return f'[[running]]\ndate = {last}\nfor = "{of}"\nwhat = "fan"\nenergy = "41 kWh"\nfrom = {first}\nto = {last}\n'


@pytest.mark.parametrize(
    ("first", "last", "doubted"),
    [
        ("2025-07-01T00:00+02:00", "2025-09-30T23:00+02:00", True),
        ("2025-07-01T00:00+02:00", "2025-10-01T00:00+02:00", False),
        ("2026-05-01T00:00+02:00", "2026-07-01T00:00+02:00", True),
        ("2026-04-30T23:00+02:00", "2026-07-01T00:00+02:00", False),
    ],
)
def test_the_season_s_first_hour_is_an_hour_of_it_and_the_one_after_its_last_is_not(
    first: str, last: str, doubted: bool
) -> None:
    """1 October to 30 April in Rome."""
    assert codes(hours(first, last)) == ["season-not-logged"] * doubted


def test_the_hour_after_a_season_is_none_of_it_though_its_book_has_lines() -> None:
    """The fan ran in November; the log begins on 1 May, or with the last hour of April."""
    book = ledger(more=fan(date(2025, 11, 1), date(2025, 11, 30)))
    assert codes(hours("2026-05-01T00:00+02:00", "2026-07-01T00:00+02:00"), book) == ["season-not-logged"]
    assert codes(hours("2026-04-30T23:00+02:00", "2026-07-01T00:00+02:00"), book) == []


def test_a_log_of_summer_says_from_when_to_when_it_ran_and_where_to_look() -> None:
    (notice,) = doubts(hours("2025-07-01T00:00+02:00", "2025-08-01T00:00+02:00"))
    assert (notice.path, notice.line) == ("log", None)
    assert "no hour of it lies in a season" in notice.text


def test_a_log_without_an_hour_of_both_airs_is_not_asked_for_seasons() -> None:
    never = record_of({"indoor": [5.0, np.nan], "outdoor": [np.nan, 5.0]}, first="2025-07-01T00:00+02:00")
    assert codes(never) == []


def test_what_a_season_lacks_a_log_for_is_said_by_why_it_should_have_one() -> None:
    """Winters 2023 and 2025 are logged for a day each; the one between is missed, and then its fan ran, too."""
    gap = round((pd.Timestamp("2026-01-01") - pd.Timestamp("2024-01-02")) / pd.Timedelta(hours=1))
    air = np.concatenate([np.full(24, 8.0), np.full(gap, np.nan), np.full(24, 8.0)])
    record = record_of({"indoor": air, "outdoor": air}, first="2024-01-01T00:00+01:00")
    (between,) = doubts(record)
    assert "season 2024-25 " in between.text
    assert "the seasons before and after it are logged" in between.text
    (noted,) = doubts(record, ledger(more=fan(date(2024, 11, 1), date(2024, 11, 30))))
    assert "season 2024-25 " in noted.text
    assert "the season book has lines in it" in noted.text


@pytest.mark.parametrize(
    ("first", "last", "doubted"),
    [
        (date(2026, 10, 1), date(2027, 4, 30), True),
        (date(2026, 9, 30), date(2027, 4, 30), False),
        (date(2026, 10, 1), date(2027, 5, 1), False),
    ],
)
def test_a_line_tells_of_a_season_where_all_its_days_lie_in_it(first: date, last: date, doubted: bool) -> None:
    record = hours("2026-01-01T00:00+01:00", "2026-02-01T00:00+01:00")
    later = (("base_date = 2025-09-01", "base_date = 2027-09-01"),)
    assert codes(record, ledger(*later, more=fan(first, last))) == ["season-not-logged"] * doubted


def test_a_line_of_a_heater_asks_for_no_log() -> None:
    record = hours("2026-01-01T00:00+01:00", "2026-02-01T00:00+01:00")
    assert codes(record, ledger(more=fan(date(2026, 11, 1), date(2026, 11, 30), of="heater"))) == []


LOG = ("2025-12-01T00:00+01:00", "2026-01-31T23:00+01:00")
BARRELS = "date = 2025-06-11"


@pytest.mark.parametrize(("day", "doubted"), [("2026-01-31", False), ("2026-02-01", True)])
def test_a_build_paid_on_the_log_s_last_day_stood_in_it_and_one_a_day_later_did_not(day: str, doubted: bool) -> None:
    found = doubts(hours(*LOG), ledger((BARRELS, f"date = {day}")))
    assert [notice.code for notice in found] == ["log-before-one-build"] * doubted
    if doubted:
        (notice,) = found
        assert (notice.path, notice.line) == ("build", line_of('name = "water tank"') - 1)
        assert f"(its first receipt is of {day})" in notice.text
        assert 'before "water tank" was there' in notice.text


def test_the_build_that_stood_may_have_come_on_the_log_s_last_day() -> None:
    """Tubes paid on 31 January, barrels in March; a day later neither stood, which is said elsewhere."""
    barrels = (BARRELS, "date = 2026-03-01")
    for day, doubted in (("2026-01-31", True), ("2026-02-01", False)):
        found = codes(hours(*LOG), ledger(barrels, ("date = 2025-06-01", f"date = {day}")))
        assert found == ["log-before-one-build"] * doubted


def test_the_first_receipt_of_a_build_counts_and_one_that_is_planned_is_none() -> None:
    more = '[[build.item]]\ndate = 2026-03-01\nwhat = "lid"\namount = 90\nlife_years = 20\n'
    tail = 'amount = 800\n[[source]]\nname = "heater"'
    assert codes(hours(*LOG), ledger((tail, tail.replace("[[source]]", more + "[[source]]")))) == []
    planned = ledger((BARRELS, BARRELS + '\nstatus = "planned"'))
    (notice,) = doubts(hours(*LOG), planned)
    assert notice.code == "log-before-one-build"
    assert "(its items are planned or quoted)" in notice.text


@pytest.mark.parametrize(("day", "doubted"), [("2026-09-02", False), ("2026-09-03", True)])
def test_what_is_paid_more_than_366_days_after_today_has_not_happened(day: str, doubted: bool) -> None:
    """Today is 1 September 2025, the base date; 366 days on it is 2 September 2026."""
    assert codes(None, ledger((BARRELS, f"date = {day}"))) == ["date-in-future"] * doubted


def test_of_what_has_not_happened_the_first_is_named_the_others_are_counted_and_today_is_told() -> None:
    """The log, if there is one, ends on 31 January 2026: five months after the base date."""
    late = (BARRELS, "date = 2027-03-01")
    (one,) = doubts(None, ledger(late))
    assert '"barrels" is dated 2027-03-01, and the base date is 2025-09-01: this' in one.text
    (two,) = doubts(None, ledger(late, ("date = 2025-06-01", "date = 2027-02-01")))
    assert '"digging and pipe" is dated 2027-02-01 (1 more like it), and' in two.text
    log = hours("2025-12-01T00:00+01:00", "2026-01-31T23:00+01:00")
    logged = next(n for n in doubts(log, ledger(late)) if n.code == "date-in-future")
    assert "is 2025-09-01 and the log ends on 2026-01-31: this" in logged.text


def test_of_two_receipts_of_one_day_the_line_above_is_named() -> None:
    far = ledger((BARRELS, "date = 2027-03-01"), ("date = 2025-06-01", "date = 2027-03-01"))
    (notice,) = doubts(None, far)
    assert (notice.path, notice.line) == ("build.item", line_of("date = 2025-06-01") - 1)


def test_the_log_s_last_hour_says_on_which_day_it_ends() -> None:
    """Its last hour but one lies in January."""
    record = hours("2025-12-01T00:00+01:00", "2026-02-01T00:00+01:00")
    assert codes(record, ledger((BARRELS, "date = 2026-02-01"))) == []


@pytest.mark.parametrize(("day", "doubted"), [("1985-09-01", False), ("1985-08-31", True)])
def test_a_receipt_more_than_forty_years_before_the_base_date_is_doubted(day: str, doubted: bool) -> None:
    """40 · 365.25 = 14,610 days before 1 September 2025 is 1 September 1985."""
    assert codes(None, ledger((BARRELS, f"date = {day}"))) == ["date-far-off"] * doubted


@pytest.mark.parametrize(("base", "doubted"), [("2035-06-11", False), ("2035-06-12", True)])
def test_a_base_date_more_than_ten_years_after_all_else_is_doubted(base: str, doubted: bool) -> None:
    """The last receipt is of 11 June 2025; 10 · 365.25 = 3,652.5, taken as 3,652 days, later is 11 June 2035:
    ten years of which 2028 and 2032 have a day more."""
    assert codes(None, ledger(("base_date = 2025-09-01", f"base_date = {base}"))) == ["date-far-off"] * doubted
