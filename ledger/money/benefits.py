"""Money other than heat: a second line beside the headline, never in it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import isnan

from ledger.errors import Notice
from ledger.model.ledger import Ledger
from ledger.money.project import Project, number
from ledger.money.worth import net_saving, npv, simple_payback

LARGEST_SHARE = 0.5


@dataclass(frozen=True, slots=True)
class BenefitLine:
    """The project with its benefits. [currency, a] `share_of_claim`: benefits ÷ (avoided heat + benefits)."""

    per_year: float
    net_saving: float
    npv: float
    simple_payback_years: float | None
    share_of_claim: float | None
    notices: tuple[Notice, ...]


def benefit_line(ledger: Ledger, project: Project) -> BenefitLine | None:
    """What the build would be worth with the money that is not heat, such as a winter crop.

    Benefits are base-date money a year and grow with inflation like all that is not energy. They stay out of every
    headline figure; where they are more than half of what is claimed, that is said.

    Parameters
    ----------
    ledger : its benefits.
    project : the headline's, without draws.

    Returns
    -------
    BenefitLine or None : None without a benefit, or where the saving is not known.

    Source
    ------
    10 CFR 455.63(a)(1): at least half of a measure's saving must be energy cost.
    """
    saving = net_saving(project.year)
    if not ledger.benefits or saving is None:
        return None
    per_year = float(sum((number(b.amount) for b in ledger.benefits), 0.0))
    year = project.year
    together = replace(project, year=replace(year, avoided_labour_cost=year.avoided_labour_cost + per_year))
    years = float(simple_payback(together))
    heat = float((year.avoided_fuel_cost or 0.0) + year.avoided_labour_cost)
    share = per_year / (heat + per_year) if heat + per_year > 0 else None
    return BenefitLine(
        per_year=per_year,
        net_saving=float(saving) + per_year,
        npv=float(npv(together)),
        simple_payback_years=None if isnan(years) else years,
        share_of_claim=share,
        notices=_notices(share),
    )


def _notices(share: float | None) -> tuple[Notice, ...]:
    if share is None or share <= LARGEST_SHARE:
        return ()
    text = "more than half of the claim is money other than heat: the build stands or falls with it, not with its heat"
    return (Notice("benefit-dominates", text, "benefit"),)
