"""From the sections of a ledger, each held to its keys, to the one frozen ledger of the model."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from ledger.intake.desk import Desk, entry_of
from ledger.intake.money_values import NO_CURRENCY
from ledger.intake.plausible import doubt_before, doubt_house, doubt_items, doubt_lives, doubt_ranges, doubt_season
from ledger.intake.plausible_prices import doubt_prices
from ledger.intake.resolve_book import resolve_running
from ledger.intake.resolve_builds import check_before, resolve_build, resolve_store
from ledger.intake.resolve_house import resolve_house
from ledger.intake.resolve_logs import channels_of, check_channels, resolve_climate, resolve_logs
from ledger.intake.resolve_money import (
    against_of,
    base_date_of,
    growth_of,
    inflation_of,
    resolve_benefits,
    resolve_next,
    resolve_power,
    resolve_terms,
)
from ledger.intake.resolve_place import resolve_crop, resolve_hold, resolve_site, show_of
from ledger.intake.resolve_sources import check_sources, resolve_electricity, resolve_source
from ledger.intake.scalars import month_day
from ledger.intake.schema_builds import BuildRow, RunningRow, SpentRow, StoreRow
from ledger.intake.schema_house import CropSection, HoldSection, HouseSection, LedgerSection, SiteSection
from ledger.intake.schema_logs import ClimateSection, LogRow
from ledger.intake.schema_money import (
    BenefitRow,
    ElectricitySection,
    LabourSection,
    MoneySection,
    NextRow,
    PowerSection,
)
from ledger.intake.schema_sources import SourceRow
from ledger.intake.sheets import Sheets
from ledger.intake.toml_places import Path
from ledger.model.book import RunningLine
from ledger.model.build import Build
from ledger.model.heaters import Source
from ledger.model.house import Crop, Hold, House, Site
from ledger.model.ledger import Ledger
from ledger.model.terms import Electricity, Terms
from ledger.model.values import Assumption, Window
from ledger.sources import SEASON_NORTH


@dataclass(frozen=True, slots=True)
class _Place:
    """The place, the house and what is held; None where a section has a fault."""

    site: Site | None
    hold: Hold | None
    house: House | None
    crop: Crop | None


@dataclass(frozen=True, slots=True)
class _Trade:
    """What was built, what can be burnt, and what was used."""

    builds: tuple[Build, ...]
    sources: tuple[Source, ...]
    electricity: Electricity
    running: tuple[RunningLine, ...]


def resolve(desk: Desk, sheets: Sheets, title: str) -> Ledger:
    """Fill in every default, check what belongs together, and build the ledger.

    Raises
    ------
    LedgerError : any fault on the desk, those of the sheets included; all at once.
    """
    head = sheets.table("ledger", LedgerSection) or LedgerSection.model_validate({})
    place = _place(desk, sheets)
    trade = _trade(desk, sheets, place.hold)
    terms = _terms(desk, sheets, trade)
    labour = sheets.table("labour", LabourSection)
    if labour is None:
        desk.assume(("labour", "rate"), "none", "not stated: own hours are shown and counted without money")
    rest = _rest(desk, sheets)
    if desk.coin.currency == NO_CURRENCY and head.currency is None:
        desk.assume(("ledger", "currency"), "none", "not stated; amounts stand without a currency")
    desk.assumed.extend(_exact_values(sheets.document))
    show = show_of(desk, head, _typed(sheets.document, "hold", "temperature"))
    desk.raise_if_faulty()
    _doubt(desk, sheets, place, trade, terms)
    if place.site is None or place.hold is None or place.house is None or place.crop is None:
        raise ValueError("a section is missing without a complaint")
    return Ledger(
        title=head.title or title,
        show=show,
        site=place.site,
        house=place.house,
        hold=place.hold,
        crop=place.crop,
        terms=terms,
        electricity=_as_stated(trade.electricity, sheets),
        builds=trade.builds,
        sources=trade.sources,
        running=trade.running,
        labour_rate_per_h=labour.rate if labour else None,
        **rest,
        prepared_for=head.prepared_for,
        prepared_by=head.prepared_by,
        purpose=head.purpose,
        assumed=tuple(desk.assumed),
        notices=tuple(desk.notices),
    )


def _place(desk: Desk, sheets: Sheets) -> _Place:
    """The place, the house and what is held, as far as their sections can be read."""
    site_keys, hold_keys = sheets.table("site", SiteSection), sheets.table("hold", HoldSection)
    house_keys = sheets.table("house", HouseSection)
    site = resolve_site(desk, site_keys) if site_keys else None
    hold = resolve_hold(desk, hold_keys, site.latitude_deg if site else None) if hold_keys else None
    house = resolve_house(desk, house_keys) if house_keys else None
    crop = resolve_crop(desk, sheets.table("crop", CropSection), hold) if hold else None
    if house is not None:
        check_before(desk, sheets.many("build", BuildRow), house)
    return _Place(site, hold, house, crop)


def _trade(desk: Desk, sheets: Sheets, hold: Hold | None) -> _Trade:
    """Builds, sources and season book."""
    builds = _builds(desk, sheets)
    electricity, sources = _sources(desk, sheets)
    running = _running(desk, sheets, hold.season if hold else None)
    _electricity_is_priced(desk, sheets, electricity, running)
    return _Trade(tuple(builds), sources, electricity, running)


def _terms(desk: Desk, sheets: Sheets, trade: _Trade) -> Terms:
    """The terms; with a fault anywhere they may rest on a stand-in and are not used."""
    money = _money(sheets)
    against = against_of(desk, money, sheets.many("source", SourceRow), sheets.sources)
    base_date = base_date_of(desk, money, list(trade.builds))
    return resolve_terms(desk, money, base_date or date(2000, 1, 1), inflation_of(desk, money), against or "")


def _money(sheets: Sheets) -> MoneySection:
    return sheets.table("money", MoneySection) or MoneySection.model_validate({})


def _doubt(desk: Desk, sheets: Sheets, place: _Place, trade: _Trade, terms: Terms) -> None:
    """Doubts about a ledger that is in order."""
    house_keys = sheets.table("house", HouseSection)
    if house_keys is not None and place.house is not None:
        doubt_house(desk, house_keys, place.house)
    if place.site is not None and place.hold is not None:
        doubt_season(desk, place.site, place.hold.season)
    doubt_ranges(desk)
    doubt_prices(desk, trade.sources)
    rows = sheets.many("build", BuildRow)
    doubt_before(desk, rows)
    doubt_items(desk, rows, sheets.many("spent", SpentRow))
    doubt_lives(desk, trade.builds, terms.study_years)


def _typed(document: dict[str, Any], section: str, key: str) -> object:
    raw = document.get(section)
    return raw.get(key) if isinstance(raw, dict) else None


def _builds(desk: Desk, sheets: Sheets) -> list[Build]:
    spent = sheets.many("spent", SpentRow)
    by_build: dict[str, list[tuple[int, SpentRow]]] = {}
    for number, row in spent:
        by_build.setdefault(row.build, []).append((number, row))
    stated = [(n, row.share_of_saving) for n, row in sheets.many("build", BuildRow) if row.share_of_saving is not None]
    if sum(share for _, share in stated) > 1.0 + 1e-9:
        desk.fault(
            ("build", stated[-1][0], "share_of_saving"),
            "the shares of the saving add up to more than 1",
            "let share_of_saving of all builds add up to 1",
        )
    return [
        resolve_build(desk, row, number, by_build.get(row.name, ())) for number, row in sheets.many("build", BuildRow)
    ]


def _sources(desk: Desk, sheets: Sheets) -> tuple[Electricity, tuple[Source, ...]]:
    money = _money(sheets)
    rows = sheets.many("source", SourceRow)
    silent = Desk(desk.file, desk.places, desk.coin)
    growth = growth_of(money, inflation_of(silent, money))
    electricity = resolve_electricity(desk, sheets.table("electricity", ElectricitySection), rows, growth)
    check_sources(desk, rows)
    read = (resolve_source(desk, row, number, electricity, growth) for number, row in rows)
    return electricity, tuple(source for source in read if source is not None)


def _as_stated(electricity: Electricity, sheets: Sheets) -> Electricity:
    """Without a price of its own, electricity is left to the electric source, so that it follows that one's tariffs."""
    section = sheets.table("electricity", ElectricitySection)
    return electricity if section is not None and section.price is not None else replace(electricity, price=None)


def _running(desk: Desk, sheets: Sheets, season: Window | None) -> tuple[RunningLine, ...]:
    """The season book; without a hold season its lines are still checked, by any season."""
    season = season or Window(month_day(SEASON_NORTH[0]), month_day(SEASON_NORTH[1]))
    raw = sheets.document.get("source")
    electric = {
        name: isinstance(row, dict)
        and str(row.get("kind", "")).strip().casefold() in ("electric resistance", "heat pump")
        for name, row in zip(sheets.sources, raw if isinstance(raw, list) else [], strict=False)
    }
    return resolve_running(
        desk, sheets.many("running", RunningRow), season, frozenset(n for n in sheets.builds if n), electric
    )


def _electricity_is_priced(
    desk: Desk, sheets: Sheets, electricity: Electricity, running: tuple[RunningLine, ...]
) -> None:
    """Electricity that is used must have a price: it is never taken for free."""
    if electricity.price is not None:
        return
    sources = {row.name: row for _, row in sheets.many("source", SourceRow)}
    mend = "add [electricity] with price = ... per kWh; what your own array's really costs, or 0 if you mean it"
    for line in running:
        burns_fuel = line.target in sources and not sources[line.target].kind.electric
        if line.energy_kwh is not None and line.amount is None and not burns_fuel and line.line is not None:
            desk.fault(
                ("electricity", "price"), f"energy is noted in line {line.line}, and no price of electricity", mend
            )
            return
    fan = next((number for number, row in sheets.many("log", LogRow) if row.fan is not None), None)
    builds = frozenset(sheets.builds)
    noted = any(line.energy_kwh is not None and line.target in builds for line in running)
    if fan is not None and not noted:
        desk.fault(("log", fan, "fan"), "a fan is logged, and there is no price of electricity", mend)


def _rest(desk: Desk, sheets: Sheets) -> dict[str, Any]:
    """The sections that stand for themselves."""
    logs = sheets.many("log", LogRow)
    climate_keys, power_keys = sheets.table("climate", ClimateSection), sheets.table("power", PowerSection)
    check_channels(desk, logs)
    if not sheets.document.get("log") and "climate" not in sheets.document:
        desk.fault(
            ("log",), "there is neither a log nor a climate", "add [[log]] with file, indoor and outdoor, or [climate]"
        )
    logged = channels_of(logs)
    stores = [resolve_store(desk, row, n, logged) for n, row in sheets.many("store", StoreRow)]
    return {
        "logs": resolve_logs(desk, logs),
        "stores": tuple(store for store in stores if store is not None),
        "benefits": resolve_benefits(desk, [row for _, row in sheets.many("benefit", BenefitRow)]),
        "power": resolve_power(desk, power_keys) if power_keys else None,
        "climate": resolve_climate(desk, climate_keys) if climate_keys else None,
        "next_steps": resolve_next(desk, [row for _, row in sheets.many("next", NextRow)]),
    }


def _exact_values(document: dict[str, Any]) -> list[Assumption]:
    """Every value whose range the grower turned off, in the order of the file."""
    found: list[Assumption] = []
    stack: list[tuple[Path, Any]] = [((), document)]
    while stack:
        path, raw = stack.pop()
        if isinstance(raw, dict):
            if raw.get("exact") is True:
                found.append(
                    Assumption(entry_of(path), f"{raw.get('likely')}, exact", "the ledger says exact = true: no range")
                )
            stack.extend(((*path, key), value) for key, value in reversed(list(raw.items())))
        elif isinstance(raw, list):
            stack.extend(((*path, number), value) for number, value in reversed(list(enumerate(raw))))
    return found
