"""What must hold whatever the log: order, cuts and copies change nothing; units change nothing; nothing crashes."""

from __future__ import annotations

import random
import tempfile
from datetime import datetime
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.errors import LogError
from ledger.intake.log_cells import read_cell
from ledger.intake.log_files import read_logs
from ledger.intake.log_order import format_of, order_of_format
from ledger.intake.log_sightings import count_kind, split_stamp
from ledger.intake.log_stamps import Order, read_clock, read_date
from ledger.model.logs import ChannelSpec, LogSpec, Stamp
from ledger.series import faults, lost_clock, spikes
from ledger.series.hourly import hourly_record
from ledger.series.record import HourlyRecord
from tests.logs.made import HEADER, ROME, Truth, record, rows_of, spec, truth, write

UNTIMED = [HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
FEW = settings(max_examples=5, deadline=None, suppress_health_check=UNTIMED)
MANY = settings(max_examples=40, deadline=None)
TEXT = settings(max_examples=60, deadline=None)


def faulty_lines() -> list[str]:
    """A week with a freeze, spikes, a hole, missing marks and a sentinel."""
    known = truth(days=7, seed=11)
    indoor, outdoor = known.indoor.copy(), known.outdoor.copy()
    indoor[100], outdoor[300], outdoor[301] = 60.0, -999.9, 99.0
    indoor[500:560], outdoor[500:560] = indoor[500], outdoor[500]
    lines = [line for i, line in enumerate(rows_of(truth_with(known, indoor, outdoor))) if not 700 <= i < 760]
    lines[20] = lines[20].rsplit(",", 1)[0] + ",--"
    return lines


def truth_with(known: Truth, indoor: np.ndarray, outdoor: np.ndarray) -> Truth:
    return Truth(known.utc, indoor, outdoor)


LINES = faulty_lines()


def figures_of(folder: Path, *specs: LogSpec) -> tuple[object, ...]:
    made = record(folder, *specs)[0]
    return everything(made)


def everything(made: HourlyRecord) -> tuple[object, ...]:
    figures = made.figures
    hours = made.hours.round(9).to_csv()
    fine = made.fine.round(9).to_csv()
    head = (figures.first, figures.last, figures.hours_span, figures.hours_valid, figures.coverage)
    return (*head, figures.flagged_hours, figures.lost_hours, hours, fine, made.reason.to_csv(), made.step_minutes)


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> tuple[object, ...]:
    folder = tmp_path_factory.mktemp("plain")
    write(folder, [HEADER, *LINES])
    return figures_of(folder)


@FEW
@given(seed=st.integers(0, 10**6), parts=st.integers(1, 5), copies=st.integers(0, 3))
def test_a_log_copied_cut_and_shuffled_gives_the_same_figures(
    plain: tuple[object, ...], seed: int, parts: int, copies: int
) -> None:
    chance = random.Random(seed)
    lines = list(LINES)
    for _ in range(copies):
        start = chance.randrange(len(lines))
        lines.extend(lines[start : start + 200])
    chance.shuffle(lines)
    cuts = sorted(chance.sample(range(50, len(lines) - 50), parts - 1))
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for i, (a, b) in enumerate(zip([0, *cuts], [*cuts, len(lines)], strict=True)):
            write(folder, [HEADER, *lines[a:b]], name=f"part{i}.csv")
        assert figures_of(folder) == plain


@FEW
@given(seed=st.integers(0, 10**6))
def test_fahrenheit_and_celsius_give_the_same_means(seed: int) -> None:
    """Unrounded readings written with seventeen digits."""
    known = truth(days=2, seed=seed, digits=12)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write(folder, [HEADER, *rows_of(known, cell=lambda v: repr(float(v)))], name="c.csv")
        write(
            folder,
            [HEADER.replace("°C", "°F"), *rows_of(known, cell=lambda v: repr(float(v) * 1.8 + 32.0))],
            name="f.csv",
        )
        celsius, _ = record(folder, spec(file="c.csv"))
        channels = (ChannelSpec("indoor", "Inside (°F)"), ChannelSpec("outdoor", "Outside (°F)"))
        fahrenheit, _ = record(folder, spec(file="f.csv", channels=channels))
        assert np.allclose(celsius.hours, fahrenheit.hours, rtol=0, atol=1e-9)
        assert celsius.figures.flagged_hours == fahrenheit.figures.flagged_hours


@FEW
@given(seed=st.integers(0, 10**6), stamp=st.sampled_from(list(Stamp)))
def test_a_junk_record_is_accounted_for_to_the_row(seed: int, stamp: Stamp) -> None:
    """Wild numbers, holes and copies: `record` checks rows and hours against their sums."""
    rng = np.random.default_rng(seed)
    known = truth(days=3, seed=seed)
    indoor = np.where(rng.random(len(known.indoor)) < 0.05, rng.normal(0, 300, len(known.indoor)), known.indoor)
    lines = rows_of(truth_with(known, indoor.round(1), known.outdoor))
    kept = (
        [line for line in lines if rng.random() > 0.2]
        + lines[: rng.integers(0, 50)]
        + ["note", "2026-01-06 00:05,--,--"]
    )
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write(folder, [HEADER, *kept])
        try:
            made, _ = record(folder, spec(stamp=stamp))
        except LogError:
            return
        assert made.hours.index.is_monotonic_increasing
        assert made.figures.hours_span == len(made.hours)


BITS = st.one_of(
    st.sampled_from(
        [",", ";", "\t", " ", "\n", "\r\n", '"', "-", "−", ".", ":", "/", "°C", "Time", "Inside (°C)",
         "2026-01-05 00:00",
         "05/01/2026", "12:00 AM", "5,3", "-7.6", "NaN", "1767567600", "46027.5", "\0", "\ufeff", "\x1f", "T", "24:00",
         "1e999"]
    ),
    st.text(max_size=6),
)  # fmt: skip


@MANY
@given(parts=st.lists(BITS, max_size=80), encoding=st.sampled_from(["utf-8", "utf-16", "cp1252", "utf-8-sig"]))
def test_any_text_is_read_or_refused(parts: list[str], encoding: str) -> None:
    read_or_refused("".join(parts).encode(encoding, "replace"))


@MANY
@given(data=st.binary(max_size=400))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    read_or_refused(data)


@MANY
@given(
    edits=st.lists(st.tuples(st.integers(0, 3000), st.integers(0, 40), BITS), min_size=1, max_size=12),
    clock=st.sampled_from(["local", "standard", "UTC"]),
)
def test_a_mangled_log_is_read_or_refused(edits: list[tuple[int, int, str]], clock: str) -> None:
    text = "\n".join([HEADER, *LINES[:110]])
    for place, length, bit in edits:
        text = text[:place] + bit + text[place + length :]
    read_or_refused(text.encode("utf-8", "replace"), clock=clock)


def read_or_refused(data: bytes, clock: str = "local") -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "a.csv").write_bytes(data)
        for given_spec in (
            spec(clock=clock),
            LogSpec("a.csv", (ChannelSpec("indoor", "2", "degC"), ChannelSpec("fan", "3")), clock=clock, header=0),
        ):
            try:
                readings = read_logs([given_spec], folder=folder, site_timezone=ROME)
                hourly_record(readings, timezone=ROME, latitude_deg=46.0)
            except LogError:
                continue


@TEXT
@given(text=st.text(max_size=30))
def test_single_cells_of_any_text_are_judged_without_a_fault(text: str) -> None:
    read_cell(text, ".")
    read_cell(text, ",")
    read_clock(text)
    read_date(text)
    split_stamp(text)
    format_of(text, Order.DMY)


@TEXT
@given(
    moment=st.datetimes(datetime(1990, 1, 1), datetime(2090, 1, 1)),
    form=st.sampled_from(
        ["%d/%m/%Y %H:%M", "%m/%d/%Y %H:%M", "%Y-%m-%d %H:%M:%S", "%d.%m.%y %H:%M", "%m/%d/%Y %I:%M %p", "%Y%m%d %H:%M"]
    ),
)
def test_the_form_offered_to_the_grower_is_the_form_of_the_stamp(moment: datetime, form: str) -> None:
    order = order_of_format(form)
    assert order is not None
    assert format_of(moment.strftime(form), order) == form


@TEXT
@given(value=st.floats(-1e6, 1e6), digits=st.integers(0, 6))
def test_a_number_is_read_back_with_either_decimal_mark(value: float, digits: int) -> None:
    text = f"{value:.{digits}f}"
    assert read_cell(text, ".").number == float(text)
    if digits != 3:
        assert read_cell(text.replace(".", ","), ",").number == float(text)
    assert read_cell(f"{value:,.{digits}f}", ".").number == float(text)


@TEXT
@given(values=st.lists(st.floats(-50, 60), min_size=3, max_size=60), limit=st.floats(2, 20))
def test_masks_are_as_long_as_their_readings_and_leave_them_alone(values: list[float], limit: float) -> None:
    readings = np.array(values)
    before = readings.copy()
    stamps = np.arange(len(values), dtype=np.int64) * 600_000
    for mask in (
        spikes.spikes(stamps, readings, limit_k=limit, step_ms=600_000),
        spikes.handled(stamps, readings),
        faults.stuck_alone(stamps, readings, least_h=1.0, step_ms=600_000),
        faults.stuck_together(stamps, [readings, readings], step_ms=600_000),
        faults.zero_on_all([readings, readings], [0.0, 0.0]),
        lost_clock.far_groups([stamps])[0],
    ):
        assert mask.dtype == bool
        assert len(mask) == len(readings)
    assert (readings == before).all()


@TEXT
@given(
    values=st.lists(st.floats(-50, 60), min_size=3, max_size=40),
    first=st.integers(0, 10**12),
    shift=st.integers(0, 10**9),
)
def test_a_fault_does_not_depend_on_the_year(values: list[float], first: int, shift: int) -> None:
    readings = np.array(values)
    stamps = first + np.arange(len(values), dtype=np.int64) * 600_000
    here = spikes.spikes(stamps, readings, limit_k=6.0, step_ms=600_000)
    there = spikes.spikes(stamps + shift, readings, limit_k=6.0, step_ms=600_000)
    assert (here == there).all()


def test_digits_of_other_scripts_are_no_counts_of_time() -> None:
    """Found by fuzzing: a damaged count of ten characters that are not all digits."""
    assert count_kind("17677692\ufffd\ufffd\ufffd0") is None
    assert count_kind("1767567600") == 3
    assert count_kind("1767567600000") == 0
