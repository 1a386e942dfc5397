"""What stands around the plans, in words: where they tie, no heater at all, a power cut, own power."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.plans.results import CutPlan, Plan, PowerCut
from ledger.plans.stress import BY_MODEL
from ledger.plans.ties import Tie
from ledger.views.figures import Measure, show_figure
from ledger.views.row import style_of
from ledger.views.screen import Screen

LEAST_SHOWN_H = 0.05
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
    """Plan by plan how long the house stays warm with nothing on, on the design night, and which heaters go on."""
    cut = a.around.power_cut
    if cut is None or not cut.plans:
        return []
    design_c = a.around.design_temperature_c
    style = style_of(a)
    night = (
        "the coldest night" if design_c is None else f"a night of {show_figure(design_c, Measure.TEMPERATURE, style)}"
    )
    lines = screen.heading(f"The power fails on {night}: how long does it last?")
    known = [plan for plan in cut.plans if plan.known]
    for words in dict.fromkeys(_left_words(a, plan) for plan in known):
        lines += screen.bullet(words)
    unknown = dict.fromkeys(_standing(a, _plan(a, plan.name)) for plan in cut.plans if not plan.known)
    if unknown:
        lines += screen.bullet(f"{', '.join(unknown)}: not known, the log holds no such house.")
    lines += [line for words in _goes_on(a, cut) for line in screen.bullet(words)]
    if cut.by == BY_MODEL:
        text = f"By the house model: neither heater nor fan from nightfall on, for {cut.hours_looked_at:.0f} hours."
    else:
        text = "Reckoned from the fastest cooling that the log shows."
    return lines + screen.prose(text, indent=2)


def cut_glance(a: Appraisal) -> str | None:
    """What a power cut does, in one sentence: which heaters go on, how long the house lasts without one."""
    cut = a.around.power_cut
    if cut is None:
        return None
    going = [_plan(a, one.name).source for one in cut.plans if one.heater_goes_on]
    heaters = ", ".join(dict.fromkeys(name for name in going if name is not None))
    on = f"{heaters} go on" if "," in heaters else f"{heaters} goes on" if heaters else "no heater is known to go on"
    text = f"In a power cut {on}; with nothing on the build stays above freezing for {_hours(cut.hours_above_freezing)}"
    if cut.bare_hours_above_freezing is not None:
        text += f", nothing built for {_hours(cut.bare_hours_above_freezing)}"
    return f"{text}."


def _left_words(a: Appraisal, cut: CutPlan) -> str:
    """What a house does with nothing on: the same words for plans that leave it the same."""
    style, plan = style_of(a), _plan(a, cut.name)
    built = _standing(a, plan)
    if cut.start_c is None:
        return f"{built}: not known."
    hold = show_figure(a.source.hold.temperature_c, Measure.TEMPERATURE, style)
    start = show_figure(cut.start_c, Measure.TEMPERATURE, style)
    if cut.start_c < 0.0:
        return f"{built} and no heater: in frost before the power fails, {start}."
    heater = " and no heater" if plan.source is None and a.around.house is not None else ""
    above = "" if cut.hours_above_hold is not None and cut.hours_above_hold < LEAST_SHOWN_H else (
        f"above {hold} for {_hours(cut.hours_above_hold)}, "
    )  # fmt: skip
    return f"{built}{heater}, from {start} at nightfall: {above}above freezing for {_hours(cut.hours_above_freezing)}."


def _standing(a: Appraisal, plan: Plan) -> str:
    """Which builds stand."""
    if not plan.builds:
        return "nothing built"
    every = tuple(build.name for build in a.source.builds)
    return "the build" if plan.builds == every else f"{plan.builds[0]} alone"


def _goes_on(a: Appraisal, cut: PowerCut) -> list[str]:
    """Which heaters go on without mains, which stop, of which it is not known."""
    by_source: dict[str, bool | None] = {}
    for one in cut.plans:
        source = _plan(a, one.name).source
        if source is not None:
            by_source.setdefault(source, one.heater_goes_on)
    groups = (
        (True, "go on as long as someone feeds them"),
        (False, "stop"),
        (None, "not known whether they go on (needs_mains)"),
    )
    found = []
    for answer, words in groups:
        names = [name for name, goes_on in by_source.items() if goes_on is answer]
        if names:
            found.append(f"{words}: {', '.join(names)}.")
    return found


def _hours(hours: float | None) -> str:
    if hours is None:
        return "the whole of it"
    return "no time at all" if hours < LEAST_SHOWN_H else f"{hours:.1f} hours" if hours < 10 else f"{hours:.0f} hours"


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
