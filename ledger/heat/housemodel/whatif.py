"""What only a fitted house can be asked: a build less, another hold temperature, another size, another thermostat."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from ledger.heat.housemodel.grid import Flags
from ledger.heat.housemodel.left_out import NONE, Doubt, Part, Parts, Ranged, Split, parts_of, split, stands, subsets
from ledger.heat.housemodel.network import BARE, BUILT
from ledger.heat.housemodel.spread import WrongPhysics, drawn_figures, draws_count
from ledger.heat.housemodel.thermostat import cold_setting_c
from ledger.heat.housemodel.variants import Tally, Variant, Voice, run_variants
from ledger.heat.results import BareAnswer

Floats = NDArray[np.float64]

OTHER_HOLDS_K = (-3.0, 3.0)
SIZES = (0.5, 2.0)
OTHER_SETTINGS_K = (-2.0, 2.0)
WATT_HOURS_PER_KWH = 1000.0
BESIDE_K = 1.0
"""So far below and above the fan's cold setting the house is held to show what lies on either side of it."""
MOST_CARRIED = 2.0
DRAWS_ASKED = 8
"""Draws that a what-if is run with; most of its range is wrong physics, which no draw shows."""


class Change(StrEnum):
    """What is changed."""

    HOLD = "hold temperature"
    SIZE = "size"
    FAN_COLD = "fan gives back below"
    FAN_WARM = "fan stores above"


@dataclass(frozen=True, slots=True)
class WhatIf:
    """An answer over the season.

    Attributes
    ----------
    change, part : what is changed, of which store.
    to : the hold temperature or setting that it is changed to [°C], or how many times the size.
    need_kwh : heat that the bare house would need.
    avoided : heat not bought.
    gain : heat not bought more than now.
    fan_h : hours that the fan runs, None without one.
    fan_kwh : what it draws in them, None where its power is not known.
    """

    change: Change
    part: Part | None
    to: float
    need_kwh: float
    avoided: Ranged
    gain: Ranged
    fan_h: float | None
    fan_kwh: float | None


@dataclass(frozen=True, slots=True)
class FanFound:
    """The fan's thermostat as the log shows it: gives back below, stores above [°C]; None: that side was never seen.

    `replayed`: no thermostat explains the logged hours, which the runs use as they are; they answer no what-if.
    `hours`, `kwh`: that it runs in the season with the house held, and what it draws then (None: its power is not
    known). `beside`: heat not bought with the house held just below and just above the cold setting, where that lies
    within reach of the hold temperature.
    """

    cold_c: float | None
    warm_c: float | None
    replayed: bool
    hours: float
    kwh: float | None
    beside: tuple[WhatIf, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class HeldAt:
    """Heater energy of the bare and the built house by step at another hold temperature [kWh], and its range."""

    bare_kwh: Floats
    built_kwh: Floats
    avoided: Ranged


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """Everything that was asked of one season held at `hold_c` [°C]. `now`: heat not bought as it stands. [kWh]"""

    hold_c: float
    need_kwh: float
    now: Ranged
    split: Split | None
    what_ifs: tuple[WhatIf, ...]
    fan: FanFound | None
    held_at: Mapping[float, HeldAt]

    @property
    def at_the_fan_setting(self) -> bool:
        """Whether the hold lies within a degree of the fan's cold setting, with both sides of it run."""
        cold_c, beside = (None, ()) if self.fan is None else (self.fan.cold_c, self.fan.beside)
        return cold_c is not None and abs(cold_c - self.hold_c) < BESIDE_K and len(beside) == 2


@dataclass(frozen=True, slots=True)
class _Asked:
    """A what-if: the bare house and the built one that it compares."""

    change: Change
    part: Part | None
    to: float
    bare: Variant
    built: Variant


def ask(voices: Sequence[Voice], *, hold_c: float, season: Flags, wrong: WrongPhysics, now: BareAnswer) -> Told:
    """Run everything that is asked of a season and put the structures' answers together.

    Central values are those of all structures by their say; the spread of draws is that of the one with most say.

        need = need run · need now / need now as run;   saved = saved run · saved now / saved now as run

    Parameters
    ----------
    voices : structures; their say adds up to 1.
    hold_c : hold temperature. [°C]
    season : steps that are added up.
    wrong : what no draw shows.
    now : need and heat not bought as the house stands, as they are answered elsewhere: every answer here is carried
        to them, so that no question has two answers.

    Returns
    -------
    Told
    """
    main = max(voices, key=lambda v: v.weight)
    problem = main.fit.problem
    parts = parts_of(problem.structure, problem.house)
    bare, built = Variant(BARE, hold_c), Variant(BUILT, hold_c)
    choices = {chosen: _as_chosen(chosen, parts, hold_c) for chosen in subsets(parts)}
    asked = _asked(main, parts, bare, built)
    beside = _beside(main, hold_c)
    variants = [bare, built, *choices.values(), *(v for one in (*asked, *beside) for v in (one.bare, one.built))]
    heard = _Heard(voices, main, variants, season)
    cold_c = cold_setting_c(main.rule)
    doubt = Doubt(wrong, now.need_kwh, draws_count(hold_c, cold_c))
    carried = _carried(heard.kwh(bare), heard.kwh(built), now)
    saved = {chosen: carried.saved * (heard.kwh(bare) - heard.kwh(v)) for chosen, v in choices.items()}
    power = problem.house.fan_power_w if Part.BED in parts else None
    answers = _Answers(heard, doubt, carried, heard.kwh(bare) - heard.kwh(built), power, cold_c)
    together = Ranged(now.avoided_kwh, now.p10, now.p90)
    return Told(
        hold_c=hold_c,
        need_kwh=now.need_kwh,
        now=together,
        split=split(saved, parts, doubt, together=together) if parts else None,
        what_ifs=tuple(answers.of(one) for one in asked),
        fan=_fan(main, answers.fan(built), tuple(answers.of(one) for one in beside)) if Part.BED in parts else None,
        held_at={one.to: answers.held(one) for one in asked if one.change is Change.HOLD},
    )


@dataclass(frozen=True, slots=True)
class _Carried:
    """What need and heat not bought as run are multiplied by. [-]"""

    need: float
    saved: float


def _carried(bare: Floats, built: Floats, now: BareAnswer) -> _Carried:
    """From the runs to the answer that stands; where these differ beyond twice or in sign, as run."""

    def ratio(answered: float, run: float) -> float:
        found = answered / run if run != 0.0 else 1.0
        return found if 1.0 / MOST_CARRIED <= found <= MOST_CARRIED else 1.0

    return _Carried(ratio(now.need_kwh, float(bare[0])), ratio(now.avoided_kwh, float(bare[0] - built[0])))


def _as_chosen(chosen: Parts, parts: tuple[Part, ...], hold_c: float) -> Variant:
    """None and all of the parts are the bare and the built house themselves."""
    if chosen == NONE:
        return Variant(BARE, hold_c)
    return Variant(BUILT if len(chosen) == len(parts) else stands(chosen), hold_c)


def _asked(main: Voice, parts: tuple[Part, ...], bare: Variant, built: Variant) -> list[_Asked]:
    hold_c = built.hold_c
    found = [_at_hold(Change.HOLD, hold_c + by) for by in OTHER_HOLDS_K]
    for part in (Part.TANK, Part.BED):
        if part in parts:
            for factor in SIZES:
                grown = (part, factor)
                found.append(_Asked(Change.SIZE, part, factor, replace(bare, grown=grown), replace(built, grown=grown)))
    cold_c, warm_c = _settings(main)
    if cold_c is not None:
        wanted = {cold_c + by for by in OTHER_SETTINGS_K}
        if cold_c < hold_c + BESIDE_K:
            wanted.add(hold_c + BESIDE_K)
        found += [_Asked(Change.FAN_COLD, None, to, bare, replace(built, cold_k=to - cold_c)) for to in sorted(wanted)]
    if warm_c is not None:
        found += [
            _Asked(Change.FAN_WARM, None, warm_c + by, bare, replace(built, warm_k=by)) for by in OTHER_SETTINGS_K
        ]
    return found


def _beside(main: Voice, hold_c: float) -> list[_Asked]:
    """Held just below and just above the fan's cold setting, where the hold or a what-if of it comes near."""
    cold_c = _settings(main)[0]
    if cold_c is None or not min(OTHER_HOLDS_K) <= cold_c - hold_c <= max(OTHER_HOLDS_K):
        return []
    return [_at_hold(Change.HOLD, cold_c + by) for by in (-BESIDE_K, BESIDE_K)]


def _at_hold(change: Change, hold_c: float) -> _Asked:
    return _Asked(change, None, hold_c, Variant(BARE, hold_c), Variant(BUILT, hold_c))


def _settings(voice: Voice) -> tuple[float | None, float | None]:
    """The fan's cold and warm setting [°C]; None where the log does not show one."""
    warm = voice.rule.warm
    warm_c = None if voice.rule.hours is not None or warm is None else float(warm.sign * warm.on_c)
    return cold_setting_c(voice.rule), warm_c


def _fan(main: Voice, ran: tuple[float, float | None], beside: tuple[WhatIf, ...]) -> FanFound:
    cold_c, warm_c = _settings(main)
    return FanFound(cold_c, warm_c, main.rule.hours is not None, *ran, beside)


class _Heard:
    """What all structures say of each variant, together."""

    def __init__(self, voices: Sequence[Voice], main: Voice, variants: Sequence[Variant], season: Flags) -> None:
        draws = drawn_figures(main.fit)[: 1 + DRAWS_ASKED]
        self._main = run_variants(main, variants, draws, season=season)
        self._all = [
            (
                v.weight,
                self._main if v is main else run_variants(v, variants, v.fit.fitted[None], season=season),
            )
            for v in voices
        ]

    def kwh(self, variant: Variant) -> Floats:
        """Heater energy of the season, the central value of all structures, then the main one's draws about it."""
        said = self._main[variant].season_kwh
        return np.asarray(said + (self._mean(variant, lambda t: float(t.season_kwh[0])) - said[0]))

    def step_kwh(self, variant: Variant) -> Floats:
        """The same by step at the found figures."""
        return np.asarray(sum(weight * told[variant].step_kwh for weight, told in self._all))

    def fan_h(self, variant: Variant) -> float:
        """Hours that the fan runs in the season."""
        return self._mean(variant, lambda t: t.fan_h)

    def _mean(self, variant: Variant, pick: Callable[[Tally], float]) -> float:
        return sum(weight * pick(told[variant]) for weight, told in self._all)


@dataclass(frozen=True, slots=True, eq=False)
class _Answers:
    """From runs to answers.

    `now`: heat not bought as the house stands, by draw; `fan_w`: 0 unknown, None no fan; `cold_c`: the fan's setting.
    """

    heard: _Heard
    doubt: Doubt
    carried: _Carried
    now: Floats
    fan_w: float | None
    cold_c: float | None

    def of(self, one: _Asked) -> WhatIf:
        """A what-if's figures."""
        need, saved = self._of(one)
        fan_h, fan_kwh = (None, None) if self.fan_w is None else self.fan(one.built)
        doubt = self._doubt(one.built)
        of_both = replace(doubt, count=max(doubt.count, self.doubt.count))
        return WhatIf(
            change=one.change,
            part=one.part,
            to=one.to,
            need_kwh=float(need[0]),
            avoided=doubt.of(saved),
            gain=of_both.of_a_change(saved, self.carried.saved * self.now),
            fan_h=fan_h,
            fan_kwh=fan_kwh,
        )

    def fan(self, variant: Variant) -> tuple[float, float | None]:
        """The fan's hours and what it draws in them; a bed of another size has as much more fan. [h, kWh]"""
        hours = self.heard.fan_h(variant)
        grown = variant.grown[1] if variant.grown is not None and variant.grown[0] is Part.BED else 1.0
        return hours, grown * hours * self.fan_w / WATT_HOURS_PER_KWH if self.fan_w else None

    def held(self, one: _Asked) -> HeldAt:
        """The hours of another hold temperature."""
        need, saved = self._of(one)
        bare, built = self.carried.need * self.heard.step_kwh(one.bare), self.heard.step_kwh(one.built)
        run, bought = float(self.heard.kwh(one.built)[0]), float(need[0] - saved[0])
        avoided = self._doubt(one.built).of(saved)
        if run > 0.0:
            return HeldAt(bare, built * bought / run, avoided)
        return HeldAt(bare, bare * bought / float(need[0]) if need[0] > 0.0 else built, avoided)

    def _doubt(self, built: Variant) -> Doubt:
        """Draws count in full where the fan's setting comes near the hold of the house that is asked for."""
        cold_c = None if self.cold_c is None else self.cold_c + built.cold_k
        return replace(self.doubt, count=draws_count(built.hold_c, cold_c))

    def _of(self, one: _Asked) -> tuple[Floats, Floats]:
        """Need and heat not bought, at most the need, by draw."""
        bare, built = self.heard.kwh(one.bare), self.heard.kwh(one.built)
        need = self.carried.need * bare
        return need, np.minimum(self.carried.saved * (bare - built), need)
