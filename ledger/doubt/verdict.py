"""The verdict by a stated rule, in words that can be read aloud."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from ledger.doubt.breakeven import BreakEven
from ledger.model.house import BareWay
from ledger.money.results import WorthRange


class Answer(StrEnum):
    """What can be said of the build."""

    PAYS = "pays"
    DOES_NOT_PAY = "does not pay"
    NOT_YET_KNOWN = "not yet known"


@dataclass(frozen=True, slots=True)
class Verdict:
    """The answer and its reason."""

    verdict: Answer
    why: str


@dataclass(frozen=True, slots=True)
class Standing:
    """What the answer rests on.

    way : how the bare house was reckoned in the typical year; None: there is no typical year.
    by_expected_share : the saving is an expected share of the need, not logged.
    running_known : something is known of what the build costs to run.
    built_in_log : a build stood before the log ended; else the readings show the house without it.
    """

    way: BareWay | None
    by_expected_share: bool
    running_known: bool
    built_in_log: bool = True


def verdict(sure: WorthRange, standing: Standing, *, greatest_doubt: str) -> Verdict:
    """Judge by the range of the net present value.

        pays          p10 of NPV > 0
        does not pay  p90 of NPV < 0
        not yet known all else; always by an assumed lift, by an expected share, before running cost, without a saving

    Parameters
    ----------
    sure : range of the worth.
    standing : what it rests on.
    greatest_doubt : the first driver in words (`doubt.words`); "" where there is none.

    Returns
    -------
    Verdict
    """
    reasons = _open_reasons(standing)
    if reasons:
        return Verdict(Answer.NOT_YET_KNOWN, "; ".join(reasons))
    p10, p90 = sure.npv.p10, sure.npv.p90
    if p10 is None or p90 is None or sure.chance_npv_positive is None:
        return Verdict(Answer.NOT_YET_KNOWN, "no present value could be reckoned")
    if p10 > 0:
        return Verdict(
            Answer.PAYS, "let all that is unsure vary at once, and it is worth its money nine times in ten or more"
        )
    if p90 < 0:
        return Verdict(
            Answer.DOES_NOT_PAY,
            "let all that is unsure vary at once, and it costs more than it saves nine times in ten or more",
        )
    tenths = round(10 * sure.chance_npv_positive)
    why = f"the doubt is wider than the answer: of ten ways it may turn out, it pays in about {tenths}"
    if greatest_doubt:
        why += f"; the greatest doubt is {greatest_doubt}"
    return Verdict(Answer.NOT_YET_KNOWN, why)


def facts_that_would_change_it(solved: Sequence[BreakEven], *, most: int = 3) -> tuple[str, ...]:
    """The break-evens nearest to today, one sentence each.

    Nearness is the relative distance; a rate's is its distance over ten points, so that one point weighs a tenth.
    """
    return tuple(_sentence(b) for b in nearest(solved, most=most))


def nearest(solved: Sequence[BreakEven], *, most: int = 3) -> tuple[BreakEven, ...]:
    """The break-evens nearest to today, the nearest first."""
    known = [b for b in solved if b.at is not None and b.distance is not None]
    return tuple(sorted(known, key=_farness)[:most])


def _open_reasons(standing: Standing) -> list[str]:
    reasons = []
    if standing.way is None:
        reasons.append("there is no typical year yet to reckon a saving from")
    elif not standing.built_in_log:
        reasons.append("the log ends before the build was there: it shows the house without it")
    elif standing.way is BareWay.LIFT and not standing.by_expected_share:
        reasons.append(
            "nothing in the log shows what the bare house would have done: the saving is a placeholder until a few "
            "nights with the fan off, or three nights with a metered heater, show it"
        )
    if standing.by_expected_share:
        reasons.append(
            "no month has been logged with the build: its saving is the share of the need that the ledger expects"
        )
    if not standing.running_known:
        reasons.append(
            "what the build costs to run is not known: the money figures are before running cost. If it uses neither "
            "power nor work, one line under its [[build]] settles it: expected_running = 0"
        )
    return reasons


def _farness(solved: BreakEven) -> float:
    distance = abs(solved.distance or 0.0)
    return distance * 10.0 if solved.unit == "a year" else distance


def _sentence(solved: BreakEven) -> str:
    at, today = solved.at or 0.0, solved.today
    if solved.unit == "a year":
        return f"it breaks even at a {solved.what} of {at:.1%} a year (now {today:.1%})"
    unit = f" {solved.unit}" if solved.unit else ""
    way = "more" if at > today else "less"
    return (
        f"it breaks even at {solved.what} of {at:.4g}{unit} (now {today:.4g}, {abs(solved.distance or 0.0):.0%} {way})"
    )
