"""What stands around the plans, in words: where they tie, no heater at all, a power cut, own power."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.plans.results import Plan
from ledger.plans.ties import Tie
from ledger.views.figures import Measure, show_figure
from ledger.views.row import style_of
from ledger.views.screen import Screen

BATTERY_CAUTION = "Batteries and fixed wiring: a licensed electrician."


def tie_lines(a: Appraisal, screen: Screen) -> list[str]:
    """For every plan that takes work: where it stops being the cheaper one."""
    known = [tie for tie in a.around.ties if _plan(a, tie.plan).rank is not None]
    if not known:
        return []
    lines = screen.heading("When does free wood stop being cheap?")
    for tie in known:
        lines += screen.bullet(_tie_words(a, tie))
    return lines


def _tie_words(a: Appraisal, tie: Tie) -> str:
    style, rate = style_of(a), a.source.labour_rate_per_h
    mine, other = _plan(a, tie.plan), _plan(a, tie.other)
    pair = f"{tie.plan} against {tie.other}"
    if tie.wage_per_h is None:
        wage = f"{pair}: it costs more even if nobody's time is counted"
        if (mine.life_cycle_cost or 0.0) <= (other.life_cycle_cost or 0.0):
            wage = f"{pair}: no wage brings them together"
    else:
        now = "" if rate is None else f" (the ledger says {show_figure(rate.likely, Measure.PRICE, style)})"
        at = show_figure(tie.wage_per_h, Measure.PRICE, style)
        wage = f"{pair}: the cheaper one while an hour of work counts less than {at}{now}"
    if tie.price_per_unit is None:
        return f"{wage}."
    source = a.source.source(tie.other_source)
    price = show_figure(tie.price_per_unit, Measure.PRICE, style)
    today = show_figure(source.price.likely, Measure.PRICE, style)
    return f"{wage}; at the ledger's wage they tie where {source.name} costs {price} per {source.unit} (now {today})."


def _plan(a: Appraisal, name: str) -> Plan:
    return next(p for p in a.plans if p.name == name)


def no_heater_lines(a: Appraisal, screen: Screen) -> list[str]:
    """Nights short and hours of frost with no heater: nothing built, and all of it."""
    every = tuple(build.name for build in a.source.builds)
    said = []
    for builds, words in (((), "nothing built"), (every, "the build")):
        plan = next((p for p in a.plans if p.source is None and p.builds == builds), None)
        if plan is None or plan.nights_short is None or (builds == () and words != "nothing built"):
            continue
        frost = "" if plan.frost_hours is None else f" and {plan.frost_hours:,} hours of frost"
        said.append(f"with {words} {plan.nights_short} nights below hold{frost}")
    if not said:
        return []
    return screen.prose(f"No heater at all, in a typical winter: {'; '.join(dict.fromkeys(said))}.", indent=2)


def power_cut_lines(a: Appraisal, screen: Screen) -> list[str]:
    """How long the house stays warm with nothing on, on the design night."""
    cut = a.around.power_cut
    if cut is None:
        return []
    style = style_of(a)
    start = show_figure(cut.start_c, Measure.TEMPERATURE, style)
    hold = show_figure(a.source.hold.temperature_c, Measure.TEMPERATURE, style)
    design_c = a.around.design_temperature_c
    night = (
        "the coldest night" if design_c is None else f"a night of {show_figure(design_c, Measure.TEMPERATURE, style)}"
    )
    text = f"A power cut on {night}, from {start} in the evening, with nothing on: "
    if cut.hours_above_hold != 0.0:
        text += f"above {hold} for {_hours(cut.hours_above_hold)}, "
    text += f"above freezing for {_hours(cut.hours_above_freezing)}"
    if cut.bare_hours_above_freezing is not None:
        text += f" (a like house with nothing built, from {hold}: {_hours(cut.bare_hours_above_freezing)})"
    text += (
        ". Reckoned from the fastest cooling that the log shows; with a heater that works without mains it lasts as "
        "long as its fuel."
    )
    return screen.prose(text, indent=2)


def _hours(hours: float | None) -> str:
    if hours is None:
        return "the whole night"
    return "no time at all" if hours <= 0.0 else f"{hours:.1f} hours" if hours < 10 else f"{hours:.0f} hours"


def power_lines(a: Appraisal, screen: Screen) -> list[str]:
    """Own power: what the battery gives, how far it carries, what an own kilowatt-hour truly costs."""
    power, hard = a.around.power, a.around.stress
    if power is None:
        return []
    style, words = style_of(a), []
    if power.battery_kwh is not None:
        words.append(f"A full battery gives {power.battery_kwh:,.1f} kWh at the socket.")
    if hard is not None and hard.battery_hours is not None:
        words.append(_battery_words(hard.battery_hours, hard.battery_nights, hard.nights_counted, hard.colder_k))
    if power.own_price_per_kwh is not None:
        own = show_figure(power.own_price_per_kwh, Measure.PRICE_PER_KWH, style)
        ledgers = show_figure(power.ledger_price_per_kwh, Measure.PRICE_PER_KWH, style)
        words.append(f"A kWh of the own array truly costs {own}; the ledger reckons with {ledgers}.")
    if not words:
        return []
    lines = screen.heading("What does own power carry, and what does it cost?")
    return lines + screen.prose(" ".join([*words, BATTERY_CAUTION]), indent=2)


def _battery_words(hours: float, nights: int | None, of: int | None, colder_k: float) -> str:
    winter = "the logged winter" if colder_k == 0 else f"a winter {colder_k:g} K colder than the one logged"
    text = f"In {winter} it carries heater, fan and the rest for {hours:.1f} hours of the worst night"
    return f"{text}, and through {nights} of {of} nights." if nights is not None and of is not None else f"{text}."
