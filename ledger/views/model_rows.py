"""What the fitted house model told, as tables and sentences that screen, workbook and report share."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.doubt.asked import Asked, asked
from ledger.heat.by_build import SplitBy
from ledger.heat.housemodel.answer import SeasonModel
from ledger.heat.housemodel.left_out import Part
from ledger.heat.housemodel.whatif import BESIDE_K, OTHER_HOLDS_K, Change, FanFound, Told
from ledger.heat.part_of_build import builds_of_part
from ledger.views.figures import Measure, show_figure
from ledger.views.row import style_of
from ledger.views.tables import Column, Table
from ledger.views.text import sentence

SPLIT_COLUMNS = (
    Column("part", "What of the builds", Measure.WORDS),
    Column("alone_kwh", "Would save alone", Measure.HEAT),
    Column("left_out_kwh", "Lost without it", Measure.HEAT, "-"),
    Column("own_kwh", "Its part", Measure.HEAT),
)
WHAT_IF_COLUMNS = (
    Column("what", "Changed", Measure.WORDS),
    Column("gain_kwh", "More not bought", Measure.HEAT),
    Column("gain_p10", "low", Measure.HEAT),
    Column("gain_p90", "high", Measure.HEAT),
    Column("fan_kwh_more", "Fan, more", Measure.HEAT, "-"),
    Column("worth_a_year", "Worth a year", Measure.MONEY, "-"),
)
SIZE_WORDS = (
    "Twice is the same once more in a like place, tubes with a like fan; half is half of it. What it costs to build is "
    "not in the worth."
)
NOT_BELIEVED = "The model is not believed: for orientation only, no money rests on it."


def last_told(a: Appraisal) -> SeasonModel | None:
    """The newest season that the model ran; None where it ran none."""
    return None if a.model is None else next(reversed(list(a.model.seasons.values())), None)


def part_name(part: Part, told: Told, a: Appraisal) -> str:
    """The builds that a part stands for, by the names that the grower gave them; one build of two parts says which."""
    owners = builds_of_part(part, a.source)
    others = [one.part for one in told.split.parts if one.part is not part] if told.split is not None else []
    name = " and ".join(b.name for b in owners) or part.value
    return f"{name}, {part.value}" if any(builds_of_part(o, a.source) == owners for o in others) else name


def split_table(told: Told, a: Appraisal) -> Table | None:
    """Each part alone, left out, and its own; the whole below. None where there are not two parts to tell apart."""
    split = told.split
    if split is None or len(split.parts) < 2:
        return None
    rows = [(part_name(p.part, told, a), p.alone.kwh, p.left_out.kwh, p.own_kwh) for p in split.parts]
    return Table("split", SPLIT_COLUMNS, (*rows, ("all together", split.together.kwh, None, split.together.kwh)))


def shared_words(told: Told, a: Appraisal) -> str:
    """What belongs to several builds together, and how it is divided."""
    split = told.split
    if split is None or len(split.parts) < 2:
        return ""
    shared = show_figure(abs(split.shared_kwh), Measure.HEAT, style_of(a))
    how = "halved between them" if len(split.parts) == 2 else "divided evenly over every order of building them"
    if split.shared_kwh >= 0.0:
        return f"{shared} of it either would have given without the other: that is {how}."
    return f"They help one another: without either, the other gives less. These {shared} are {how}."


def split_words(a: Appraisal) -> str:
    """By what the money was split between the builds."""
    words = {
        SplitBy.MODEL: "by each one's part here",
        SplitBy.SHARES: "by share_of_saving in the ledger",
        SplitBy.STORES: "by what their stores gave back at night",
        SplitBy.EXPECTED: "by expected_fraction in the ledger",
        SplitBy.ENVELOPE: "by what each change of the envelope saves",
    }.get(a.split.by)
    if words is None:
        return ""
    style = style_of(a)
    known = [f"{name} {show_figure(kwh, Measure.HEAT, style)}" for name, kwh in a.split.parts.items()]
    return f"The money goes to the builds {words}: {', '.join(known)} in a typical year."


def what_if_table(told: Told, a: Appraisal) -> Table | None:
    """What half and twice a store and other settings of the fan would change; None where nothing was asked."""
    rows = [
        (_words(o, told, a), o.what_if.gain.kwh, o.what_if.gain.p10, o.what_if.gain.p90, o.fan_kwh_more, o.worth_a_year)
        for o in asked(told, a.source, a.plans)
        if not _is_nothing(o)
    ]
    return Table("what_ifs", WHAT_IF_COLUMNS, tuple(rows)) if rows else None


def no_difference_words(told: Told, a: Appraisal) -> str:
    """The what-ifs whose range holds 0, in one sentence."""
    found = [_words(o, told, a) for o in asked(told, a.source, a.plans) if _is_nothing(o)]
    return f"No difference that could be told: {'; '.join(found)}." if found else ""


def _is_nothing(one: Asked) -> bool:
    return one.what_if.gain.p10 <= 0.0 <= one.what_if.gain.p90


def fan_words(told: Told, a: Appraisal) -> str:
    """What the fan's cold setting does to the saving near the hold temperature: both sides of it."""
    fan = told.fan
    if fan is None:
        return ""
    if fan.replayed:
        return "No thermostat explains when the fan ran, so that other settings of it cannot be tried."
    if fan.cold_c is None or not _near(fan.cold_c, told.hold_c):
        return ""
    at = _degrees(fan.cold_c, a)
    if len(fan.beside) != 2:
        return ""
    below, above = (
        f"{show_figure(one.avoided.kwh, Measure.HEAT, style_of(a))} not bought held at {_degrees(one.to, a)}"
        for one in fan.beside
    )
    keep = fan.cold_c - told.hold_c >= BESIDE_K
    advice = f"{'Keep' if keep else 'Set'} it at least a degree above the hold."
    here = " The hold itself lies there: what stands as saved is the mean over both." if told.at_the_fan_setting else ""
    return (
        f"The fan gives heat back only below {at}, and a heater that holds the house above that leaves it nothing to "
        f"do. The saving jumps there: {below}, {above}.{here} {advice}"
    )


def edge_words(a: Appraisal) -> str:
    """That the hold lies at the fan's own setting, with both sides, where the model answers; else nothing."""
    season = last_told(a)
    if season is None or not season.answer.told.at_the_fan_setting or a.seasons[-1].heat.bare.used != "model":
        return ""
    return fan_words(season.answer.told, a)


def fan_caution(told: Told, a: Appraisal) -> str:
    """The same without the model's figures, for where it is not believed: the setting is the log's own."""
    fan = told.fan
    if fan is None or fan.cold_c is None or fan.cold_c - BESIDE_K >= told.hold_c + max(OTHER_HOLDS_K):
        return ""
    return (
        f"Warmer is not known: the log shows that the fan gives heat back only below {_degrees(fan.cold_c, a)}, and a "
        "heater that holds the house above that leaves it nothing to do."
    )


def held_out_words(season: SeasonModel) -> str:
    """How well the model foretold nights that it had not seen."""
    held = season.held_out
    if held.cv_rmse is None or held.nmbe is None:
        return "Too few whole nights to hold any out of the fit."
    return (
        f"{held.nights} nights kept out of the fit: scatter (CV(RMSE)) {held.cv_rmse * 100:.0f} % of the rise over "
        f"outdoors, at most 30 % is believed; bias (NMBE) {held.nmbe * 100:+.1f} %, at most 10 %."
    )


def _words(one: Asked, told: Told, a: Appraisal) -> str:
    change, to = one.what_if.change, one.what_if.to
    if change is Change.SIZE and one.what_if.part is not None:
        name = part_name(one.what_if.part, told, a)
        return f"half of: {name}" if to < 1.0 else f"twice: {name}"
    found = told.fan or FanFound(None, None, True, 0.0, None)
    now = found.cold_c if change is Change.FAN_COLD else found.warm_c
    return f"{change.value} {_degrees(to, a)} (now {show_figure(now, Measure.TEMPERATURE, style_of(a)).text})"


def _near(cold_c: float, hold_c: float) -> bool:
    return min(OTHER_HOLDS_K) <= cold_c - hold_c <= max(OTHER_HOLDS_K)


def _degrees(temp_c: float, a: Appraisal) -> str:
    return str(show_figure(temp_c, Measure.TEMPERATURE, style_of(a)))


def unbelieved_words(a: Appraisal) -> str:
    """That the fitted house model is not believed, with the first reason; nothing where it is, or there is none."""
    model = a.model
    if model is None or model.believed or not (model.seasons or model.why_not):
        return ""
    reason = sentence(model.why_not[0]) if model.why_not else ""
    return f"The fitted house model is not believed. {reason}".rstrip()
