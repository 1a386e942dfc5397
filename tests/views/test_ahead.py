"""What lies beyond the headline on the screen of `appraise`, and the blocks of `compare`, on an appraisal by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from ledger.appraisal import Appraisal
from ledger.doubt.ahead import Ahead
from ledger.doubt.breakeven import BreakEven
from ledger.doubt.forward import Forward, StepWorth
from ledger.doubt.hold_steps import HoldStep
from ledger.doubt.plan_ranges import PlanRange
from ledger.errors import Notice
from ledger.model.build import Status
from ledger.model.terms import Benefit
from ledger.model.values import MoneyRange
from ledger.money.benefits import BenefitLine
from ledger.money.results import Percentiles
from ledger.plans.around import AroundPlans, OwnPower
from ledger.plans.results import CutPlan, PowerCut, Stress, StressSource
from ledger.plans.ties import Tie
from ledger.views.ahead import beats_lines, benefit_lines, next_lines
from ledger.views.answer import answer_lines
from ledger.views.around import no_heater_lines, power_cut_lines, power_lines, tie_lines
from ledger.views.compare_screen import compare_lines
from ledger.views.facts import fact_lines, fact_words
from ledger.views.row import style_of
from ledger.views.screen import Screen
from ledger.views.stress_screen import stress_lines
from ledger.views.text import cell_width
from tests.views.example import example, example_by_lift

NOTHING_KNOWN = Percentiles(None, None, None)


def said(lines: list[str]) -> str:
    return " ".join(" ".join(lines).split())


def full(whole: Appraisal) -> Appraisal:
    """With every block that the screens know."""
    step = StepWorth("second loop", 900.0, 300.0, 48.0, Percentiles(-120.0, 40.0, 260.0), 18.75, 280.0)
    holds = (
        HoldStep(1.0, 1800.0, 1500.0, 300.0, -4000.0),
        HoldStep(4.0, 3000.0, 2345.7, 654.3, -3320.6),
        HoldStep(7.0, 4300.0, 2900.0, 1400.0, 120.0),
    )
    source = "electric heater"
    ranges = (PlanRange(source, NOTHING_KNOWN, NOTHING_KNOWN, NOTHING_KNOWN, 0.25),)
    dominates = Notice("benefit-dominates", "more than half of the claim is money other than heat", "benefit")
    benefit = BenefitLine(420.0, 704.71, 1234.0, 5.5, 0.53, (dominates,))
    solved = (
        BreakEven("fuel price", "source.price", "per kWh", 0.16, 0.32, 1.0),
        BreakEven("discount rate", "money.discount_rate", "a year", 0.05, 0.02, -0.03),
    )
    hard = Stress("2025-26", 5.0, 4000.0, 2500.0, 1500.0, 40, 12, 30, 20.0, 4.4, 7.2, 8,
                  (StressSource(source, 1500.0, 240.0, 0.0, 10.0, 3.0, False),), (), 90)  # fmt: skip
    cut = (
        CutPlan("electric heater alone", False, False, None, None, None),
        CutPlan("build + electric heater", False, True, 6.0, 4.05, 9.2),
    )
    return replace(
        whole,
        source=replace(whole.source, benefits=(Benefit("winter greens", MoneyRange.sure("420")),)),
        ahead=Ahead(Forward(529.39, (step,)), benefit, holds, ranges, ("a fact",)),
        around=AroundPlans(
            (Tie("electric heater alone", "build + electric heater", source, 11.0, 0.3),),
            OwnPower(6.912, 0.372, 0.16),
            PowerCut(0.1, 6.0, 4.05, 9.2, None, plans=cut),
            hard,
            -16.0,
        ),
        break_evens=solved,
    )


def test_the_second_line_has_the_other_money_and_its_warning() -> None:
    text = said(benefit_lines(full(example()), Screen(80)))
    assert "winter greens, 420 EUR a year. With it the gain would be 1,230 EUR" in text
    assert "years to pay back: 5.5 years" in text
    assert "More than half of the claim is money other than heat." in text


def test_the_nearest_facts_come_first() -> None:
    """A price twice as high is 100 % away; three points of a rate weigh three tenths: the rate is nearer."""
    text = said(fact_lines(full(example()), Screen(200)))
    assert text == (
        "It would gain if one of these alone were so, the nearest first: - discount rate: 2.0 % a year, now 5.0 % "
        "- fuel price: 0.320 EUR per kWh, now 0.160 EUR: 100 % more"
    )
    gaining = full(example())
    gaining = replace(gaining, worth=replace(gaining.worth, npv=1.0))
    assert said(fact_lines(gaining, Screen(200))).startswith("It would no longer gain if one of these alone were so")


@pytest.mark.parametrize(
    ("solved", "words"),
    [
        (
            BreakEven("net capital", "capital.net", "", 1500.0, 1200.0, -0.2),
            "net capital: 1,200 EUR, now 1,500 EUR: 20 % less",
        ),
        (BreakEven("avoided heat", "a", "kWh", 750.0, 900.0, 0.2), "avoided heat: 900 kWh, now 750 kWh: 20 % more"),
        (BreakEven("years of the study", "s", "years", 25.0, 9.0, -0.64), "years of the study: 9, now 25"),
    ],
)
def test_each_fact_says_what_would_have_to_be_and_what_is(solved: BreakEven, words: str) -> None:
    assert fact_words(solved, style_of(example())) == words


def test_where_it_just_breaks_even_no_change_of_nought_is_named() -> None:
    whole = full(example())
    near = tuple(replace(one, at=one.today * 1.001, distance=0.001) for one in whole.break_evens)
    text = said(fact_lines(replace(whole, break_evens=near), Screen(200)))
    assert text == "It neither gains nor loses: the least change of any of these turns it."


def test_by_an_assumed_lift_no_fact_is_claimed() -> None:
    assert fact_lines(full(example_by_lift()), Screen(80)) == []


def test_from_today_on_leaves_out_what_is_spent_and_asks_what_more_warmth_costs() -> None:
    text = said(next_lines(full(example()), Screen(80)))
    assert "going on with the build is worth 529 EUR" in text
    assert "next: second loop, 900 EUR, adds 300 kWh as the ledger expects: back in 18.8 years" in text
    assert "gain -120 to 260 EUR; it pays if it adds 280 kWh a year." in text
    assert "at 1.0 °C it needs 1,800 kWh, 300 kWh of it bought, gain -4,000 EUR" in text
    assert "at 7.0 °C it needs 4,300 kWh, 1,400 kWh of it bought, gain 120 EUR" in text
    assert "It first pays at 7.0 °C." in text


def test_where_nothing_is_spent_yet_nothing_is_left_aside() -> None:
    whole = full(example())
    (build,) = whole.source.builds
    planned = replace(build, items=tuple(replace(item, status=Status.PLANNED) for item in build.items))
    text = said(next_lines(replace(whole, source=replace(whole.source, builds=(planned,))), Screen(80)))
    assert "going on with the build" not in text
    assert "next: second loop" in text


def test_the_chance_that_the_build_beats_the_heater_alone_is_said() -> None:
    assert "electric heater 25 %" in said(beats_lines(full(example()), Screen(80)))


def test_by_lift_nothing_that_rests_on_the_placeholder_is_shown() -> None:
    whole = full(example_by_lift())
    for lines in (benefit_lines, fact_lines, next_lines):
        assert lines(whole, Screen(80)) == []


def test_a_tie_says_from_which_wage_and_price_on() -> None:
    text = said(tie_lines(full(example()), Screen(80)))
    assert "the cheaper one while an hour of work counts less than 11.0 EUR" in text
    assert "electric heater costs 0.300 EUR per kWh (now 0.160 EUR)" in text


def test_a_tie_without_a_wage_says_which_way_round() -> None:
    whole = full(example())
    dear = (Tie("build + electric heater", "electric heater alone", "electric heater", None, None),)
    text = said(tie_lines(replace(whole, around=replace(whole.around, ties=dear)), Screen(80)))
    assert "it costs more even if nobody's time is counted." in text


def test_a_power_cut_names_its_hours_and_own_power_its_price() -> None:
    whole = full(example())
    text = said(power_cut_lines(whole, Screen(80)))
    assert "The power fails on a night of -16.0 °C" in text
    assert "the build, from 6.0 °C at nightfall: above 4.0 °C for 4.0 hours, above freezing for 9.2 hours." in text
    assert "nothing built: not known, the log holds no such house." in text
    assert "stop: electric heater." in text
    text = said(power_lines(whole, Screen(80)))
    assert "A full battery gives 6.9 kWh at the socket." in text
    assert "for 7.2 hours of the worst night, and through 8 of 90 nights." in text
    assert "truly costs 0.372 EUR/kWh; the ledger reckons with 0.160 EUR/kWh." in text
    assert "licensed electrician" in text


def test_without_power_or_a_night_to_tell_nothing_is_said() -> None:
    assert power_lines(example(), Screen(80)) == []
    assert power_cut_lines(example(), Screen(80)) == []
    assert no_heater_lines(example(), Screen(80)) == []


def test_the_screen_of_stress_adds_up_in_its_own_words() -> None:
    text = said(stress_lines(full(example()), screen=Screen(80)))
    assert "The winter 2025-26, 5.0 K colder" in text
    assert "at least 40 of 90 nights would fall below hold, 12 of them in one run; 30 hours of frost indoors." in text
    assert "As it was, 650 kWh had to be bought." in text
    assert "at most 20 kWh in a night" in text


def test_a_milder_winter_and_another_record_are_called_so() -> None:
    whole = full(example())
    assert whole.around.stress is not None
    for colder_k, record, words in (
        (-2.0, None, "The winter 2025-26, 2.0 K milder"),
        (0.0, "long.csv", "The hardest winter of long.csv, 2025-26, as it was"),
    ):
        around = replace(whole.around, stress=replace(whole.around.stress, colder_k=colder_k))
        assert words in said(stress_lines(replace(whole, around=around), screen=Screen(80), record=record))


def test_without_a_season_there_is_no_hard_winter() -> None:
    assert "no season is logged" in said(stress_lines(example(), screen=Screen(80)))


@pytest.mark.parametrize("width", [40, 60, 80, 96])
def test_no_line_is_wider_than_the_screen(width: int) -> None:
    for whole in (full(example()), full(example_by_lift())):
        for lines in (answer_lines, compare_lines, stress_lines):
            assert max(cell_width(line) for line in lines(whole, screen=Screen(width))) <= width
