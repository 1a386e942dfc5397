"""The drawings: round axes, bars on one scale, labels inside."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.views.plots import WIDTH, Scale, ticks
from ledger.views.plots_report import rung_bars, running_sum, yearly_saving
from ledger.views.report_parts import Facts, Prose, Section, half_of
from tests.known import known
from tests.report.made import report_by_lift, report_example

SVG = "{http://www.w3.org/2000/svg}"


def test_ticks_by_hand() -> None:
    """-2,575 to 9,910 in about five steps: 12,485 / 5 = 2,497, so steps of 2,500 from -5,000 to 10,000."""
    assert ticks(-2575, 9910, most=5) == (-5000, -2500, 0, 2500, 5000, 7500, 10000)
    assert ticks(0, 25, most=5) == (0, 5, 10, 15, 20, 25)
    assert ticks(3, 3, most=5) == (3,)


@given(st.floats(-1e9, 1e9), st.floats(1e-3, 1e9))
def test_ticks_reach_both_ends(low: float, width: float) -> None:
    marks = ticks(low, low + width, most=5)
    step = marks[1] - marks[0] if len(marks) > 1 else width
    assert marks[0] <= low + 1e-6 * step + 1e-9 * abs(low)
    assert marks[-1] >= low + width - 1e-6 * step - 1e-9 * abs(low)
    assert len(marks) <= 9


def test_a_scale_by_hand() -> None:
    """Half way from 0 to 10 is half way from 20 to 60."""
    assert Scale(0, 10, 20, 60).at(5) == 40
    assert Scale(3, 3, 20, 60).at(3) == 20


def test_bars_of_the_rungs_stand_on_one_scale() -> None:
    """The longest, 23,456, fills 352 of 360; held in the dark, 5,678, is 5,678 / 23,456 of that, 85.2."""
    drawn = rung_bars(report_example())
    assert drawn is not None
    bars = ElementTree.fromstring(drawn.svg).findall(f"{SVG}rect")
    widths = [float(bar.attrib["width"]) for bar in bars]
    assert len(widths) == 5
    assert widths[0] == pytest.approx(352, abs=0.1)
    assert widths[2] == pytest.approx(85.2, abs=0.1)


def test_no_meaning_hangs_on_colour_alone() -> None:
    """What is money is filled and the rest is hatched; the two sums differ by dashes; the likely value by its shape."""
    rungs = ElementTree.fromstring(known(rung_bars(report_example())).svg)
    fills = [bar.attrib["fill"] for bar in rungs.findall(f"{SVG}rect")]
    assert fills[:4] == ["url(#rungs-hatch)"] * 4
    assert not fills[4].startswith("url")
    sums = ElementTree.fromstring(known(running_sum(report_example())).svg)
    assert any("stroke-dasharray" in line.attrib for line in sums.findall(f"{SVG}polyline"))


def test_by_an_assumed_lift_no_line_and_no_mark_is_drawn() -> None:
    assert running_sum(report_by_lift()) is None
    saving = yearly_saving(report_by_lift(), most=5)
    assert saving is not None
    assert ElementTree.fromstring(saving.svg).findall(f"{SVG}polygon") == []
    assert "likely" not in saving.description


def test_everything_stays_inside_the_drawing() -> None:
    for drawn in (rung_bars(report_example()), running_sum(report_example()), yearly_saving(report_example(), most=5)):
        assert drawn is not None
        root = ElementTree.fromstring(drawn.svg)
        height = float(root.attrib["height"])
        for text in root.findall(f"{SVG}text"):
            assert 0 <= float(text.attrib["x"]) <= WIDTH
            assert 0 <= float(text.attrib["y"]) <= height
        for box in root.findall(f"{SVG}rect"):
            assert float(box.attrib["x"]) + float(box.attrib["width"]) <= WIDTH


def test_columns_are_made_about_as_long() -> None:
    """One long section against three short ones: the long one stands alone."""
    long = Section("long", (Facts("", (("a", "b"),) * 12),))
    short = Section("short", (Prose("a line"),))
    assert half_of((long, short, short, short)) == 1
    assert half_of((short, short, short, long)) == 3
    assert half_of((short,)) == 0
