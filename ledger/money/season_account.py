"""A season's own account: what was noted, and what its heat would have cost at the prices of that season."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.errors import Notice
from ledger.heat.results import SeasonHeat, TypicalHeat
from ledger.heat.spans import days_inside
from ledger.model.book import HOUSE, RunningLine
from ledger.model.ledger import Ledger
from ledger.money.avoided import avoided_parts, work_money
from ledger.money.book_spans import AccountSpan, account_span, is_running
from ledger.money.prices import electricity_price, price_in_force
from ledger.money.project import labour_rate, number
from ledger.money.results import SeasonAccount


@dataclass(frozen=True, slots=True)
class _Noted:
    """Money and hours of the lines of one account for one kind of target. [currency, h]"""

    running: float
    upkeep: float
    hours: float
    running_lines: int

    @property
    def total(self) -> float:
        return self.running + self.upkeep


def season_accounts(
    ledger: Ledger, seasons: Sequence[SeasonHeat], *, typical: TypicalHeat | None, net_capital: float
) -> tuple[tuple[SeasonAccount, ...], tuple[Notice, ...]]:
    """Draw up the account of every season that heat was reckoned for.

        net saving = avoided heat at the price in force on the season's last day − running − upkeep
        recovered to date = Σ net saving of this and earlier seasons

    An account runs from its season's first day to the day before the next season's. It holds only what is noted:
    lines with energy or quantity by the days that they cover, all others by their date; own work at the labour rate
    is in each cost. Backup heat and the house's own use stand beside the saving, never in it. Where no running line is
    noted, running cost is None and the saving is before running cost, with a notice. Differs from the typical year,
    which makes the months whole and takes base-date prices.

    Parameters
    ----------
    ledger : season book, prices, `terms.against`.
    seasons : in order of time.
    typical : hourly shape of a year, for a source whose efficiency depends on the hour. None: its plain efficiency.
    net_capital : `capital.net`. [currency]

    Returns
    -------
    tuple of SeasonAccount, notices
    """
    accounts: list[SeasonAccount] = []
    notices: list[Notice] = []
    recovered = 0.0
    spans = [_span_of(s.season, ledger) for s in seasons]
    for heat, span in zip(seasons, spans, strict=True):
        account, said = _account(ledger, heat, span, typical)
        recovered += account.net_saving or 0.0
        accounts.append(
            SeasonAccount(
                season=account.season,
                running_cost=account.running_cost,
                upkeep_cost=account.upkeep_cost,
                backup_cost=account.backup_cost,
                house_cost=account.house_cost,
                labour_hours=account.labour_hours,
                avoided_cost=account.avoided_cost,
                net_saving=account.net_saving,
                recovered_to_date=recovered,
                still_to_recover=net_capital - recovered,
            )
        )
        notices += said
    return tuple(accounts), (*dict.fromkeys(notices), *_outside(ledger, spans))


def _account(
    ledger: Ledger, heat: SeasonHeat, span: AccountSpan, typical: TypicalHeat | None
) -> tuple[SeasonAccount, list[Notice]]:
    builds = _noted(ledger, span, {b.name for b in ledger.builds})
    backup = _noted(ledger, span, {s.name for s in ledger.sources})
    house = _noted(ledger, span, {HOUSE})
    avoided, notices = _avoided_cost(ledger, heat, span, typical)
    running = builds.running if builds.running_lines else None
    if running is None:
        text = f"no running line is noted for the season {heat.season}: its saving is before running cost"
        notices.append(Notice("season-running-unknown", text, f"seasons.{heat.season}.running_cost"))
    return SeasonAccount(
        season=heat.season,
        running_cost=running,
        upkeep_cost=builds.upkeep,
        backup_cost=backup.total,
        house_cost=house.total,
        labour_hours=builds.hours + backup.hours + house.hours,
        avoided_cost=avoided,
        net_saving=avoided - (running or 0.0) - builds.upkeep,
        recovered_to_date=None,
        still_to_recover=None,
    ), notices


def _noted(ledger: Ledger, span: AccountSpan, targets: set[str]) -> _Noted:
    rate = float(labour_rate(ledger))
    running = upkeep = hours = 0.0
    lines = 0
    for line in ledger.running:
        part = part_inside(line, span) if line.target in targets else 0.0
        if part == 0.0:
            continue
        money = part * (money_of(line, ledger) + line.hours * rate)
        hours += part * line.hours
        if is_running(line):
            running += money
            lines += 1
        else:
            upkeep += money
    return _Noted(running, upkeep, hours, lines)


def part_inside(line: RunningLine, span: AccountSpan) -> float:
    """Share of a line that belongs to an account: by days covered, or by its date where it is no running cost."""
    if is_running(line):
        return days_inside(line.first_day, line.last_day, span.first, span.last)
    return 1.0 if span.first <= line.date <= span.last else 0.0


def money_of(line: RunningLine, ledger: Ledger) -> float:
    """Money of a line: its amount, else what was used at the price in force on its date.

        amount, else quantity · price of the unit, else energy · price of a kilowatt-hour

    Energy of a source is what it took in: its price is that of a unit ÷ heat per unit.

    Returns
    -------
    float : without own work. [currency]

    Raises
    ------
    ValueError : nothing to price it by (the reader refuses such a ledger).
    """
    if line.amount is not None:
        return float(line.amount)
    source = next((s for s in ledger.sources if s.name == line.target), None)
    if source is not None:
        price = float(number(price_in_force(source, line.date)))
        if line.quantity is not None:
            return line.quantity * price
        return (line.energy_kwh or 0.0) / float(number(source.heat_per_unit_kwh)) * price
    if line.energy_kwh is not None:
        per_kwh = electricity_price(ledger, line.date)
        if per_kwh is None:
            raise ValueError(f"no price of electricity for the line '{line.what}' of {line.date}")
        return line.energy_kwh * float(number(per_kwh))
    if line.quantity is not None:
        raise ValueError(f"no price for the quantity of the line '{line.what}' of {line.date}")
    return 0.0


def _avoided_cost(
    ledger: Ledger, heat: SeasonHeat, span: AccountSpan, typical: TypicalHeat | None
) -> tuple[float, list[Notice]]:
    """Heat of the season at the `against` source's price in force on its last day, with the work that it spares."""
    source = ledger.source(ledger.terms.against)
    parts = avoided_parts(ledger, source, heat.avoided_kwh, typical=typical)
    notices: list[Notice] = []
    if any(s.cop for s, _ in parts):
        text = "a season's heat pump is reckoned at the mean efficiency of the typical year's need"
        notices.append(Notice("season-heat-pump", text, f"seasons.{heat.season}.avoided_cost"))
    fuel = sum((units * number(price_in_force(s, span.heat_last)) for s, units in parts), 0.0)
    work, unknown = work_money(ledger, parts)
    return float(fuel + work), [*notices, *unknown]


def _span_of(name: str, ledger: Ledger) -> AccountSpan:
    return account_span(int(name[:4]), ledger.hold.season, timezone=ledger.site.timezone)


def _outside(ledger: Ledger, spans: Sequence[AccountSpan]) -> tuple[Notice, ...]:
    """Name the lines that no account holds, so that nothing is dropped silently."""
    lost = [x for x in ledger.running if not any(part_inside(x, s) > 0.0 for s in spans)]
    if not lost:
        return ()
    text = (
        f"{len(lost)} lines of the season book ({lost[0].date} first) lie in no season that was logged: "
        "they are in no season's account and in nothing recovered"
    )
    return (Notice("lines-outside-seasons", text, "running", lost[0].line),)
