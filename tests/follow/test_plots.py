"""The running sum against the plan, as it is drawn and as the workbook reckons it."""

from __future__ import annotations

import io
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from openpyxl import load_workbook

from ledger.appraisal import Appraisal
from ledger.money.season_worth import SeasonWorth
from ledger.views.live_recovered import NAME
from ledger.views.plots_seasons import recovered_plot, recovered_section
from ledger.views.season_sums import season_sums
from ledger.views.workbook import workbook_bytes
from tests.views.example import example, example_by_lift

SVG = "{http://www.w3.org/2000/svg}"


def two_seasons(capital: float = 500.0) -> Appraisal:
    """284.71 left over in the first season and 100.29 in the second: 385 of 500. The plan is 200 a season: 400."""
    of = example()
    one = replace(of.seasons[0], worth=SeasonWorth("2025-26", 2300.0, 200.0, 2.5, 100.0))
    account = replace(one.account, season="2026-27", net_saving=100.29, recovered_to_date=385.0, still_to_recover=115.0)
    two = replace(one, heat=replace(one.heat, season="2026-27"), account=account, worth=None)
    return replace(of, seasons=(one, two), capital=replace(of.capital, net=capital))


def test_the_sums_begin_with_nothing_and_the_plan_does_not_move_with_what_came() -> None:
    sums = season_sums(two_seasons())
    assert sums is not None
    assert sums.recovered == (0.0, 284.71, 385.0)
    assert sums.plan == (0.0, 200.0, 400.0)


def test_the_drawing_says_in_words_what_its_lines_say() -> None:
    drawn = recovered_plot(two_seasons())
    assert drawn is not None
    assert drawn.description == (
        "Recovered: 285 EUR after 2025-26, 385 EUR after 2026-27; the plan by then was 400 EUR, 200 EUR a season; "
        "500 EUR are to be recovered in all."
    )
    root = ElementTree.fromstring(drawn.svg)
    assert root.findtext(f"{SVG}desc") == drawn.description
    lines = [x for x in root.iter(f"{SVG}polyline") if float(x.attrib["stroke-width"]) > 1.1]
    dashes = {x.attrib.get("stroke-dasharray", "") for x in lines}
    assert dashes == {"", "6 3", "1 3"}, "lines are told apart by dash, not by colour alone"


def test_a_sum_stands_where_its_figure_is() -> None:
    """The upright axis goes in round figures: a line at 400 lies midway between those at 300 and 500, and so on."""
    drawn = recovered_plot(two_seasons())
    assert drawn is not None
    root = ElementTree.fromstring(drawn.svg)
    ends: dict[str, list[tuple[float, ...]]] = {}
    for one in root.iter(f"{SVG}polyline"):
        points = [tuple(map(float, p.split(","))) for p in one.attrib["points"].split()]
        if float(one.attrib["stroke-width"]) > 1.1 and points[-1][0] > 100:  # not those of the legend
            ends[one.attrib.get("stroke-dasharray", "")] = points
    zero, plan, done, whole = ends[""][0][1], ends["6 3"][2][1], ends[""][2][1], ends["1 3"][-1][1]
    assert (zero - plan) / (zero - whole) == pytest.approx(400 / 500, abs=0.01)
    assert (zero - done) / (zero - whole) == pytest.approx(385 / 500, abs=0.01)


def test_what_is_far_above_is_said_and_not_drawn() -> None:
    """5000 is more than two and a half times 400: drawn, it would press the sums flat."""
    drawn = recovered_plot(two_seasons(capital=5000.0))
    assert drawn is not None
    assert "5,000 EUR, far above" in drawn.svg
    assert 'stroke-dasharray="1 3"' not in drawn.svg


def test_nothing_is_drawn_of_one_season_or_of_an_assumed_lift() -> None:
    assert recovered_section(example()) is None
    lift = example_by_lift()
    assert recovered_plot(replace(lift, seasons=lift.seasons * 2)) is None


def test_the_workbook_draws_the_same_sums_from_formulas() -> None:
    book = load_workbook(io.BytesIO(workbook_bytes(two_seasons())))
    page = book[NAME]
    rows = [[cell.value for cell in row[:5]] for row in page.iter_rows(min_row=2, max_row=4)]
    assert rows[0] == ["before", None, 0, 0, 500]
    assert rows[1] == ["2025-26", 284.71, "=C2+B3", "=D2+B$6", "=E2"]
    assert rows[2] == ["2026-27", 100.29, "=C3+B4", "=D3+B$6", "=E3"]
    assert page["B6"].value == 200
    (chart,) = page._charts
    marks = [(s.graphicalProperties.line.dashStyle, s.marker.symbol) for s in chart.series]
    assert len(set(marks)) == 3, "lines are told apart by dash and mark"


def test_the_workbook_of_one_season_says_what_it_waits_for() -> None:
    page = load_workbook(io.BytesIO(workbook_bytes(example())))[NAME]
    assert "two seasons" in str(page["A1"].value)
    assert page._charts == []
