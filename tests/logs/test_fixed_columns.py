"""Where the columns of a file without separators begin."""

from __future__ import annotations

import time

import pytest

from ledger.intake.log_shape import fixed_cuts
from tests.fuzz.pace import slow, unit_s


@pytest.mark.parametrize(
    ("lines", "cuts"),
    [
        (["1  23 4", "12 3  45"], (3, 6)),
        ([" 1 2", " 3 4"], (3,)),
        (["1\t2", "1        2"], (9,)),
        (["1 2   ", "1 2"], (2,)),
        (["12", "34"], ()),
        (["1 2", "no data"], ()),
        ([], ()),
    ],
)
def test_a_column_begins_behind_a_place_that_is_blank_in_every_line_of_data(
    lines: list[str], cuts: tuple[int, ...]
) -> None:
    """By hand: the first column begins where it stands; a tab is eight blanks; lines that begin with words are none."""
    assert fixed_cuts(lines) == cuts


def test_lines_run_together_are_looked_through_once() -> None:
    """One line of 20,000 signs among 5,000 short ones: to ask each line at each sign of the longest takes seconds."""
    lines = [*["1"] * 5000, "1" * 20_000]

    def run_s() -> float:
        began = time.process_time()
        assert fixed_cuts(lines) == ()
        return time.process_time() - began

    assert slow(run_s, unit_s) == ""
