"""The report: two printed pages for a partner or a lender, as one HTML file that asks for nothing from anywhere."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING

from ledger.appraisal import Appraisal
from ledger.model.ledger import Show
from ledger.views.report_decide import page_to_decide
from ledger.views.report_evidence import page_of_evidence
from ledger.views.report_parts import Paper, line_of

if TYPE_CHECKING:
    from jinja2 import Template


def paper(appraisal: Appraisal) -> Paper:
    """The content of the report, for page and print alike."""
    day = appraisal.source.terms.base_date
    words = [f"prices of {day.isoformat()}", appraisal.source.terms.currency]
    if appraisal.source.prepared_for:
        words.insert(0, f"for {line_of(appraisal.source.prepared_for)}")
    if appraisal.source.prepared_by:
        words.insert(0, f"by {line_of(appraisal.source.prepared_by)}")
    subtitle = " · ".join(words)
    return Paper(
        title=line_of(appraisal.identity.title) or "Growing house",
        subtitle=subtitle[0].upper() + subtitle[1:],
        date=(day.year, day.month, day.day),
        us_letter=appraisal.source.show is Show.US,
        pages=(page_to_decide(appraisal), page_of_evidence(appraisal)),
    )


def report_bytes(appraisal: Appraisal) -> bytes:
    """The report as one HTML file in UTF-8, the same bytes for the same input."""
    return _template().render(paper=paper(appraisal)).encode("utf-8", errors="replace")


@cache
def _template() -> Template:
    from jinja2 import Environment, StrictUndefined

    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    text = files("ledger.views").joinpath("report.html.j2").read_text(encoding="utf-8")
    return environment.from_string(text)
