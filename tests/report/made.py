"""Appraisals for the tests of the papers: the example of the views, with a yearly saving; and one full of harm."""

from __future__ import annotations

from dataclasses import replace

from ledger.appraisal import Appraisal, Identity, LogHash
from ledger.doubt.breakeven import BreakEven
from ledger.doubt.saving_ranges import SavingRange
from ledger.model.terms import Grant, Loan, Posting
from ledger.model.values import MoneyRange
from ledger.money.results import Driver, Percentiles
from tests.views.example import HEX, example, example_by_lift

HOSTILE = (
    '=HYPERLINK("http://example.invalid","pay")',
    "<script>alert(1)</script>",
    "@SUM(A1:A9)",
    "+cmd|' /C calc'!A0",
    "a\tb\x00c\x1b[31md\r\ne",
    "W" * 400,
    "בית גידול חם בהר",
    "دفيئة المدرج الأعلى",
    "🌱🔥 house 👩\u200d🌾",
    '"><img src=x onerror=alert(1)>',
    "#import \"x.typ\" $ x $ *b* _i_ \\ `code` @ref <label> [#panic()]",
    "{{ 7 * 7 }}{% raw %}",
    "\u202egnirts desrever",
    "",
)  # fmt: skip


def with_saving(appraisal: Appraisal) -> Appraisal:
    """The same with what page 1 asks for: yearly saving with a range, a break-even."""
    saving = SavingRange("electric heater", 284.71, Percentiles(210.0, 280.0, 360.0))
    dear = SavingRange("propane heater", -12.5, Percentiles(-40.0, -10.0, 30.0))
    price = BreakEven("fuel price", "source[electric heater].price", "per kWh", 0.16, 1.87, 10.7)
    return replace(appraisal, saving_ranges=(saving, dear), break_evens=(price,))


def report_example() -> Appraisal:
    return with_saving(example())


def report_by_lift() -> Appraisal:
    return with_saving(example_by_lift())


def with_loan(appraisal: Appraisal) -> Appraisal:
    """A loan of 2,000 and a grant of 500 in the ledger, to go with the example's loan."""
    day = appraisal.source.terms.base_date
    loan = Loan("farm credit", MoneyRange.sure("2000").likely, 0.065, 10, 12, day, Posting.CENTS)
    grant = Grant("energy grant", MoneyRange.sure("500"), day)
    terms = replace(appraisal.source.terms, loans=(loan,), grants=(grant,))
    return replace(appraisal, source=replace(appraisal.source, terms=terms))


def harmed(text: str) -> Appraisal:
    """Every text of the grower's that reaches a paper, replaced."""
    whole = with_loan(report_example())
    source, ledger = whole.source.sources[0], whole.source
    named = replace(source, name=text or "x")
    terms = replace(ledger.terms, against=named.name)
    built = replace(ledger.builds[0], name=text)
    items = tuple(replace(item, what=text, paper=text, build=text) for item in whole.capital.items)
    plans = tuple(
        replace(plan, name=text, source=named.name if plan.source else None, builds=(text,) if plan.builds else ())
        for plan in whole.plans
    )
    return replace(
        whole,
        source=replace(ledger, title=text, sources=(named,), terms=terms, builds=(built,), purpose=text,
                       prepared_for=text, prepared_by=text),
        identity=Identity(text, "EUR", text, HEX, (LogHash(text, HEX),) * 5),
        capital=replace(whole.capital, items=items * 12),
        worth=replace(whole.worth, against=named.name),
        saving_ranges=tuple(replace(one, source=text) for one in whole.saving_ranges * 5),
        drivers=tuple(Driver(f"source[{text}].price", -3450.0 - k, -3200.0) for k in range(9)),
        loans=(replace(whole.loans[0], name=text),),
        plans=plans,
        break_evens=tuple(BreakEven(text, "x", "per kWh", 1.0, 2.0, 1.0) for _ in range(9)),
        why=f"the doubt is wider than the answer; the greatest doubt is {text}",
    )  # fmt: skip
