"""This winter's file is laid beside the others, nothing else is changed, and the older seasons stand as they stood."""

from __future__ import annotations

import json
import re
import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

from ledger.heat.bare import NO_WAYS, ModelSeason
from ledger.heat.forecast import told_after
from ledger.heat.reckoning import heat_work, prepare
from ledger.heat.results import BareAnswer
from ledger.heat.season_moves import moved_notices
from ledger.intake.gather import gather, gather_and_appraise
from ledger.money.season_account import season_accounts
from ledger.money.season_worth import season_worths
from ledger.views.json_view import appraisal_document, to_bytes
from tests.demo import DEMO
from tests.heat.builders import ledger_of, plain_house, spread, winter_record

VANTAREL = DEMO / "vantarel"
LATER_MAY_MOVE = ("track", "typical_year_then", "nights")
"""What holds a season against the typical year, which a new winter is part of."""


def _folder(folder: Path, *winters: str, **entries: str) -> Path:
    """The demo with the files of some winters and some entries typed otherwise; its ledger."""
    folder.mkdir()
    text = (VANTAREL / "ledger.toml").read_text(encoding="utf-8")
    for key, value in entries.items():
        text, changed = re.subn(rf"(?m)^{key} = .*$", f"{key} = {value}", text, count=1)
        assert changed == 1, key
    (folder / "ledger.toml").write_text(text, encoding="utf-8")
    for winter in winters:
        shutil.copy(VANTAREL / f"station-{winter}.csv", folder)
    return folder / "ledger.toml"


def _with_the_model_on(folder: Path, *winters: str) -> list[dict[str, Any]]:
    """Six weeks of each winter, so that the fits take less time; the crop's window is the same six weeks."""
    weeks = '{ begins = "12-15", ends = "01-31" }'
    path = _folder(folder, *winters, bare='"model"', season=weeks, begins='"12-15"', ends='"01-31"')
    return list(json.loads(to_bytes(appraisal_document(gather_and_appraise(path))))["seasons"])


def _own(season: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in season.items() if key not in LATER_MAY_MOVE}


def test_with_the_house_model_on_a_new_winter_leaves_the_older_one_as_it_was(tmp_path: Path) -> None:
    """The same ledger, first with one winter's file in its folder and then with two. Each season is fitted by itself,
    so the model learns nothing about the first winter from the second: heat, ranges and account stay to the last digit.
    """
    one = _with_the_model_on(tmp_path / "one", "2023-24")
    two = _with_the_model_on(tmp_path / "two", "2023-24", "2024-25")
    assert [s["season"] for s in one] == ["2023-24"]
    assert [s["season"] for s in two] == ["2023-24", "2024-25"]
    assert one[0]["bare"]["used"] == two[0]["bare"]["used"] == "model"
    assert _own(one[0]) == _own(two[0])
    assert one[0]["typical_year_then"] == two[0]["typical_year_then"]


def test_with_a_twin_the_older_winters_stand_as_they_stood_before_the_third(tmp_path: Path) -> None:
    """Heat, accounts and the typical year as it was known then, without the fits, which a twin does not need."""
    told = []
    for name, winters in (("two", ("2023-24", "2024-25")), ("three", ("2023-24", "2024-25", "2025-26"))):
        gathered = gather(_folder(tmp_path / name, *winters))
        ledger, prepared = gathered.ledger, prepare(gathered.record, gathered.ledger)
        work = heat_work(prepared, ledger)
        heats = [one.heat for one in work.seasons]
        accounts, _ = season_accounts(ledger, heats, typical=work.typical.heat, net_capital=2143.0)
        worths = season_worths(
            ledger, [h.season for h in heats], told_after(prepared, ledger, work, NO_WAYS), fan_kwh=None
        )
        told.append((heats[:2], accounts[:2], worths[:2]))
    assert told[0] == told[1]


@pytest.mark.parametrize("new_one_believed", [True, False])
def test_where_a_new_winter_ends_the_belief_in_the_model_it_is_said_by_how_much_an_older_one_moves(
    new_one_believed: bool,
) -> None:
    """Two winters; the model says of the first that 77 kWh were not bought. It answers as long as the fits of all
    winters are believed; where the second winter's is not, the lift answers for the first one too, and that is said."""
    ledger = ledger_of(plain_house(lift=spread(2.0, 1.0, 3.0)))
    prepared = prepare(winter_record(2, seed=4), ledger)
    by_lift = heat_work(prepared, ledger)
    answer = BareAnswer(100.0, 77.0, 70.0, 84.0)
    model = {}
    for season in by_lift.seasons:
        hours = season.year.begins_utc
        none = season.year.indoor_c * 0.0
        series = {name: _series(none, hours) for name in ("bare", "built", "need", "buy")}
        model[season.heat.season] = ModelSeason(
            answer, None, series["bare"], series["built"], series["need"], series["buy"]
        )
    ways = replace(NO_WAYS, model=model, model_believed=new_one_believed)
    work = heat_work(prepared, ledger, ways=ways)
    first, second = (one.heat.season for one in work.seasons[:2])
    said = moved_notices(ledger, work, ways, believed={first: True, second: new_one_believed})
    if new_one_believed:
        assert said == ()
        return
    (notice,) = said
    assert notice.code == "season-moved"
    assert f"from 77 to {by_lift.seasons[0].heat.avoided_kwh:,.0f} kWh" in notice.text
    assert "(lift, before model)" in notice.text


def _series(values: Any, hours: Any) -> Any:
    return pd.Series(values, index=hours).fillna(0.0)
