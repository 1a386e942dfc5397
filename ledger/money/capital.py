"""Capital: what was put in, by item, and which part of it is there only for the heat."""

from __future__ import annotations

from decimal import Decimal

from ledger.model.build import Build, Item
from ledger.model.ledger import Ledger
from ledger.money.project import year_of
from ledger.money.results import Capital, CapitalItem


def capital(ledger: Ledger) -> Capital:
    """Add up the receipts, their share for the heat, own work, and the part of the grants that counts.

        gross          = Σ amount                                  (receipts as paid; own work is no receipt)
        share_for_heat = Σ share · (amount + own hours · rate)
        grants         = Σ grant · amount-weighted share of the items it pays for (all items where it names no build)
        net            = share_for_heat − grants

    Sums are decimal, so a receipt may be split in any way without changing a coin. Planned and quoted items count
    like paid ones and are marked; a receipt after the base date carries the year that holds its date.

    Parameters
    ----------
    ledger : the builds, grants and labour rate. [currency]

    Returns
    -------
    Capital : [currency]; `own_hours` in hours, `own_work` their counted money.

    Source
    ------
    10 CFR 436.19 (investment of a life-cycle cost); the share follows the rule that only the increment counts where
    the work was due anyway (Univ. of Connecticut industrial training centre, retrofit against replacement).
    """
    rate = _rate(ledger)
    heat = sum((_share(i) * (i.amount.likely + _hours(i) * rate) for b in ledger.builds for i in b.items), Decimal(0))
    work = sum((_share(i) * _hours(i) * rate for b in ledger.builds for i in b.items), Decimal(0))
    grants = counted_grants(ledger)
    return Capital(
        gross=sum((i.amount.likely for b in ledger.builds for i in b.items), Decimal(0)),
        share_for_heat=float(heat),
        grants=float(grants),
        net=float(heat - grants),
        own_hours=float(sum((_hours(i) for b in ledger.builds for i in b.items), Decimal(0))),
        items=tuple(_item(ledger, b, i, rate) for b in ledger.builds for i in b.items),
        own_work=float(work),
    )


def counted_grants(ledger: Ledger) -> Decimal:
    """The part of the grants that counts: each with the amount-weighted share of what it pays for. [currency]"""
    counted = Decimal(0)
    for grant in ledger.terms.grants:
        items = [i for b in ledger.builds if grant.build in (None, b.name) for i in b.items]
        counted += grant.amount.likely * _mean_share(items)
    return counted


def _mean_share(items: list[Item]) -> Decimal:
    """The amount-weighted share; the plain mean where no money was paid; 1 where there are no items."""
    if not items:
        return Decimal(1)
    total = sum((i.amount.likely for i in items), Decimal(0))
    if total > 0:
        return sum((i.amount.likely * _share(i) for i in items), Decimal(0)) / total
    return sum((_share(i) for i in items), Decimal(0)) / len(items)


def _item(ledger: Ledger, build: Build, item: Item, rate: Decimal) -> CapitalItem:
    work = _share(item) * _hours(item) * rate
    return CapitalItem(
        build=build.name,
        date=item.date.isoformat(),
        what=item.what,
        amount=item.amount.likely,
        share=item.share.likely,
        counted=float(_share(item) * item.amount.likely + work),
        year=year_of(item.date, base=ledger.terms.base_date),
        life_years=item.life_years.likely,
        residual=item.residual.likely,
        status=item.status.value,
        basis=item.amount.basis.value,
        paper=item.paper,
        why_share=item.why_share,
        own_hours=float(_hours(item)),
        own_work=float(work),
    )


def _rate(ledger: Ledger) -> Decimal:
    rate = ledger.labour_rate_per_h
    return Decimal(0) if rate is None else Decimal(repr(float(rate.likely)))


def _share(item: Item) -> Decimal:
    return Decimal(repr(float(item.share.likely)))


def _hours(item: Item) -> Decimal:
    return Decimal(0) if item.hours is None else Decimal(repr(float(item.hours.likely)))
