"""Colder winters followed by hand: what the build still gives, what is bought, how long a battery lasts."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Unpack

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.heat.reckoning import heat_work, prepare
from ledger.heat.season_answer import SeasonWork
from ledger.model.book import RunningLine
from ledger.model.heaters import Kind
from ledger.model.ledger import Ledger
from ledger.model.terms import Power
from ledger.model.values import MoneyRange
from ledger.plans.colder import colder_winter, logged_nights
from ledger.plans.power import hours_carried, own_price_per_kwh, stored_kwh
from ledger.plans.stress import Cold, battery, longest_run, stress
from tests.changes import LedgerChanges
from tests.heat.builders import heater, ledger_of, plain_house, record_of, spread, winter_record
from tests.known import known

COLD = Cold(5.0, -15.0, None)


def three_nights(indoor: tuple[float, ...], **changes: Unpack[LedgerChanges]) -> tuple[Ledger, tuple[SeasonWork, ...]]:
    """Three days from noon of 1 January at −10 °C, bare house at −8 °C (lift 2, sure), H 100 W/K, hold 5 °C; indoors
    one steady temperature from noon to noon. A night at 46° north has 15 dark hours then."""
    ledger = replace(ledger_of(plain_house(100.0, lift=spread(2.0))), **changes)
    inside = np.repeat(np.array(indoor), 24)
    record = record_of({"indoor": inside, "outdoor": np.full(72, -10.0)}, first="2026-01-01T12:00+01:00")
    return ledger, heat_work(prepare(record, ledger), ledger).seasons


def three_backed_nights() -> tuple[Ledger, tuple[SeasonWork, ...]]:
    """Three nights held at 6 °C, 30 kWh of it by the heater, as its line in the season book says."""
    line = RunningLine(
        date(2026, 1, 2), "electric heater", "heat", 30.0, None, None, 0.0, date(2026, 1, 1), date(2026, 1, 2)
    )
    hold = replace(ledger_of().hold, backup_none=False)
    return three_nights((6.0, 6.0, 6.0), running=(line,), hold=hold)


def dark_hours(seasons: tuple[SeasonWork, ...]) -> float:
    return seasons[0].reckoned.rows.size / 3


def test_without_a_shift_a_winter_is_the_logged_one() -> None:
    """Need 0.1 · 13 = 1.3 kW; given 1.3, 1.1 (3 °C) and 0.9 (1 °C): to buy 0, 0.2, 0.4 kW."""
    ledger, seasons = three_nights((6.0, 3.0, 1.0))
    winter = colder_winter(seasons[0], ledger.site, hold_c=5.0, colder_k=0.0)
    n = dark_hours(seasons)
    assert winter.by_night(winter.need_kwh) == pytest.approx([1.3 * n] * 3)
    assert winter.by_night(winter.to_buy_kwh) == pytest.approx([0.0, 0.2 * n, 0.4 * n], abs=1e-9)


def test_nights_below_hold_show_the_limit_and_a_night_that_held_gives_up_to_the_highest_of_them() -> None:
    """5 K colder: need 0.1 · 18 = 1.8 kW. The nights below hold gave 1.1 and 0.9 kW: their limit. The one that held
    gave 1.3, more than the cap of 1.1, and gives 1.3 again: 0.5, 0.7, 0.9 kW are left."""
    ledger, seasons = three_nights((6.0, 3.0, 1.0))
    winter = colder_winter(seasons[0], ledger.site, hold_c=5.0, colder_k=5.0)
    n = dark_hours(seasons)
    assert winter.by_night(winter.to_buy_kwh) == pytest.approx([0.5 * n, 0.7 * n, 0.9 * n])
    limit = known(winter.limit)
    assert limit.cap_kwh == pytest.approx(1.1 * n)
    assert limit.seen
    assert winter.indoor_c.reshape(3, -1)[:, 0] == pytest.approx([0.0, -2.0, -4.0])


def test_where_every_night_held_the_most_ever_given_stands_and_it_is_said() -> None:
    ledger, seasons = three_nights((6.0, 7.0, 8.0))
    answer = known(stress(ledger, seasons, COLD))
    n = dark_hours(seasons)
    assert answer.cap_kwh == pytest.approx(1.3 * n)
    assert answer.to_buy_kwh == pytest.approx(3 * 0.5 * n)
    assert "never seen" in answer.notices[0].text


def test_backup_heat_that_was_delivered_is_bought_again() -> None:
    """30 kWh of backup heat stood inside what was given: to buy rises by 30."""
    plain, seasons = three_nights((6.0, 6.0, 6.0))
    ledger, backed = three_backed_nights()
    without, with_backup = known(stress(plain, seasons, COLD)), known(stress(ledger, backed, COLD))
    assert backed[0].backup.delivered_kwh == pytest.approx(30.0)
    assert with_backup.to_buy_kwh - without.to_buy_kwh == pytest.approx(30.0)


def burnt(first: date, last: date, kwh: float) -> RunningLine:
    return RunningLine(last, "electric heater", "heat", kwh, None, None, 0.0, first, last)


def test_backup_heat_of_a_month_without_a_reading_is_taken_off_by_the_need() -> None:
    """30 kWh noted in February; three like nights logged in January, each of 1.3 kW · n needed and given: 10 off."""
    line = burnt(date(2026, 2, 10), date(2026, 2, 11), 30.0)
    hold = replace(ledger_of().hold, backup_none=False)
    ledger, seasons = three_nights((6.0, 6.0, 6.0), running=(line,), hold=hold)
    gave = logged_nights(seasons[0], ledger.site).gave_kwh
    assert gave == pytest.approx([1.3 * dark_hours(seasons) - 10.0] * 3)


def test_backup_heat_of_a_month_without_a_reading_follows_that_of_the_months_read() -> None:
    """20 kWh noted in January, when only the third night was short, and 30 in February: all 50 in the third night."""
    lines = (burnt(date(2026, 1, 2), date(2026, 1, 3), 20.0), burnt(date(2026, 2, 10), date(2026, 2, 11), 30.0))
    hold = replace(ledger_of().hold, backup_none=False)
    ledger, seasons = three_nights((6.0, 6.0, 1.0), running=lines, hold=hold)
    n = dark_hours(seasons)
    gave = logged_nights(seasons[0], ledger.site).gave_kwh
    assert gave == pytest.approx([1.3 * n, 1.3 * n, 0.9 * n - 50.0])


def test_the_hard_winters_figures_and_who_copes() -> None:
    """Left 0.5, 0.7, 0.9 kW: three nights short in a run, two of them in frost (−2, −4 °C). Peak: design −15 − 5, lift
    2: 0.1 · (5 + 20 − 2) = 2.3 kW. A heater of 0.8 kW leaves 0.1 kW of the last night; its kWh costs 0.16."""
    sources = (heater(output_kw=spread(0.8)),)
    ledger, seasons = three_nights((6.0, 3.0, 1.0), sources=sources)
    answer = known(stress(ledger, seasons, COLD))
    n = dark_hours(seasons)
    assert (answer.nights_short, answer.longest_run_short) == (3, 3)
    assert answer.frost_hours == round(2 * n)
    assert answer.need_kwh == pytest.approx(3 * 1.8 * n)
    assert answer.avoided_kwh + answer.to_buy_kwh == pytest.approx(answer.need_kwh)
    assert answer.peak_need_kw == pytest.approx(2.3)
    (source,) = answer.sources
    assert source.fuel_cost == pytest.approx(2.1 * n * 0.16)
    assert source.unmet_kwh == pytest.approx(0.1 * n)
    assert source.holds_design_night is False
    assert answer.battery_hours is None


def test_a_battery_carries_heater_and_other_load_until_it_is_empty() -> None:
    """9.6 kWh · 0.8 · 0.9 = 6.912 kWh. Worst night: heater 0.8 kW (its output) + 60 W = 0.86 kW: 8.037 h. The first
    night takes 0.5 + 0.06 = 0.56 kW for 15 h = 8.4 kWh: none is carried through; with thrice the battery all are."""
    power = Power(spread(9.6), spread(0.8), spread(0.9), spread(60.0))
    ledger, seasons = three_nights((6.0, 3.0, 1.0), power=power, sources=(heater(output_kw=spread(0.8)),))
    assert stored_kwh(power) == pytest.approx(6.912)
    answer = known(stress(ledger, seasons, COLD))
    assert answer.battery_hours == pytest.approx(6.912 / 0.86)
    assert answer.battery_nights == 0
    larger = replace(ledger, power=replace(power, battery_kwh=spread(28.8)))
    winter = colder_winter(seasons[0], ledger.site, hold_c=5.0, colder_k=5.0)
    hours, nights = known(battery(larger, winter))
    assert hours == pytest.approx(dark_hours(seasons))
    assert nights == 3


def test_a_battery_runs_out_within_a_row() -> None:
    assert hours_carried(5.0, np.array([2.0, 2.0, 2.0]), step_h=1.0) == pytest.approx(2.5)
    assert hours_carried(4.0, np.array([2.0, 2.0, 2.0]), step_h=1.0) == pytest.approx(2.0)
    assert hours_carried(6.0, np.array([2.0, 2.0, 2.0]), step_h=2.0) == pytest.approx(6.0)
    assert hours_carried(1.0, np.array([0.0, 0.0, 4.0]), step_h=1.0) == pytest.approx(2.25)


def test_an_own_kilowatt_hour_costs_the_annuities_of_its_parts() -> None:
    """At a real rate of 0 (2 % and 2 %): 5000 ÷ 25 + 3000 ÷ 10 = 500 a year ÷ 2000 kWh = 0.25.
    At 5 % real: 5000 · crf(5 %, 25) 0.0709525 + 3000 · crf(5 %, 10) 0.1295046 = 743.28 ÷ 2000 = 0.37164."""
    power = Power(
        array_capital=MoneyRange.sure("5000"),
        array_life_years=spread(25.0),
        battery_capital=MoneyRange.sure("3000"),
        battery_life_years=spread(10.0),
        used_energy_kwh_per_year=spread(2000.0),
    )
    terms = replace(ledger_of().terms, discount_rate=spread(0.02), inflation=spread(0.02))
    assert own_price_per_kwh(power, terms) == pytest.approx(0.25)
    real = replace(terms, discount_rate=spread(0.05), rates_are_real=True)
    assert own_price_per_kwh(power, real) == pytest.approx(0.37164, abs=1e-5)
    assert own_price_per_kwh(replace(power, used_energy_kwh_per_year=None), terms) is None
    assert own_price_per_kwh(replace(power, battery_life_years=None), terms) is None


@pytest.mark.parametrize(("evenings", "run"), [([], 0), ([4], 1), ([4, 5, 6], 3), ([1, 2, 4, 5, 6, 9], 3), ([1, 3], 1)])
def test_the_longest_run_of_nights(evenings: list[int], run: int) -> None:
    assert longest_run(np.array(evenings, dtype=np.int64)) == run


def test_no_log_no_hard_winter() -> None:
    assert stress(ledger_of(), (), COLD) is None


@settings(max_examples=15, deadline=None)
@given(st.floats(0, 12), st.floats(0, 12), st.floats(0, 10))
def test_a_colder_winter_never_needs_or_buys_less(one: float, other: float, over: float) -> None:
    ledger = ledger_of()
    seasons = heat_work(prepare(winter_record(indoor_over=over), ledger), ledger).seasons
    mild, hard = (known(stress(ledger, seasons, Cold(k, -15.0, None))) for k in sorted((one, other)))
    assert hard.need_kwh >= mild.need_kwh - 1e-9
    assert hard.to_buy_kwh >= mild.to_buy_kwh - 1e-9
    assert hard.nights_short >= mild.nights_short
    assert known(hard.peak_need_kw) >= known(mild.peak_need_kw)


def test_a_battery_without_an_electric_heater_carries_the_fan_and_the_rest() -> None:
    """60 W for a night of n hours; 0.3 kWh last 5 h. No battery stated: nothing to say."""
    gas = heater(kind=Kind.PROPANE, name="electric heater", output_kw=spread(3.0))
    ledger, seasons = three_nights((6.0, 3.0, 1.0), sources=(gas,))
    winter = colder_winter(seasons[0], ledger.site, hold_c=5.0, colder_k=5.0)
    small = replace(ledger, power=Power(battery_kwh=spread(0.3), other_load_w=spread(60.0)))
    hours, nights = known(battery(small, winter))
    assert hours == pytest.approx(5.0)
    assert nights == 0
    assert battery(replace(ledger, power=Power()), winter) is None


def test_a_battery_feels_the_kilowatt_hours_whatever_the_unit_of_the_price() -> None:
    """Priced by the megawatt-hour, the heater draws the same 0.8 kW: 6.912 kWh last as long as before."""
    by_mwh = heater(output_kw=spread(0.8), unit="MWh", price=spread(160.0), heat_per_unit_kwh=spread(1000.0))
    ledger, seasons = three_nights((6.0, 3.0, 1.0), sources=(by_mwh,))
    winter = colder_winter(seasons[0], ledger.site, hold_c=5.0, colder_k=5.0)
    off_grid = replace(ledger, power=Power(spread(9.6), spread(0.8), spread(0.9), spread(60.0)))
    hours, nights = known(battery(off_grid, winter))
    assert hours == pytest.approx(6.912 / 0.86)
    assert nights == 0


def test_without_a_design_temperature_no_peak_is_named() -> None:
    ledger, seasons = three_nights((6.0, 3.0, 1.0))
    answer = known(stress(ledger, seasons, Cold(5.0, None, None)))
    assert answer.peak_need_kw is None
    assert answer.sources[0].holds_design_night is None


def test_a_second_source_gives_what_is_above_the_first_ones_output_and_is_counted_apart() -> None:
    """To buy 0.5, 0.7, 0.9 kW; the first gives 0.6: 0.5 + 0.6 + 0.6 = 1.7 kW · n hours, the second 0.1 + 0.3."""
    sources = (heater(output_kw=spread(0.6), then="gas"), heater(name="gas", output_kw=spread(2.0), backup=False))
    ledger, seasons = three_nights((6.0, 3.0, 1.0), sources=sources)
    first = known(stress(ledger, seasons, COLD)).sources[0]
    n = dark_hours(seasons)
    assert first.second == "gas"
    assert first.unmet_kwh == pytest.approx(0.0)
    assert first.fuel_units == pytest.approx(1.7 * n)
    assert first.second_fuel_units == pytest.approx(0.4 * n)
