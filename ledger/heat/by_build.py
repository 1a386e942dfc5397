"""The typical year's saving, build by build."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from ledger.errors import Notice
from ledger.heat.balance import store_balances
from ledger.heat.envelope import changes_envelope, envelope
from ledger.heat.housemodel.answer import HouseModelAnswer
from ledger.heat.part_of_build import builds_of_part, own_kwh_by_part
from ledger.heat.reckoning import HeatWork
from ledger.heat.rungs import Coefficients, Floats, shortfall_kwh
from ledger.heat.season import coefficients
from ledger.heat.typical_climate import EXPECTED
from ledger.heat.typical_curves import on_rows
from ledger.heat.typical_hours import Stretch, logged_year
from ledger.model.build import Build
from ledger.model.ledger import Ledger


class SplitBy(StrEnum):
    """By what the saving was split between the builds."""

    ONE_BUILD = "one build"
    MODEL = "house model, each left out"
    SHARES = "share_of_saving"
    STORES = "balances of the stores"
    EXPECTED = "expected_fraction"
    ENVELOPE = "envelope"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class BuildSplit:
    """Avoided heat by build's name [kWh], None where the data cannot split it, and by what it was split.

    The known ones and the unknown add up to the typical year's avoided heat. `by` is that of the stores where layers
    stand beside them, whose own part comes first.
    """

    parts: Mapping[str, float | None]
    by: SplitBy


def split_by_build(work: HeatWork, ledger: Ledger, model: HouseModelAnswer | None = None) -> BuildSplit:
    """Split the typical year's avoided heat between the builds.

    A believed house model leaves each out. Else builds that change the envelope get the envelope's part, each in
    proportion to what leaving it out alone would cost; the rest is the stores', by `share_of_saving`, else by what
    their stores gave back in the dark. Where the typical year rests on the expected fractions they split it too.

    Parameters
    ----------
    work : the heat rooms' answer with its hours.
    ledger : builds and stores.
    model : the house model's answer.

    Returns
    -------
    BuildSplit
    """
    heat = work.typical.heat
    if heat is None:
        return _unsplit(ledger)
    if len(ledger.builds) == 1:
        return BuildSplit({ledger.builds[0].name: heat.avoided_kwh}, SplitBy.ONE_BUILD)
    if heat.basis == EXPECTED:
        expected = {b.name: b.expected_fraction.likely if b.expected_fraction else None for b in ledger.builds}
        return _by(SplitBy.EXPECTED, _in_proportion(ledger.builds, heat.avoided_kwh, expected))
    by_model = _by_model(work, ledger, model, heat.avoided_kwh)
    if by_model is not None:
        return BuildSplit(by_model, SplitBy.MODEL)
    changing = tuple(b for b in ledger.builds if changes_envelope(b))
    storing = tuple(b for b in ledger.builds if not changes_envelope(b))
    if not storing:
        return _by(SplitBy.ENVELOPE, _in_proportion(changing, heat.avoided_kwh, _left_out_kwh(work, ledger, changing)))
    part = _envelope_part(work, ledger) if changing else 0.0
    if part is None:
        return _unsplit(ledger)
    envelope_kwh = part * heat.need_kwh
    stores, by = _stores(storing, heat.avoided_kwh - envelope_kwh, work, ledger)
    split = {**_in_proportion(changing, envelope_kwh, _left_out_kwh(work, ledger, changing)), **stores}
    return _by(by, {b.name: split[b.name] for b in ledger.builds})


def _unsplit(ledger: Ledger) -> BuildSplit:
    return BuildSplit({b.name: None for b in ledger.builds}, SplitBy.NOTHING)


def _by(by: SplitBy, parts: Mapping[str, float | None]) -> BuildSplit:
    return BuildSplit(parts, by if any(kwh is not None for kwh in parts.values()) else SplitBy.NOTHING)


def _by_model(
    work: HeatWork, ledger: Ledger, model: HouseModelAnswer | None, total_kwh: float
) -> dict[str, float | None] | None:
    """Each build's own by a believed model, carried to the typical year; None where it does not tell them apart.

        part = own + (total − Σ own) · |own| / Σ |own|

    Where all owns are positive this is in plain proportion; where one build takes what another gives, their signs stay.
    """
    if model is None or not model.believed:
        return None
    own: dict[str, float] = {b.name: 0.0 for b in ledger.builds}
    for part, kwh in own_kwh_by_part(model).items():
        owners = builds_of_part(part, ledger)
        if not owners:
            return None
        shares = _among_owners(owners, work, ledger)
        for build in owners:
            own[build.name] += kwh * shares[build.name]
    size = sum(abs(kwh) for kwh in own.values())
    if size <= 0.0:
        return None
    rest = total_kwh - sum(own.values())
    return {name: kwh + rest * abs(kwh) / size for name, kwh in own.items()}


def _among_owners(owners: Sequence[Build], work: HeatWork, ledger: Ledger) -> dict[str, float]:
    """Shares of one part of the model between several builds: layers by leaving each out, tanks by what they hold."""
    weights: Mapping[str, float | None]
    if all(changes_envelope(b) for b in owners):
        weights = _left_out_kwh(work, ledger, owners)
    else:
        weights = {
            b.name: sum(s.heat_capacity_kwh_per_k.likely for s in ledger.stores if s.build == b.name) for b in owners
        }
    shares = _in_proportion(owners, 1.0, weights)
    even = 1.0 / len(owners)
    return {b.name: even if (share := shares[b.name]) is None else share for b in owners}


def split_notices(parts: Mapping[str, float | None]) -> tuple[Notice, ...]:
    """Say so where the saving could not be split between the builds.

    Parameters
    ----------
    parts : by build, from `split_by_build`. [kWh]

    Returns
    -------
    tuple of Notice
    """
    unknown = [name for name, kwh in parts.items() if kwh is None]
    if not unknown or len(parts) == 1:
        return ()
    text = (
        f"The saving cannot be split between {', '.join(unknown)}: give share_of_saving for each of them, or log the "
        "temperature of their stores."
    )
    return (Notice("saving-not-split", text, "builds.avoided_kwh"),)


def _stores(
    storing: Sequence[Build], total_kwh: float, work: HeatWork, ledger: Ledger
) -> tuple[dict[str, float | None], SplitBy]:
    if len(storing) == 1:
        return {storing[0].name: total_kwh}, SplitBy.ENVELOPE
    shares, by = {b.name: b.share_of_saving for b in storing}, SplitBy.SHARES
    if any(share is None for share in shares.values()):
        release = _release_by_build(work, ledger)
        shares, by = {b.name: release.get(b.name) for b in storing}, SplitBy.STORES
    return _in_proportion(storing, total_kwh, shares), by


def _in_proportion(
    builds: Sequence[Build], total_kwh: float, shares: Mapping[str, float | None]
) -> dict[str, float | None]:
    known = [shares.get(b.name) for b in builds]
    whole = sum(s for s in known if s is not None)
    if any(s is None for s in known) or whole <= 0.0:
        return {b.name: total_kwh if len(builds) == 1 else None for b in builds}
    return {b.name: total_kwh * (s or 0.0) / whole for b, s in zip(builds, known, strict=True)}


def _release_by_build(work: HeatWork, ledger: Ledger) -> dict[str, float | None]:
    """Mean release a night of each build's stores, over the logged seasons [kWh]."""
    found: dict[str, float | None] = {}
    balances = [b for s in work.seasons for b in store_balances(s.year, ledger, work.loss)]
    for store in ledger.stores:
        own = [b for b in balances if b.store == store.name]
        nights = sum(b.nights for b in own)
        if store.build is not None and nights:
            found[store.build] = (found.get(store.build) or 0.0) + sum(b.release_kwh for b in own) / nights
    return found


def _envelope_part(work: HeatWork, ledger: Ledger) -> float | None:
    """Share of the need that the changed envelope alone avoids: 1 − Σ H·max(0, T_h − T_e) ÷ need."""
    need = without_store = 0.0
    for stretch, weights, h in _hours(work):
        reckoned = stretch.work.reckoned
        need += float(weights @ reckoned.heat.need_kwh)
        without_store += float(weights @ _heat_without_store(stretch, h, ledger))
    return 1.0 - without_store / need if need > 0.0 else None


def _left_out_kwh(work: HeatWork, ledger: Ledger, changing: Sequence[Build]) -> dict[str, float | None]:
    """What each change of the envelope saves when it alone is left out of the house without stores [kWh]."""
    found: dict[str, float | None] = {}
    for build in changing:
        loss = envelope(ledger.house, (build,), elevation_m=ledger.site.elevation_m)
        saved = 0.0
        for stretch, weights, h in _hours(work):
            year, reckoned = stretch.work.year, stretch.work.reckoned
            without = Coefficients(coefficients(year, reckoned.rows, loss).bare_w_per_k, h.bare_w_per_k)
            here = _heat_without_store(stretch, h, ledger)
            saved += float(weights @ (_heat_without_store(stretch, without, ledger) - here))
        found[build.name] = max(0.0, saved)
    return found


def _hours(work: HeatWork) -> list[tuple[Stretch, Floats, Coefficients]]:
    """Each season's hours by temperature with their weight in the typical year."""
    logged = logged_year(work.seasons)
    if logged is None:
        return []
    return [
        (s, on_rows(s.rows, w, s.work.reckoned.rows), s.work.reckoned.h)
        for s, w in zip(logged.stretches, logged.weights, strict=True)
    ]


def _heat_without_store(stretch: Stretch, h: Coefficients, ledger: Ledger) -> Floats:
    """Heat that the house with an envelope and no store lacks: its lift is the bare house's times H_bare / H [kWh]."""
    reckoned = stretch.work.reckoned
    over = (reckoned.bare_c[reckoned.rows] - reckoned.air.outdoor_c) * h.bare_w_per_k / h.stands_w_per_k
    return shortfall_kwh(
        reckoned.air,
        hold_c=ledger.hold.temperature_c,
        indoor_c=reckoned.air.outdoor_c + over,
        h_w_per_k=h.stands_w_per_k,
    )
