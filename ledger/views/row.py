"""What a row of figures is, the words of the headline figures, and how one ledger's figures are shown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from ledger.appraisal import Appraisal
from ledger.views.figures import NOT_KNOWN, Measure, Style

HEADLINES: Mapping[str, str] = MappingProxyType(
    {
        "capital.net": "Own money in it for the heat (net capital)",
        "typical_year.avoided_kwh": "Heat not bought in a typical year (avoided)",
        "worth.simple_payback_years": "Years until it is paid back (simple payback)",
        "worth.npv": "Gain over all years, in today's money (NPV)",
    }
)
"""The four figures that everything leads to, in the words that screen, workbook and report share."""


@dataclass(frozen=True, slots=True)
class Row:
    """One figure: its result key, its words, its value in SI, where it comes from. `low` to `high`: its range."""

    key: str
    label: str
    value: float | str | None
    measure: Measure
    basis: str = ""
    source: str = ""
    low: float | None = None
    high: float | None = None
    span: bool = False
    if_none: str = NOT_KNOWN


@dataclass(frozen=True, slots=True)
class Block:
    """The rows that answer one question of the person."""

    question: str
    rows: tuple[Row, ...] = field(default=())


def style_of(appraisal: Appraisal) -> Style:
    """How this ledger's figures are shown."""
    terms = appraisal.source.terms
    return Style(appraisal.source.show, terms.currency, terms.coin_digits)


def is_placeholder(appraisal: Appraisal) -> bool:
    """Whether the saving rests on an assumed lift over outdoors, so that only spans may be shown."""
    heat = appraisal.typical_heat
    if heat is not None and heat.basis != "expected" and heat.bare == "lift":
        return True
    return bool(appraisal.seasons) and appraisal.seasons[-1].heat.bare.used == "lift"


def why_no_year(a: Appraisal) -> str:
    """Why there is no typical year, in the words of its warning; "" where there is one."""
    return next((one.text for one in a.warnings if one.code == "no-typical-year"), "")


def nothing_to_compare(a: Appraisal) -> str:
    """What stands in the place of the plans where there are none."""
    return f"There is nothing to compare: no heat need could be reckoned. {why_no_year(a)}".strip()


def bare_words(a: Appraisal) -> str:
    """How the house without the build was reckoned, in words."""
    if a.typical_heat is not None and a.typical_heat.basis == "expected":
        return "the share that the ledger expects"
    used = a.seasons[-1].heat.bare.used if a.seasons else ""
    return {
        "twin": "bare house measured in a like house",
        "fan-off": "bare house from nights with the fan off",
        "model": "bare house by the fitted house model",
        "lift": "bare house by an assumed lift over outdoors",
    }.get(used, "")
