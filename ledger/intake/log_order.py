"""Day first or month first: proved by the dates themselves, else asked for."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ledger.intake.log_sightings import stamp_splits
from ledger.intake.log_stamps import DateParts, Order, day_number, read_clock, read_date

_TORN_SHARE = 0.02  # dates that no order explains (a garbled line) do not unsettle the rest


def order_of_format(time_format: str) -> Order | None:
    """The order that a `time_format` states, None where it names no day, month and year."""
    letters = [m.lower() for m in re.findall(r"%-?([YymdbBDF])", time_format)]
    if "f" in letters:
        return Order.YMD
    if letters and letters[0] == "d" and "%D" in time_format:
        return Order.MDY
    known = "".join("m" if letter == "b" else letter for letter in letters)
    return {"ymd": Order.YMD, "dmy": Order.DMY, "mdy": Order.MDY}.get(known)


def possible_orders(dates: Sequence[DateParts]) -> list[Order]:
    """Orders in which every date (but a torn few) exists; with years of two digits the year is the number that hardly
    changes."""
    open_dates = [d for d in dates if d.order is None]
    if not open_dates:
        return [Order.YMD]
    allowed = _TORN_SHARE * len(open_dates)
    fits = [order for order in Order if sum(day_number(d, order) is None for d in open_dates) <= allowed]
    exact = [order for order in fits if all(day_number(d, order) is not None for d in open_dates)]
    fits = exact or fits
    if Order.YMD in fits and len(fits) > 1:
        firsts = {d.parts[0] for d in open_dates}
        lasts = {d.parts[2] for d in open_dates}
        if len(lasts) < len(firsts):
            fits.remove(Order.YMD)
        elif len(firsts) < len(lasts):
            fits = [Order.YMD]
    return fits


def format_of(text: str, order: Order) -> str:
    """A stamp's form in the letters of `time_format`, as a grower would write it for such a file.

    Parameters
    ----------
    text : a stamp of the file.
    order : of its date.

    Returns
    -------
    str : such as "%d/%m/%Y %H:%M". Marks between the numbers are kept; a month's name becomes %b.
    """
    for day, clock in [*stamp_splits(text), (text, "")]:
        if read_date(day) and (not clock or read_clock(clock)):
            date_form = _date_form(day, order)
            if not clock:
                return date_form
            at_day, at_clock = text.find(day), text.rfind(clock)
            first, second = (date_form, _clock_form(clock)) if at_day <= at_clock else (_clock_form(clock), date_form)
            gap = text[at_day + len(day) : at_clock] if at_day < at_clock else " "
            return first + (gap if not gap.strip() or gap.strip() in "T_," else " ") + second
    return text


def _date_form(day: str, order: Order) -> str:
    parts = read_date(day)
    if re.fullmatch(r"\d{8}", day):
        return "%Y%m%d"
    named = re.search(r"[^\W\d_]{3,}", day) if parts and len(re.findall(r"\d+", day)) == 2 else None
    if named:
        year_first = bool(re.match(r"\D*\d{4}", day))
        letters = iter(("%Y", "%d") if year_first else ("%d", "%y" if re.search(r"(?<!\d)\d\d$", day) else "%Y"))
        return re.sub(r"\d+", lambda _: next(letters), day.replace(named[0], "%b"))
    year = "%Y" if re.search(r"\d{4}", day) else "%y"
    names = {Order.YMD: (year, "%m", "%d"), Order.DMY: ("%d", "%m", year), Order.MDY: ("%m", "%d", year)}[order]
    letters = iter(names)
    return re.sub(r"\d+", lambda _: next(letters, "%d"), re.sub(r"[^\W\d_]{2,}", "%a", day))


def _clock_form(clock: str) -> str:
    zone = re.search(r"(Z|[+-]\d\d:?\d\d)$", clock)
    bare = clock[: zone.start()] if zone else clock
    half = re.search(r"[^\W\d_]", bare)
    letters = iter(("%I" if half else "%H", "%M", "%S", "%f"))
    form = re.sub(r"\d+", lambda _: next(letters, ""), re.sub(r"\s*[^\W\d_].*$", "", bare.strip()))
    return form + (" %p" if half else "") + ("%z" if zone else "")
