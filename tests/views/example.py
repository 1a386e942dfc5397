"""An appraisal made by hand, on a farm that does not exist, for the tests of the views."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import numpy as np
import pandas as pd

from ledger.appraisal import Appraisal, Identity, LogHash, Program, SeasonAnswer
from ledger.errors import Notice
from ledger.heat.results import Band, BareAnswer, BareFigures, HouseFigures, Rungs, SeasonHeat, TypicalHeat
from ledger.model.build import Build, Item
from ledger.model.heaters import Kind, Source
from ledger.model.house import BareWay, Crop, Edge, GddMethod, Hold, House, Site, Surface
from ledger.model.ledger import Ledger, Show
from ledger.model.terms import Electricity, Terms, Timing
from ledger.model.values import Assumption, Basis, MoneyRange, MonthDay, Spread, Window
from ledger.money.results import (
    BuildFigures,
    Capital,
    CapitalItem,
    CashYear,
    Driver,
    LoanFigures,
    LoanRow,
    LowestCover,
    Percentiles,
    SeasonAccount,
    TypicalMoney,
    WorthFigures,
    WorthRange,
    YearAmount,
)
from ledger.plans.results import Plan
from ledger.series.record import ChannelFigures, FileFigures, HourlyRecord, HoursByReason, LogFigures

HEX = "0123456789abcdef" * 4


def spread(value: float) -> Spread:
    return Spread(value, value * 0.8, value * 1.2, Basis.ESTIMATED)


def example_ledger() -> Ledger:
    season = Window(MonthDay(10, 1), MonthDay(4, 30))
    item = Item(
        date(2025, 6, 11), "excavation", MoneyRange.sure("3850.00"), Spread.sure(1.0), Spread.sure(30),
        MoneyRange.sure("0"), line=30,
    )  # fmt: skip
    heater = Source(
        "electric heater", Kind.ELECTRIC, "kWh", spread(0.16), Spread.sure(1), Spread.sure(1), Spread.sure(0.03),
        MoneyRange.sure("120"), Spread.sure(8), MoneyRange.sure("0"), output_kw=spread(3), backup=True,
    )  # fmt: skip
    return Ledger(
        title="Lower terrace growing house",
        show=Show.METRIC,
        site=Site(46.0, 11.0, 1450.0, "Europe/Rome"),
        house=House(
            spread(60), spread(160), (Surface("cover", spread(120), spread(2.9)),), (Edge("footing", spread(34),
            spread(0.7)),), spread(0.8), None, spread(25), BareWay.AUTO, spread(0.5), form="gable",
        ),
        hold=Hold(4.0, season),
        crop=Crop(10.0, None, GddMethod.HOURLY, season),
        terms=Terms("EUR", 2, date(2025, 9, 1), 2, Spread.sure(0.05), False, Spread.sure(0.0), Timing.END_OF_YEAR,
                    "electric heater"),
        electricity=Electricity(spread(0.16), Spread.sure(0.03)),
        builds=(Build("buried air tubes", (item,)),),
        sources=(heater,),
        running=(),
        labour_rate_per_h=None,
        logs=(),
        assumed=(Assumption("house.sun_gain", "0.5", "common practice, no source"),),
    )  # fmt: skip


def example_record() -> HourlyRecord:
    """Ten days from 2025-12-01 00:00 UTC; 2025-12-04 wholly lost, six hours of 2025-12-06 lost."""
    index = pd.date_range("2025-12-01", periods=240, freq="h", tz="UTC")
    indoor = np.full(240, 6.0)
    indoor[72:96] = np.nan
    indoor[120:126] = np.nan
    reason = pd.Series("", index=index, dtype=object)
    reason.iloc[72:96] = "stuck"
    reason.iloc[120:126] = "gap"
    hours = pd.DataFrame({"indoor": indoor, "outdoor": np.full(240, -2.0)}, index=index)
    return HourlyRecord(hours, reason, hours, 60.0, "UTC", example_log())


def example_log() -> LogFigures:
    return LogFigures(
        first="2025-12-01T00:00:00+00:00",
        last="2025-12-10T23:00:00+00:00",
        hours_span=240,
        hours_valid=210,
        coverage=0.875,
        flagged_hours=HoursByReason(stuck=24, gap=6),
        lost_hours=HoursByReason(stuck=24, gap=6),
        channels={
            "indoor": ChannelFigures(210, 6.0, 6.0, 6.0),
            "outdoor": ChannelFigures(240, -2.0, -2.0, -2.0),
        },
        files=(
            FileFigures("station.csv", 240, 216, 24, 0, 0, ",", ".", "utf-8", "%Y-%m-%d %H:%M", "local", HEX),
        ),
    )  # fmt: skip


def example_season() -> SeasonAnswer:
    heat = SeasonHeat(
        season="2025-26", hours=5088, hours_valid=4900, hours_counted=2700, coverage=0.963,
        dark_degree_hours_k_h=12000.0, rungs=Rungs(23456.0, 6789.0, 5678.0, 2400.0, 2345.6789012345),
        bare_doubt_kwh=12.0, need_kwh=3000.0, avoided_kwh=2345.6789012345, avoided_range_kwh=Band(1100.0, 3900.0),
        need_whole_season_kwh=3100.0, avoided_whole_season_kwh=2400.0,
        avoided_whole_season_range_kwh=Band(1150.0, 4000.0), passive_fraction=0.78, shortfall_kwh=650.0,
        backup_delivered_kwh=54.0,
        bare=BareFigures("twin", {"twin": BareAnswer(3000.0, 2345.7, 2000.0, 2700.0), "fan-off": None, "model": None,
                                  "lift": BareAnswer(2500.0, 1900.0, 1100.0, 3900.0)}),
        indoor_min_c=-0.4, hours_below_hold=120, hours_below_freezing=3, gdd_indoor_k_d=900.0, gdd_outdoor_k_d=400.0,
        gdd_over_outdoors_k_d=500.0, gdd_by_build_k_d=None, build_energy_kwh=410.0, avoided_per_kwh_used=5.7,
    )  # fmt: skip
    account = SeasonAccount("2025-26", 65.6, 25.0, 8.64, 12.0, 14.0, 375.31, 284.71, 284.71, 3565.29)
    return SeasonAnswer(heat, account)


def example_plans() -> tuple[Plan, ...]:
    tubes = ("buried air tubes",)
    return (
        Plan("electric heater alone", (), "electric heater", 120.0, 3000.0, 0.0, 3000.0, 480.0, 0.0, 0.0, 480.0,
             1020.0, 540.0, 0.16, 2.4, 3.0, True, False, 0, 1),
        Plan("build + electric heater", tubes, "electric heater", 3970.0, 654.0, 0.0, 654.0, 104.64, 0.0, 0.0, 195.2,
             4300.0, 2300.0, 0.16, 2.4, 3.0, True, False, 0, 2),
        Plan("build alone", tubes, None, 3850.0, 654.0, 654.0, None, None, None, None, 90.6, 4000.0, 2100.0, None,
             2.4, 0.0, False, None, None, None),
        Plan("nothing", (), None, 0.0, 3000.0, 3000.0, None, None, None, None, 0.0, 0.0, 0.0, None, 2.4, 0.0, False,
             None, None, None),
    )  # fmt: skip


def example() -> Appraisal:
    """Net capital 3,850; each year saves 375.31, costs 65.60 + 25.00, leaves 284.71; two years at 5 %.

    Payback 3850 / 284.71 = 13.52 years. NPV = -3850 + 284.71/1.05 + 284.71/1.1025
    = -3850 + 271.152381 + 258.240363 = -3320.607256.
    """
    capital = Capital(
        Decimal("3850.00"), 3850.0, 0.0, 3850.0, 40.0,
        (CapitalItem("buried air tubes", "2025-06-11", "excavation", Decimal("3850.00"), 1.0, 3850.0, 0, 30.0,
                     Decimal("0"), "paid", "receipt", "invoice 1043", "", 40.0),),
    )  # fmt: skip
    flow = (
        CashYear(0, -3850.0, 0.0, 0.0, 0.0, 0.0, 0.0, -3850.0, -3850.0, -3850.0, -3850.0),
        CashYear(1, 0.0, 375.31, -65.6, -25.0, 0.0, 0.0, 284.71, 271.152381, -3565.29, -3578.847619),
        CashYear(2, 0.0, 375.31, -65.6, -25.0, 0.0, 0.0, 284.71, 258.240363, -3280.58, -3320.607256),
    )
    profile = pd.DataFrame({"outdoor_c": [0.0], "indoor_c": [4.0], "weight": [1.0], "need_kwh": [3000.0],
                            "to_buy_kwh": [654.3]})  # fmt: skip
    loan = LoanFigures(
        "farm credit", 155.0, (LoanRow(1, "2025-11-01", 155.0, 20.0, 135.0, 8865.0),),
        (YearAmount(1, 1860.0),), (YearAmount(1, 0.15),), LowestCover(1, 0.15), (YearAmount(1, -1575.0),),
    )  # fmt: skip
    return Appraisal(
        program=Program("warmledger", "0.1.0"),
        identity=Identity("Lower terrace growing house", "EUR", "ledger.toml", HEX, (LogHash("station.csv", HEX),)),
        source=example_ledger(),
        house=HouseFigures(348.0, 36.0, 23.8, 407.8, 407.8, 1.012, 60.0, 160.0, 120.0),
        record=example_record(),
        log=example_log(),
        seasons=(example_season(),),
        typical_heat=TypicalHeat("logged seasons", (4,), 3000.0, 2345.7, Band(2000.0, 2700.0), 654.3, True, 900.0,
                                 500.0, None, (10, 11, 12), profile),
        typical_money=TypicalMoney(65.6, 25.0, 375.31, 284.71, (7, 8)),
        capital=capital,
        worth=WorthFigures(
            "electric heater", 13.5225, 13.5225, 13.5225, None, None, -3320.607256, -3320.607256,
            {"electric heater": -3320.607256}, None, None, 0.1375, -0.5, 4018.46, 2161.1, 0.921, 0.16, 4.3, 7.7, None,
        ),
        worth_range=WorthRange(Percentiles(-3500.0, -3320.0, -3100.0), Percentiles(11.0, 13.5, 17.0), 0.0, 20000, 7),
        drivers=(Driver("price of electric heater", -3450.0, -3200.0), Driver("house.air_changes", -3400.0, -3250.0)),
        verdict="does not pay",
        why="What it saves is worth less than what it cost over 2 years.",
        builds=(BuildFigures("buried air tubes", 2345.7, 3850.0, 13.5225, -3320.607256),),
        cash_flow=flow,
        loans=(loan,),
        plans=example_plans(),
        assumed=(Assumption("house.sun_gain", "0.5", "common practice, no source"),),
        warnings=(Notice("months-not-logged", "April was not logged; its avoided heat is taken as 0.", "climate", 12),),
    )  # fmt: skip


def example_by_lift() -> Appraisal:
    """The same, with the bare house only assumed and a hostile title."""
    whole = example()
    season = whole.seasons[0]
    heat = replace(season.heat, bare=replace(season.heat.bare, used="lift"))
    return replace(
        whole,
        seasons=(SeasonAnswer(heat, season.account),),
        verdict="not yet known",
        why="The bare house is only assumed.",
        worth_range=WorthRange(Percentiles(-3500.0, -3320.0, -3100.0), Percentiles(8.2, 13.5, None), None, 0, 0),
    )
