"""Doubts that ledger and log raise together: each once, with its line, and honest winters in peace."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from ledger.errors import Notice
from ledger.heat.doubtful_dates import date_doubts
from ledger.heat.doubtful_log import log_doubts
from ledger.heat.presence import presence_notices
from ledger.intake.gather import gather
from ledger.model.house import Site
from ledger.model.ledger import Ledger
from ledger.series.record import HourlyRecord
from tests.demo import DEMO
from tests.heat.builders import record_of
from tests.plausible.made import CODES, ledger, line_of

Floats = np.ndarray[tuple[int], np.dtype[np.float64]]
HOUR = np.arange(60 * 24)
WAVE = -np.cos((HOUR - 5.0) / 24.0 * 2.0 * np.pi)
"""Lowest at five in the morning, highest at five in the afternoon."""


def winter(indoor: Floats, outdoor: Floats, *, first: str = "2025-12-01T00:00+01:00") -> HourlyRecord:
    return record_of({"indoor": indoor, "outdoor": outdoor}, first=first)


def said(record: HourlyRecord, book: Ledger | None = None) -> list[Notice]:
    book = book or ledger()
    return [*log_doubts(record, book), *date_doubts(record, book), *presence_notices(record, book)]


OUTDOOR = -2.0 + 5.0 * WAVE
INDOOR = 7.0 + 8.0 * WAVE


def test_a_plain_winter_is_not_doubted() -> None:
    assert said(winter(INDOOR, OUTDOOR)) == []


@pytest.mark.parametrize("path", sorted(DEMO.glob("*/ledger.toml")), ids=lambda path: path.parent.name)
def test_no_demo_s_log_is_doubted(path: Path) -> None:
    assert {notice.code for notice in gather(path).warnings} & CODES <= {"life-beyond-study"}


def test_columns_changed_round_are_doubted_once_with_the_first_month() -> None:
    """Indoors is colder in every hour in which outdoors is above it: 9 + 3 · wave > 0, always."""
    (notice,) = said(winter(OUTDOOR, INDOOR))
    assert (notice.code, notice.line) == ("log-swapped", line_of("indoor ="))
    assert "2025-12" in notice.text
    assert "1 more month" in notice.text


def test_columns_changed_round_from_a_month_on_are_doubted_from_there() -> None:
    january = HOUR >= 31 * 24
    (notice,) = said(winter(np.where(january, OUTDOOR, INDOOR), np.where(january, INDOOR, OUTDOOR)))
    assert notice.code == "log-swapped"
    assert "2026-01" in notice.text


@pytest.mark.parametrize(
    ("indoor", "outdoor"),
    [
        (OUTDOOR + 1.5 + 6.0 * WAVE, OUTDOOR),  # a film: 4.5 K colder at the end of clear nights, warm by day
        (OUTDOOR + 0.3, OUTDOOR),  # left open, and one sensor a little off
        (OUTDOOR - 0.5, OUTDOOR),  # left open, the other way
        (14.0 + 0.0 * WAVE, 18.0 + 4.0 * WAVE),  # a cool house in a mild spring: no cold hour
    ],
)
def test_houses_colder_than_outdoors_for_a_reason_are_not_taken_for_changed_round(
    indoor: Floats, outdoor: Floats
) -> None:
    at_the_coast = ledger(("latitude = 46", "latitude = 29"), ("longitude = 11", "longitude = 10"))
    codes = {notice.code for notice in said(winter(indoor, outdoor, first="2025-03-01T00:00+01:00"), at_the_coast)}
    assert "log-swapped" not in codes


def fahrenheit(celsius: Floats) -> Floats:
    return np.asarray(celsius * 1.8 + 32.0)


def celsius(read_as_fahrenheit: Floats) -> Floats:
    return np.asarray((read_as_fahrenheit - 32.0) / 1.8)


@pytest.mark.parametrize(
    ("indoor", "outdoor", "code"),
    [
        (fahrenheit(INDOOR), fahrenheit(OUTDOOR), "log-too-warm"),  # −2 °C are 28 °F: no winter at 46° is 28 °C
        (fahrenheit(INDOOR), OUTDOOR, "log-too-warm"),  # 7 °C are 45 °F
        (INDOOR, fahrenheit(OUTDOOR), "log-swapped"),  # 28 outdoors, 7 indoors
        (celsius(INDOOR), celsius(OUTDOOR), "log-too-cold"),  # 15 at most, read as °F, are −9 °C
        (INDOOR, celsius(OUTDOOR), "log-too-warm"),  # −2 read as °F are −19 °C: 23 K below the house all night
    ],
)
def test_numbers_in_the_other_unit_are_doubted(indoor: Floats, outdoor: Floats, code: str) -> None:
    (notice,) = said(winter(indoor, outdoor))
    assert notice.code == code
    assert notice.line in (line_of("indoor ="), line_of("outdoor ="))


@pytest.mark.parametrize(
    ("latitude", "height_m", "mean_c"),
    [(38, 0, 14.2), (50, 0, 8.3), (60, 0, 4.2), (32, 0, 16.0), (36, 0, 13.0), (46, 1450, -4.0)],
)
def test_the_mildest_winters_there_are_are_not_taken_for_fahrenheit(
    latitude: float, height_m: float, mean_c: float
) -> None:
    """January means of the Azores, Scilly, Shetland, Madeira, Malta (from memory), and a high valley."""
    book = ledger()
    book = replace(book, site=replace(book.site, latitude_deg=latitude, elevation_m=height_m))
    outdoor = mean_c + 3.0 * WAVE
    assert [n for n in said(winter(outdoor + 8.0, outdoor), book) if n.code == "log-too-warm"] == []


def test_a_house_that_is_heated_far_above_a_cold_winter_is_not_doubted() -> None:
    """Held at 15 °C with −15 outdoors, the heater logged."""
    heated = ledger(
        ('temperature = "6 degC"', 'temperature = "15 degC"'), more='heater = { column = "W", unit = "W" }\n'
    )
    assert said(winter(16.0 + 2.0 * WAVE, -15.0 + 5.0 * WAVE), heated) == []


def test_a_house_that_freezes_all_winter_but_thaws_by_day_is_not_doubted() -> None:
    assert said(winter(-6.0 + 10.0 * WAVE, -14.0 + 6.0 * WAVE)) == []


def test_a_polar_night_is_not_doubted() -> None:
    book = ledger()
    far_north = replace(book, site=Site(69.6, 18.9, 0.0, "Europe/Oslo"))
    assert said(winter(-4.0 + 1.0 * WAVE, -9.0 + 2.0 * WAVE), far_north) == []


def paid(day: str, what: str = "second fan") -> str:
    return f'[[spent]]\nfor = "buried air tubes"\ndate = {day}\nwhat = "{what}"\namount = 5\n'


def test_a_paid_item_a_year_past_base_date_and_log_is_doubted() -> None:
    """The log ends on 29 January 2026, the base date is 1 September 2025."""
    more = paid("2027-06-01")
    (notice,) = said(winter(INDOOR, OUTDOOR), ledger(more=more))
    assert notice.code == "date-in-future"
    assert notice.line == line_of("[[spent]]", more=more)


@pytest.mark.parametrize(
    "more",
    [
        paid("2026-11-02"),  # the summer after the log
        paid("2030-06-01").replace("what", 'status = "planned"\nwhat', 1),
        paid("1990-06-01"),  # an old footing
    ],
)
def test_dates_that_may_well_be_are_not_doubted(more: str) -> None:
    assert said(winter(INDOOR, OUTDOOR), ledger(more=more)) == []


def test_a_ledger_kept_up_for_years_past_its_base_date_is_not_doubted() -> None:
    """Receipts of 2031 with a log that ends in 2032: the log is today."""
    log = winter(INDOOR, OUTDOOR, first="2031-12-01T00:00+01:00")
    assert said(log, ledger(more=paid("2031-08-01"))) == []


@pytest.mark.parametrize(
    ("changes", "more"),
    [
        ((("base_date = 2025-09-01", "base_date = 2052-09-01"),), ""),
        ((), paid("1925-06-01")),
    ],
)
def test_a_year_that_is_far_off_is_doubted(changes: tuple[tuple[str, str], ...], more: str) -> None:
    (notice,) = said(winter(INDOOR, OUTDOOR), ledger(*changes, more=more))
    assert notice.code == "date-far-off"


def test_a_log_whose_clock_is_decades_ahead_is_doubted() -> None:
    (notice,) = said(winter(INDOOR, OUTDOOR, first="2055-12-01T00:00+01:00"))
    assert (notice.code, notice.path) == ("date-far-off", "log.last")


def test_a_season_that_the_log_misses_between_two_others_is_doubted() -> None:
    """December 2023 and December 2025 are logged, the winter between is not."""
    gap = np.full(round((pd.Timestamp("2025-12-01") - pd.Timestamp("2024-01-30")) / pd.Timedelta(hours=1)), np.nan)
    indoor, outdoor = (np.concatenate([x, gap, x]) for x in (INDOOR, OUTDOOR))
    book = ledger(("date = 2025-06-01", "date = 2023-06-01"), ("date = 2025-06-11", "date = 2023-06-11"))
    (notice,) = said(winter(indoor, outdoor, first="2023-12-01T00:00+01:00"), book)
    assert notice.code == "season-not-logged"
    assert "2024-25" in notice.text


def line(first: date, last: date) -> str:
    return (
        f'[[running]]\ndate = {last}\nfor = "buried air tubes"\nwhat = "fan"\nenergy = "41 kWh"\n'
        f"from = {first}\nto = {last}\n"
    )


def test_a_season_with_lines_in_the_book_and_no_log_is_doubted() -> None:
    book = ledger(more=line(date(2026, 11, 1), date(2026, 11, 30)))
    (notice,) = said(winter(INDOOR, OUTDOOR), book)
    assert notice.code == "season-not-logged"
    assert "2026-27" in notice.text


@pytest.mark.parametrize(
    ("first", "last"),
    [
        (date(2026, 1, 1), date(2026, 1, 31)),  # of the logged season
        (date(2026, 5, 1), date(2026, 8, 31)),  # a bed is charged in summer
        (date(2026, 9, 15), date(2026, 10, 14)),  # a meter read every month: half of it is the new season's
    ],
)
def test_lines_that_need_no_log_are_not_doubted(first: date, last: date) -> None:
    assert said(winter(INDOOR, OUTDOOR), ledger(more=line(first, last))) == []


def test_a_log_of_summer_alone_is_doubted() -> None:
    warm = winter(INDOOR + 15.0, OUTDOOR + 15.0, first="2026-06-01T00:00+02:00")
    (notice,) = said(warm)
    assert notice.code == "season-not-logged"
    assert "nothing is credited" in notice.text


def test_a_build_that_came_after_the_log_beside_one_that_stood_is_doubted() -> None:
    later = ledger(("date = 2025-06-11", "date = 2026-03-01"))
    (notice,) = said(winter(INDOOR, OUTDOOR), later)
    assert (notice.code, notice.line) == ("log-before-one-build", line_of('name = "water tank"') - 1)
    assert '"buried air tubes" alone' in notice.text


def test_a_log_before_any_build_is_doubted_as_such_only() -> None:
    later = ledger(("date = 2025-06-11", "date = 2026-03-01"), ("date = 2025-06-01", "date = 2026-03-01"))
    (notice,) = said(winter(INDOOR, OUTDOOR), later)
    assert notice.code == "log-before-build"


def test_without_a_log_nothing_is_missed() -> None:
    assert date_doubts(None, ledger()) == ()


def test_a_record_of_one_air_alone_has_nothing_to_be_changed_round_with() -> None:
    """A record may lack a channel; what is not there is not doubted."""
    record = record_of({"outdoor": OUTDOOR}, first="2025-12-01T00:00+01:00")
    assert log_doubts(record, ledger()) == ()
    assert date_doubts(record, ledger()) == ()
