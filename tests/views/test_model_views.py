"""What only the fitted house tells, on the screen, in the workbook, in the report and for scripts."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from typing import Any

import pytest
from openpyxl import load_workbook

from ledger.appraisal import Appraisal
from ledger.heat.housemodel.answer import HouseModelAnswer
from ledger.heat.housemodel.whatif import Told
from ledger.heat.results import Rungs
from ledger.views.adds_up_rows import pairs_of_heat
from ledger.views.json_view import appraisal_document, to_bytes
from ledger.views.live_model import NAME
from ledger.views.model_rows import edge_words, split_table, what_if_table
from ledger.views.model_screen import model_lines
from ledger.views.report_evidence import page_of_evidence
from ledger.views.report_model import adds_up_words, model_section, why_part, with_room_for
from ledger.views.report_parts import Prose, Section
from ledger.views.row import style_of
from ledger.views.screen import Screen
from ledger.views.text import cell_width
from ledger.views.why_less import why_rows
from ledger.views.workbook import workbook_bytes
from tests.housemodel.fitted import told_of
from tests.views.example import example, example_by_lift
from tests.views.with_model import with_model

HOSTILE = ('=HYPERLINK("http://x","y")', "+1+1\x1b[31m")


def said(appraisal: Appraisal, *, width: int = 100) -> str:
    return " ".join(" ".join(model_lines(appraisal, Screen(width))).split())


def document(appraisal: Appraisal) -> dict[str, Any]:
    return dict(json.loads(to_bytes(appraisal_document(appraisal))))


def texts(appraisal: Appraisal, sheet: str) -> list[str]:
    page = load_workbook(io.BytesIO(workbook_bytes(appraisal)))[sheet]
    return [str(cell.value) for row in page.iter_rows() for cell in row if cell.value is not None]


def test_each_build_stands_alone_left_out_and_with_its_part() -> None:
    table = split_table(told_of(), with_model())
    assert table is not None
    assert table.rows == (
        ("tank", 300.0, 200.0, 250.0),
        ("air tubes", 900.0, 800.0, 850.0),
        ("all together", 1100.0, None, 1100.0),
    )


def test_what_both_would_have_given_is_said_and_how_it_is_divided() -> None:
    """300 + 900 − 1,100 = 100 shared."""
    text = said(with_model())
    assert "100 kWh of it either would have given without the other: that is halved between them." in text
    assert "by each one's part here: air tubes 850 kWh, tank 250 kWh in a typical year." in text


def test_builds_that_help_one_another_are_said_to() -> None:
    text = said(with_model(told_of(tank=100.0, bed=300.0, both=600.0)))
    assert "They help one another: without either, the other gives less. These 200 kWh are halved between them." in text


def test_a_model_that_is_not_believed_shows_its_split_for_orientation_and_no_what_if() -> None:
    text = said(with_model(believed=False))
    assert "for orientation only, no money rests on it" in text
    assert "by share_of_saving in the ledger" in text
    assert "What if it were built or set otherwise?" not in text


def test_what_ifs_come_with_their_range_their_fan_and_their_worth() -> None:
    """Twice the tubes: 500 kWh more (480 to 520), 100 kWh more fan, 500 · 0.16 − 100 · 0.16 = 64 a year."""
    table = what_if_table(told_of(), with_model())
    assert table is not None
    rows = {row[0]: row[1:] for row in table.rows}
    assert rows["twice: air tubes"] == pytest.approx((500.0, 480.0, 520.0, 100.0, 64.0))
    assert "fan stores above 22.0 °C (now 20.0)" not in rows, "its range holds 0"
    assert "No difference that could be told: fan stores above 22.0 °C (now 20.0)." in said(with_model())


def test_both_sides_of_the_fan_s_cold_setting_are_said() -> None:
    text = said(with_model())
    assert "1,200 kWh not bought held at 6.0 °C, 400 kWh not bought held at 8.0 °C" in text
    assert "Keep it at least a degree above the hold." in text


def test_a_hold_at_the_fan_s_own_setting_is_said_where_the_saving_stands_on_both_sides() -> None:
    """Held at 4 °C: within a degree of 4.5, not of 7."""
    assert "The hold itself lies there: what stands as saved is the mean over both." in said(
        with_model(told_of(cold_c=4.5))
    )
    assert "The hold itself lies there" not in said(with_model())


def test_the_report_says_so_too_where_the_model_answers() -> None:
    near, far = answered_by_the_model(told_of(cold_c=4.5)), answered_by_the_model(told_of())
    assert "The hold itself lies there" in edge_words(near)
    assert any(
        isinstance(p, Prose) and p.text == edge_words(near) for s in page_of_evidence(near).sections for p in s.parts
    )
    assert edge_words(far) == ""
    assert edge_words(with_model(told_of(cold_c=4.5))) == "", "a twin answers there"


def answered_by_the_model(told: Told) -> Appraisal:
    whole = with_model(told)
    season = whole.seasons[-1]
    heat = replace(season.heat, bare=replace(season.heat.bare, used="model"))
    return replace(whole, seasons=(*whole.seasons[:-1], replace(season, heat=heat)))


@pytest.mark.parametrize("width", [40, 60, 80, 100])
def test_no_line_is_wider_than_the_screen(width: int) -> None:
    assert all(cell_width(line) <= width for line in model_lines(with_model(), Screen(width)))


def test_without_a_model_and_with_one_build_the_screen_says_nothing_of_it() -> None:
    assert model_lines(example(), Screen(80)) == []


def test_the_six_lines_add_up_from_all_the_warmth_to_what_is_money() -> None:
    """23,456 − 17,778 (5,678 held) − 3,278 (2,400 added) − 50 (2,346 credited), each rung to the nearest ten."""
    whole = example()
    rows = why_rows(whole.seasons[0].heat, whole.source.hold, style_of(whole))
    assert [figure for _, figure, _ in rows] == ["23,460", "-17,780", "-3,280", "2,400", "-50", "2,350"]
    assert len(rows) == 6


def test_by_a_lift_the_six_lines_say_that_it_is_assumed() -> None:
    whole = example_by_lift()
    assert any(
        "assumed lift" in words for words, _, _ in why_rows(whole.seasons[0].heat, whole.source.hold, style_of(whole))
    )


def below_nothing() -> Appraisal:
    """A tank that gives 200 alone and a bed that takes 700 beside it: the whole −500, shared 0."""
    whole = with_model(told_of(tank=200.0, bed=-700.0, both=-500.0))
    (season,) = whole.seasons
    heat = replace(
        season.heat, rungs=Rungs(23456.0, 6789.0, 5678.0, -500.0, -500.0), avoided_kwh=-500.0, passive_fraction=-0.17
    )
    assert whole.typical_heat is not None
    typical = replace(whole.typical_heat, avoided_kwh=-500.0, to_buy_kwh=3500.0)
    return replace(whole, seasons=(replace(season, heat=heat),), typical_heat=typical)


def test_a_build_that_takes_more_than_it_gives_is_negative_on_every_paper() -> None:
    whole = below_nothing()
    assert "-700" in said(whole)
    assert "-500" in said(whole)
    (bed,) = (p for p in document(whole)["model"]["split"]["parts"] if p["part"] == "tube bed")
    assert (bed["alone_kwh"], bed["own_kwh"], bed["left_out_kwh"]) == (-700, -700, -700)
    assert document(whole)["seasons"][0]["avoided_kwh"] == -500
    assert "-700" in texts(whole, NAME)
    section = model_section(whole)
    assert section is not None
    assert "-700" in str(section.parts[0])
    assert why_part(whole).rows[-1] == ("not bought: only this is money", "-500")


def test_scripts_get_the_split_the_what_ifs_and_the_fan_of_every_season() -> None:
    model = document(with_model())["model"]
    assert model["split"]["together_range_kwh"] == {"p10": 900, "p90": 1300}
    assert model["other_holds"]["4"] == {"need_kwh": 3000, "avoided_kwh": 1100}
    assert model["fan"]["gives_back_below_c"] == 7
    assert [one["to"] for one in model["fan"]["beside_its_cold_setting"]] == [6, 8]
    assert model["seasons"]["2025-26"]["what_ifs"] == model["what_ifs"]
    assert document(with_model())["builds_split_by"] == "house model, each left out"


def test_the_workbook_tells_what_was_fitted_and_why_it_is_believed() -> None:
    cells = texts(with_model(), NAME)
    assert "Heat loss to outdoors" in cells
    assert "Is it believed? Season 2025-26: yes" in cells
    assert any("40 nights kept out of the fit: scatter (CV(RMSE)) 8 %" in text for text in cells)
    assert any(text.endswith("measured sun.") for text in cells)
    doubted = texts(with_model(believed=False), NAME)
    assert "Is it believed? Season 2025-26: no" in doubted
    assert "Season 2025-26: nothing in the log fixes kilowatt-hours." in doubted
    assert "twice: tank" in cells
    assert "twice: tank" not in doubted


def test_a_workbook_without_a_model_has_no_sheet_of_it() -> None:
    assert NAME not in load_workbook(io.BytesIO(workbook_bytes(example()))).sheetnames


@pytest.mark.parametrize("typed", HOSTILE)
def test_a_build_s_name_never_becomes_a_formula_or_a_sign_to_the_terminal(typed: str) -> None:
    whole = with_model(names=(typed, "tank"))
    page = load_workbook(io.BytesIO(workbook_bytes(whole)))[NAME]
    assert not [c for row in page.iter_rows() for c in row if c.data_type == "f"]
    assert "\x1b" not in "".join(model_lines(whole, Screen(80)))


def test_the_report_has_each_build_s_part_where_there_is_room_and_not_where_there_is_none() -> None:
    """A page of 100 short paragraphs (each a line, with its heading three) is full."""
    section = model_section(with_model())
    assert section is not None
    few = [Section("a", (Prose("b"),)) for _ in range(3)]
    assert with_room_for(section, few) == (few[0], section, *few[1:])
    many = few * 30
    assert with_room_for(section, many) == tuple(many)
    assert with_room_for(None, few) == tuple(few)
    assert model_section(with_model(believed=False)) is None


def test_nothing_logged_has_nothing_that_must_agree() -> None:
    assert pairs_of_heat(example()) == ()
    assert adds_up_words(example()) == ""
    assert model_section(example()) is None


def test_the_report_says_why_a_fitted_house_is_not_believed_and_nothing_of_one_that_is_or_that_is_not_there() -> None:
    """The reason may name a season in the grower's own words: it stays text."""

    def evidence(appraisal: Appraisal) -> str:
        return str(page_of_evidence(appraisal))

    season = HouseModelAnswer(why_not=("Season <b>25</b>: the log holds no contrast", "and more"))
    doubted = evidence(replace(example(), model=season))
    assert "The fitted house model is not believed. Season <b>25</b>: the log holds no contrast." in doubted
    assert "and more" not in doubted
    assert "not believed. Season 2025-26: nothing in the log" in evidence(with_model(believed=False))
    assert "not believed" not in evidence(with_model()) + evidence(example())
