"""From `[[build]]`, `[[spent]]` and `[[store]]` to the builds and stores of the model."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from ledger.intake.desk import Desk
from ledger.intake.desk_money import money, money_or_none
from ledger.intake.schema_builds import BeforeRow, BuildRow, ItemRow, SpentRow, StoreRow
from ledger.intake.slips import listed, offer
from ledger.intake.spreads import of_row, product, scaled
from ledger.intake.toml_places import Path
from ledger.model.build import Before, Build, Item, Status, Store, Upkeep
from ledger.model.house import House
from ledger.model.logs import TEMPERATURE_CHANNELS
from ledger.model.values import Basis, MoneyRange, Spread
from ledger.sources import WATER_HEAT_CAPACITY, life_of

_BASIS_OF_STATUS = {Status.PAID: Basis.RECEIPT, Status.QUOTED: Basis.QUOTED, Status.PLANNED: Basis.ESTIMATED}
_MJ_PER_KWH = 3.6
_KJ_PER_KWH = 3600.0
_WHOLE = Spread.sure(1.0, Basis.ASSUMED)


def resolve_build(desk: Desk, row: BuildRow, number: int, spent: Iterable[tuple[int, SpentRow]]) -> Build:
    """One build with its own items and those typed elsewhere for it, in the order of their dates."""
    path = ("build", number)
    rows: list[tuple[Path, ItemRow]] = [((*path, "item", n), item) for n, item in enumerate(row.item)]
    rows += [(("spent", n), item) for n, item in spent]
    if not rows:
        desk.fault(
            path,
            f'the build "{row.name}" has no item: nothing says what it cost',
            "add [[build.item]] with date, what and amount below it (amount = 0 where it cost nothing)",
        )
    items = [_item(desk, item, at, row.life_years) for at, item in rows]
    _list_whole_shares(desk, rows, path)
    return Build(
        name=row.name,
        items=tuple(sorted(items, key=lambda item: item.date)),
        upkeep=tuple(Upkeep(one.what, money(desk, one.amount, Basis.ESTIMATED)) for one in row.upkeep),
        before=tuple(_before(one) for one in row.before),
        expected_fraction=row.expected_fraction,
        expected_running=money_or_none(desk, row.expected_running),
        share_of_saving=row.share_of_saving,
        line=desk.line(*path),
    )


def _item(desk: Desk, row: ItemRow, path: Path, life_of_build: Spread | None) -> Item:
    life = row.life_years or life_of_build
    if life is None:
        kind, default = life_of(row.what)
        desk.assume((*path, "life_years"), f'{default.words()}, taken for "{kind}"', default.source)
        life = of_row(default)
    if row.amount.likely < 0:
        desk.notice("refund", (*path, "amount"), f'the amount of "{row.what}" is negative and taken as a refund')
    return Item(
        date=row.date,
        what=row.what,
        amount=money(desk, row.amount, row.basis or _BASIS_OF_STATUS[row.status]),
        share=row.share or _WHOLE,
        life_years=life,
        residual=money_or_none(desk, row.residual) or MoneyRange.sure(Decimal(0)),
        status=row.status,
        hours=row.hours,
        why_share=row.why_share,
        paper=row.paper,
        line=desk.line(*path),
    )


def _list_whole_shares(desk: Desk, rows: list[tuple[Path, ItemRow]], path: Path) -> None:
    """List the shares of 1 and residuals of 0 that nobody stated, once for each build."""
    whole = sum(item.share is None for _, item in rows)
    if whole:
        desk.assume(
            (*path, "item", "share"),
            f"1 for {_items(whole)}",
            "an item counts wholly for the heat unless a share is stated",
        )
    without = sum(item.residual is None for _, item in rows)
    if without:
        desk.assume(
            (*path, "item", "residual"), f"0 for {_items(without)}", "nothing is left at an item's end unless stated"
        )


def _items(count: int) -> str:
    return "1 item" if count == 1 else f"{count} items"


def _before(row: BeforeRow) -> Before:
    return Before(
        surface=row.surface,
        u_value_w_per_m2_k=row.u_value,
        air_changes_per_h=row.air_changes,
        edge=row.edge,
        loss_w_per_m_k=row.loss,
        hours=row.hours,
    )


def check_before(desk: Desk, rows: Iterable[tuple[int, BuildRow]], house: House) -> None:
    """Hold each `[[build.before]]` to one thing that the house has."""
    surfaces = [surface.name for surface in house.surfaces]
    edges = [edge.name for edge in house.edges]
    for number, build in rows:
        for n, row in enumerate(build.before):
            path = ("build", number, "before", n)
            named = [row.surface is not None, row.air_changes is not None, row.edge is not None]
            if sum(named) != 1:
                desk.fault(
                    path,
                    "before says of more than one thing, or of none, what stood there",
                    "give one of: surface with u_value; air_changes; edge with loss",
                )
                continue
            _check_pair(desk, path, (row.surface, "surface", surfaces), (row.u_value, "u_value"))
            _check_pair(desk, path, (row.edge, "edge", edges), (row.loss, "loss"))


def _check_pair(
    desk: Desk, path: Path, named: tuple[str | None, str, list[str]], value: tuple[Spread | None, str]
) -> None:
    """A named part must be there, and come with its value; a value without its part is a fault too."""
    name, key, known = named
    figure, figure_key = value
    if name is not None and name not in known:
        desk.fault((*path, key), f'the house has no {key} called "{name}"', offer(name, known))
    if name is not None and figure is None:
        desk.fault(
            (*path, figure_key), f'before names the {key} "{name}" without its {figure_key}', f"add {figure_key} = ..."
        )
    if name is None and figure is not None:
        desk.fault((*path, figure_key), f"{figure_key} stands without {key}", f'add {key} = "..."')


def resolve_store(desk: Desk, row: StoreRow, number: int, logged: list[str]) -> Store | None:
    """A store with its heat capacity; None when it cannot be reckoned, which is then noted."""
    path = ("store", number)
    if row.channel not in TEMPERATURE_CHANNELS:
        desk.fault(
            (*path, "channel"),
            f'"{row.channel}" is no temperature channel',
            f"use one of: {listed(TEMPERATURE_CHANNELS)}",
        )
    elif logged and row.channel not in logged:
        text = f'no log has the channel "{row.channel}" of the store "{row.name}": name its column under [[log]], '
        desk.notice("store-not-logged", (*path, "channel"), f'{text}{row.channel} = {{ column = "..." }}')
    capacity = _heat_capacity(desk, row, path)
    return None if capacity is None else Store(row.name, row.build, row.channel, capacity)


def _heat_capacity(desk: Desk, row: StoreRow, path: Path) -> Spread | None:
    """Heat per kelvin: m·c, or volume times heat per volume (water where none is given). [kWh/K]"""
    if (row.volume is None) == (row.mass is None):
        desk.fault(
            path,
            f'the store "{row.name}" needs one of volume or mass',
            'add volume = "... m3" (of water), or mass and specific_heat',
        )
        return None
    if row.mass is not None:
        if row.specific_heat is None:
            desk.fault(
                (*path, "specific_heat"),
                "a store given by its mass has no specific heat",
                'add specific_heat = "... kJ/kg/K"',
            )
            return None
        return product(row.mass, row.specific_heat, 1.0 / _KJ_PER_KWH)
    if row.volume is None:
        return None
    if row.heat_capacity is not None:
        return product(row.volume, row.heat_capacity, 1.0 / _MJ_PER_KWH)
    desk.assume_row((*path, "heat_capacity"), WATER_HEAT_CAPACITY)
    return scaled(row.volume, WATER_HEAT_CAPACITY.likely / _MJ_PER_KWH)
