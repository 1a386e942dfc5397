"""Logs that are no logs: pictures, devices, pipes, links, folders without end, numbers and dates beyond all sense."""

from __future__ import annotations

import os
import random
from pathlib import Path

import pytest

from tests.fuzz.pace import slow
from tests.fuzz.runs import Run, run
from tests.since.farm import LEDGER, farm, log_rows

POSIX = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="a system without pipes in folders and devices in files")


def check(folder: Path) -> Run:
    done = run(["check", str(folder / "ledger.toml")])
    assert not done.fault, done.fault
    return done


def check_s(folder: Path, log: str) -> float:
    """Processor time of a `check` of the farm with such a log. [s]"""
    (folder / "log.csv").write_text(log, encoding="utf-8")
    return check(folder).cpu_s


def refused(folder: Path, *words: str) -> None:
    done = check(folder)
    assert done.code == 2, (done.code, done.err)
    assert "To mend it" in done.err
    for word in words:
        assert word in " ".join(done.err.split()), done.err


def named(folder: Path, file: str) -> Path:
    """The farm with another log."""
    return farm(folder, LEDGER.replace('file = "log.csv"', f'file = "{file}"'))


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(
            b"\x89PNG\r\n\x1a\n" + bytes(random.Random(1).randrange(256) for _ in range(60_000)), id="a picture"
        ),
        pytest.param(
            b"\xff\xd8\xff\xe0" + bytes(random.Random(2).randrange(256) for _ in range(60_000)), id="a photograph"
        ),
        pytest.param(b"PK\x03\x04" + b"\0" * 5000, id="a spreadsheet"),
        pytest.param(b"\x1f\x8b\x08" + bytes(range(256)) * 20, id="a packed file"),
        pytest.param(b"%PDF-1.7\n" + b"1 0 obj\n" * 500, id="a document"),
        pytest.param(b"\0" * 100_000, id="zeros"),
        pytest.param(b"1" * 3_000_000, id="one line without end"),
        pytest.param(b'"' * 200_000, id="quotes without end"),
        pytest.param(b"," * 200_000 + b"\n" + b"," * 200_000, id="separators without end"),
        pytest.param(b"\r\n" * 100_000, id="line ends only"),
        pytest.param(b"", id="nothing"),
    ],
)
def test_what_is_no_text_of_readings_is_refused_in_words(tmp_path: Path, data: bytes) -> None:
    farm(tmp_path)
    (tmp_path / "log.csv").write_bytes(data)
    refused(tmp_path, "log.csv")


@pytest.mark.parametrize("share", [0.0, 0.001, 0.01, 0.3, 0.5, 0.9, 0.999])
def test_a_log_torn_off_anywhere_is_read_or_refused(tmp_path: Path, share: float) -> None:
    farm(tmp_path)
    data = (tmp_path / "log.csv").read_bytes()
    (tmp_path / "log.csv").write_bytes(data[: int(len(data) * share)])
    assert check(tmp_path).code in (0, 2)


@POSIX
@pytest.mark.parametrize("device", ["/dev/zero", "/dev/urandom", "/dev/null", "/dev/stdin", "/dev/tty"])
def test_a_device_is_no_log(tmp_path: Path, device: str) -> None:
    """By its full name the ledger refuses it; by the way there from the ledger no file fits."""
    named(tmp_path, device)
    refused(tmp_path, "not relative to the ledger file")
    named(tmp_path, os.path.relpath(device, tmp_path))
    refused(tmp_path, "no file fits")


@POSIX
def test_a_link_to_a_device_and_a_pipe_are_no_logs(tmp_path: Path) -> None:
    farm(tmp_path, LEDGER.replace('file = "log.csv"', 'file = "*.csv"'))
    (tmp_path / "log.csv").unlink()
    (tmp_path / "endless.csv").symlink_to("/dev/zero")
    os.mkfifo(tmp_path / "pipe.csv")
    refused(tmp_path, "no file fits")


@POSIX
def test_a_folder_that_holds_itself_is_not_walked_for_ever(tmp_path: Path) -> None:
    named(tmp_path, "**/*.csv")
    for name in ("a", "b"):
        (tmp_path / name).symlink_to(tmp_path, target_is_directory=True)
    assert check(tmp_path).code == 0


@POSIX
def test_links_that_point_at_each_other_are_no_files(tmp_path: Path) -> None:
    named(tmp_path, "x.csv")
    (tmp_path / "x.csv").symlink_to(tmp_path / "y.csv")
    (tmp_path / "y.csv").symlink_to(tmp_path / "x.csv")
    refused(tmp_path, "no file fits")


@POSIX
def test_a_log_reached_by_two_links_is_read_once(tmp_path: Path) -> None:
    named(tmp_path, "*.csv")
    (tmp_path / "again.csv").symlink_to(tmp_path / "log.csv")
    done = check(tmp_path)
    assert done.code == 0
    assert done.out.decode().count("rows:") == 1


def test_a_log_outside_the_folder_is_read_only_where_the_grower_names_it(tmp_path: Path) -> None:
    """The pattern is the grower's own word; no text of a log or a title is ever taken for a path."""
    inner = tmp_path / "farm"
    inner.mkdir()
    named(inner, "../elsewhere/log.csv")
    (tmp_path / "elsewhere").mkdir()
    (inner / "log.csv").rename(tmp_path / "elsewhere" / "log.csv")
    done = run(["check", str(inner / "ledger.toml"), "--json", "-"])
    assert done.code == 0
    assert str(tmp_path) not in done.out.decode()


def test_a_folder_of_that_name_is_no_log(tmp_path: Path) -> None:
    farm(tmp_path)
    (tmp_path / "log.csv").unlink()
    (tmp_path / "log.csv").mkdir()
    refused(tmp_path, "no file fits")


@pytest.mark.parametrize("number", ["1e999", "-1e999", "1e308", "9" * 400, "1e-400", "0x10", "١٢", "1_0", "∞"])
def test_numbers_beyond_floats_spoil_their_row_at_most(tmp_path: Path, number: str) -> None:
    farm(tmp_path)
    rows = log_rows()
    for i in range(100, 110):
        rows[i] = f"{rows[i].split(',')[0]},{number},1.0"
    (tmp_path / "log.csv").write_text("\n".join(rows), encoding="utf-8")
    assert check(tmp_path).code == 0


@pytest.mark.parametrize("year", ["0001", "1582", "1899", "1969", "2038", "2101", "9999"])
def test_dates_before_1970_and_after_all_clocks_are_read_or_set_aside(tmp_path: Path, year: str) -> None:
    farm(tmp_path)
    rows = [row.replace("2026-01", f"{year}-01") for row in log_rows()]
    (tmp_path / "log.csv").write_text("\n".join(rows), encoding="utf-8")
    done = check(tmp_path)
    assert done.code in (0, 2)
    changed = "\n".join(rows)
    assert not slow(lambda: check_s(tmp_path, changed), lambda: check_s(tmp_path, "\n".join(log_rows())))


def test_a_ten_megabyte_log_is_read_in_bounded_memory(tmp_path: Path) -> None:
    """The blocks are sixteen megabytes: beyond them memory grows with the readings only, not with the text."""
    farm(tmp_path, LEDGER.replace('file = "log.csv"', 'file = "log.csv"\nclock = "UTC"'))
    rows = [f"{row},{'x' * 60}" if row else row for row in log_rows()[1:-1]]
    lines = ["Time,In,Out,Note"]
    for year in range(2006, 2026):
        lines += [row.replace("2026-01", f"{year}-{month:02d}") for month in (1, 3, 5, 7, 8, 10, 12) for row in rows]
    (tmp_path / "log.csv").write_text("\n".join(lines), encoding="utf-8")
    size = (tmp_path / "log.csv").stat().st_size
    done = check(tmp_path)
    assert done.code == 0
    assert size > 9e6
    if done.grown is not None:
        assert done.grown < 20 * size
