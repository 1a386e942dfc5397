"""The one composition: (ledger, hourly record) -> appraisal. No arithmetic stands here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from ledger.doubt.ahead import Ahead, look_ahead
from ledger.doubt.breakeven import BreakEven, break_evens
from ledger.doubt.chain import Chain
from ledger.doubt.draws import UNKNOWN_RANGE, worth_range
from ledger.doubt.drivers import drivers
from ledger.doubt.saving_ranges import SavingRange, saving_ranges
from ledger.doubt.verdict import Standing, verdict
from ledger.doubt.words import in_words
from ledger.errors import Notice
from ledger.heat.adds_up import AddsUp, adds_up
from ledger.heat.assumed import heat_assumptions
from ledger.heat.bare import Ways
from ledger.heat.by_build import BuildSplit, SplitBy, split_by_build, split_notices
from ledger.heat.fan_off import FanOffAnswer, fan_off_answer
from ledger.heat.forecast import Forecast, forecasts, told_after
from ledger.heat.housemodel.answer import HouseModelAnswer, fit_house
from ledger.heat.housemodel.typical_run import over_climate
from ledger.heat.other_ways import other_ways
from ledger.heat.prepared import Prepared
from ledger.heat.presence import builds_before_log_ends
from ledger.heat.reckoning import HeatWork, answer_of, heat_work, prepare
from ledger.heat.results import HouseFigures, SeasonHeat, TypicalHeat
from ledger.heat.season_moves import followed_notices
from ledger.heat.season_nights import SeasonNights, season_nights
from ledger.model.identity import Identity as Identity
from ledger.model.identity import LogHash as LogHash
from ledger.model.identity import Program as Program
from ledger.model.ledger import Ledger
from ledger.model.values import Assumption
from ledger.money.avoided import typical_money
from ledger.money.builds import builds
from ledger.money.capital import capital
from ledger.money.figures import DegreeDays, Worth
from ledger.money.figures import worth as worth_of
from ledger.money.flows import cash_flow
from ledger.money.loans import loan_notices, loans
from ledger.money.project import Project, project_from, whole_house_project
from ledger.money.results import (
    BuildFigures,
    Capital,
    CashYear,
    Driver,
    LoanFigures,
    SeasonAccount,
    TypicalMoney,
    WorthFigures,
    WorthRange,
)
from ledger.money.running import fan_energy_kwh, typical_running, typical_upkeep
from ledger.money.season_account import season_accounts
from ledger.money.season_track import SeasonTrack, season_tracks
from ledger.money.season_worth import SeasonWorth, season_worths
from ledger.money.year import build_years, shares_of, year_money
from ledger.plans.around import AroundPlans, Outdoors, around_plans, look_outdoors
from ledger.plans.dearer import dearer_doubts
from ledger.plans.results import Plan
from ledger.plans.ties import Judged
from ledger.plans.work_free import compare_both
from ledger.series.record import HourlyRecord, LogFigures


@dataclass(frozen=True, slots=True)
class SeasonAnswer:
    """One season: its heat and money, how it is followed, its nights, what was expected, the worth known at its end."""

    heat: SeasonHeat
    account: SeasonAccount
    track: SeasonTrack | None = None
    nights: SeasonNights | None = None
    forecast: Forecast | None = None
    worth: SeasonWorth | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Appraisal:
    """Everything that the program has to say about one ledger. None: could not be reckoned; a warning says why."""

    program: Program
    identity: Identity
    source: Ledger
    house: HouseFigures
    record: HourlyRecord | None
    log: LogFigures | None
    seasons: tuple[SeasonAnswer, ...]
    typical_heat: TypicalHeat | None
    typical_money: TypicalMoney | None
    capital: Capital
    worth: WorthFigures
    worth_range: WorthRange
    drivers: tuple[Driver, ...]
    verdict: str
    why: str
    builds: tuple[BuildFigures, ...]
    cash_flow: tuple[CashYear, ...]
    loans: tuple[LoanFigures, ...]
    plans: tuple[Plan, ...]
    assumed: tuple[Assumption, ...]
    warnings: tuple[Notice, ...] = field(default=())
    break_evens: tuple[BreakEven, ...] = field(default=())
    model: HouseModelAnswer | None = None
    off_nights: FanOffAnswer = field(default_factory=FanOffAnswer)
    saving_ranges: tuple[SavingRange, ...] = field(default=())
    ahead: Ahead = field(default_factory=Ahead)
    around: AroundPlans = field(default_factory=AroundPlans)
    work: HeatWork | None = None
    split: BuildSplit = field(default_factory=lambda: BuildSplit({}, SplitBy.NOTHING))

    @property
    def adds_up(self) -> tuple[AddsUp, ...]:
        """What must agree, season by season."""
        work = self.work
        return () if work is None else adds_up(work.seasons, self.source, self.model, loss=work.loss)


def appraise(
    ledger: Ledger,
    record: HourlyRecord | None,
    *,
    climate_record: HourlyRecord | None,
    identity: Identity,
    program: Program,
    notices: Sequence[Notice],
) -> Appraisal:
    """Answer every question that one ledger can be asked.

    Parameters
    ----------
    ledger : as read.
    record : the clean hourly record; None where nothing is logged.
    climate_record : a long outdoor record, cleaned like a log; None where there is none.
    identity, program : what was read, and by what.
    notices : what reading had to say; they stand first among the warnings.

    Returns
    -------
    Appraisal
    """
    prepared = prepare(record, ledger, climate_record=climate_record)
    off_nights = fan_off_answer(prepared, ledger)
    model = None if record is None else fit_house(record, prepared, ledger)
    ways = over_climate(other_ways(off_nights, model), model, prepared, ledger)
    work = heat_work(prepared, ledger, ways=ways)
    heat = answer_of(work, ledger, model)
    accounts, said = season_accounts(ledger, heat.seasons, typical=heat.typical, net_capital=capital(ledger).net)
    money = _money(ledger, work, record, split_by_build(work, ledger, model))
    around = look_outdoors(money.around, ledger, work.seasons, money.plans, Outdoors(model, prepared, climate_record))
    sure = _sure(ledger, work, money)
    ahead = _ahead(ledger, work, money, sure, _Laid(prepared, ways))
    seasons = _seasons(ledger, work, _Laid(prepared, ways), accounts, money)
    said = (*said, *around.notices, *followed_notices(ledger, work, ways, [one.nights for one in seasons], model))
    return Appraisal(
        program=program,
        identity=identity,
        source=ledger,
        house=heat.house,
        record=record,
        log=None if record is None else record.figures,
        seasons=seasons,
        model=model,
        off_nights=off_nights,
        typical_heat=heat.typical,
        typical_money=money.typical,
        capital=capital(ledger),
        worth=money.worth.figures,
        worth_range=sure.range,
        drivers=sure.drivers,
        verdict=sure.verdict,
        why=sure.why,
        builds=money.builds,
        split=money.split,
        cash_flow=cash_flow(money.project),
        loans=loans(ledger.terms, money.project),
        plans=money.plans,
        assumed=(*ledger.assumed, *heat_assumptions(work.seasons, ledger)),
        warnings=_once((*notices, *heat.notices, *said, *money.notices, *loan_notices(ledger.terms), *ahead.said)),
        break_evens=sure.break_evens,
        saving_ranges=sure.savings,
        ahead=ahead,
        around=around,
        work=work,
    )


def _seasons(
    ledger: Ledger, work: HeatWork, laid: _Laid, accounts: Sequence[SeasonAccount], money: _Money
) -> tuple[SeasonAnswer, ...]:
    """Every season: its heat and money, how it is followed, its nights, what was expected of it."""
    heats, typical = [one.heat for one in work.seasons], work.typical.heat
    plan_kwh = None if typical is None else typical.avoided_kwh
    tracks = season_tracks(ledger, heats, accounts, plan_kwh=plan_kwh, plan=money.typical)
    hold_c, zone = ledger.hold.temperature_c, ledger.site.timezone
    nights = season_nights(laid.prepared.years, hold_c=hold_c, timezone=zone, typical=typical)
    told = told_after(laid.prepared, ledger, work, laid.ways)
    worths = season_worths(ledger, [one.season for one in heats], told, fan_kwh=money.fan_kwh)
    rows = zip(heats, accounts, tracks, nights, forecasts(work, told), worths, strict=True)
    return tuple(SeasonAnswer(*row) for row in rows)


@dataclass(frozen=True, slots=True, eq=False)
class _Money:
    """The money rooms' part of an answer."""

    project: Project
    typical: TypicalMoney
    worth: Worth
    builds: tuple[BuildFigures, ...]
    split: BuildSplit
    plans: tuple[Plan, ...]
    around: AroundPlans
    fan_kwh: float | None
    built_in_log: bool
    notices: tuple[Notice, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Laid:
    """What another hold temperature is reckoned from."""

    prepared: Prepared
    ways: Ways


@dataclass(frozen=True, slots=True, eq=False)
class _Sure:
    """The doubt room's part of an answer."""

    range: WorthRange
    drivers: tuple[Driver, ...]
    verdict: str
    why: str
    break_evens: tuple[BreakEven, ...]
    savings: tuple[SavingRange, ...]


def _money(ledger: Ledger, work: HeatWork, record: HourlyRecord | None, split: BuildSplit) -> _Money:
    """Everything that follows from the typical year in money."""
    heat = work.typical.heat
    fan_kwh = None if record is None else fan_energy_kwh(record, ledger.hold.season)
    running, said_running = typical_running(ledger, ledger.builds, fan_kwh=fan_kwh)
    upkeep = typical_upkeep(ledger, ledger.builds)
    years = {s.name: year_money(ledger, heat, s, running=running, upkeep=upkeep) for s in ledger.sources}
    year, said_year = years[ledger.terms.against]
    project = project_from(ledger, year)
    shares = shares_of(split.parts)
    worth = worth_of(
        project,
        against=ledger.terms.against,
        others={name: money for name, (money, _) in years.items()},
        whole_house=whole_house_project(ledger, year),
        degree_days=_degree_days(heat),
    )
    plans, around, said_plans = _plans(ledger, work, record, (fan_kwh, shares))
    return _Money(
        project=project,
        typical=typical_money(year, running=running, upkeep=upkeep),
        worth=worth,
        builds=builds(ledger, build_years(ledger, year, shares, fan_kwh=fan_kwh)),
        split=split,
        plans=plans,
        around=around,
        fan_kwh=fan_kwh,
        built_in_log=builds_before_log_ends(record, ledger),
        notices=(
            *said_running,
            *said_year,
            *worth.notices,
            *split_notices(split.parts),
            *said_plans,
            *dearer_doubts(ledger, plans, npv_against=worth.figures.npv_against),
        ),
    )


def _plans(
    ledger: Ledger, work: HeatWork, record: HourlyRecord | None, known: tuple[float | None, Mapping[str, float] | None]
) -> tuple[tuple[Plan, ...], AroundPlans, tuple[Notice, ...]]:
    """Every plan on the typical year, and what stands around them; `known`: the fan's energy, the builds' shares."""
    heat = work.typical.heat
    if heat is None:
        return (), AroundPlans(), ()
    coldest = None if record is None else record.figures.channels["outdoor"].min_c
    judged = Judged(heat, known[0], coldest, known[1])
    compared = compare_both(ledger, judged)
    around = around_plans(ledger, work.seasons, compared, judged=judged)
    return compared.plans, around, compared.notices


def _degree_days(heat: TypicalHeat | None) -> DegreeDays:
    if heat is None:
        return DegreeDays()
    return DegreeDays(heat.gdd_indoor_k_d, heat.gdd_over_outdoors_k_d, heat.gdd_by_build_k_d)


def _sure(ledger: Ledger, work: HeatWork, money: _Money) -> _Sure:
    """How sure the worth is, what moves it most, and the verdict by its rule."""
    heat, curve = work.typical.heat, work.typical.curve
    running_known = money.project.year.running_energy_cost is not None
    if heat is None or curve is None:
        judged = verdict(UNKNOWN_RANGE, Standing(None, False, running_known), greatest_doubt="")
        return _Sure(UNKNOWN_RANGE, (), str(judged.verdict), judged.why, (), ())
    chain = Chain(ledger, heat, curve, money.fan_kwh)
    spread, swings, solved = worth_range(chain), drivers(chain), break_evens(chain)
    savings = saving_ranges(chain)
    standing = Standing(curve.way, bool(curve.fraction_paths), running_known, money.built_in_log)
    greatest = in_words(swings[0].input, ledger) if swings else ""
    judged = verdict(spread, standing, greatest_doubt=greatest)
    return _Sure(spread, swings, str(judged.verdict), judged.why, solved, savings)


def _ahead(ledger: Ledger, work: HeatWork, money: _Money, sure: _Sure, laid: _Laid) -> Ahead:
    """What stands beyond the headline; nothing without a typical year."""
    heat, curve = work.typical.heat, work.typical.curve
    if heat is None or curve is None:
        return Ahead()
    chain = Chain(ledger, heat, curve, money.fan_kwh)
    return look_ahead(chain, money.project, prepared=laid.prepared, ways=laid.ways, break_evens=sure.break_evens)


def _once(notices: Sequence[Notice]) -> tuple[Notice, ...]:
    """Each warning once, in the order in which it first came."""
    return tuple(dict.fromkeys(notices))
