"""Cut simulated logs short and print how far off the whole season is then: run by hand.

usage: python -m tests.housemodel.cut FOLDER [COUNT] [SEED]

Farms as for the calibration, drawn and written to FOLDER unless they stand there already. Each is answered with its log
begun late, ended early, and with a month's hole; truth and scale as in the calibration, over the whole season.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Mapping
from pathlib import Path

import numpy as np
import pandas as pd

from ledger.heat.results import BareAnswer
from tests.housemodel.calibrate import Row, answer_of, line, write_farms

DAY = 96


def begun_late(table: pd.DataFrame) -> pd.DataFrame:
    """Nothing before the middle of November."""
    return table.iloc[45 * DAY :]


def ended_early(table: pd.DataFrame) -> pd.DataFrame:
    """Nothing after the end of February."""
    return table.iloc[: -60 * DAY]


def a_month_lost(table: pd.DataFrame) -> pd.DataFrame:
    """Four weeks from the middle of December on."""
    return table.drop(table.index[75 * DAY : 103 * DAY])


CUTS: Mapping[str, Callable[[pd.DataFrame], pd.DataFrame]] = {
    "begun late": begun_late,
    "ended early": ended_early,
    "a month lost": a_month_lost,
}


def cut_farm(place: Path, into: Path, cut: Callable[[pd.DataFrame], pd.DataFrame]) -> None:
    """Write a farm with its log cut."""
    into.mkdir(parents=True, exist_ok=True)
    table = pd.read_csv(place / "log.csv", dtype=str)
    cut(table).to_csv(into / "log.csv", index=False)
    (into / "ledger.toml").write_text((place / "ledger.toml").read_text(encoding="utf-8"), encoding="utf-8")
    (into / "truth.json").write_text((place / "truth.json").read_text(encoding="utf-8"), encoding="utf-8")


def whole_of(place: Path) -> tuple[BareAnswer | None, bool]:
    """The whole season of a farm, and whether the model is believed."""
    answer = answer_of(place)
    season = next(iter(answer.seasons.values()), None)
    return (None if season is None else season.answer.model.whole), answer.believed


def main() -> None:
    """Print a line a farm and cut, and how often the range held the truth."""
    folder = Path(sys.argv[1])
    count, seed = (int(a) for a in (sys.argv[2:4] or ("8", "61")))
    if not (folder / "h00").exists():
        write_farms(folder, count, seed)
    rows: dict[str, list[Row]] = {}
    for place in sorted(folder.glob("h[0-9][0-9]"))[:count]:
        for name, cut in CUTS.items():
            into = folder / "cut" / name.replace(" ", "-") / place.name
            cut_farm(place, into, cut)
            whole, believed = whole_of(into)
            if whole is None:
                continue
            truth = json.loads((place / "truth.json").read_text(encoding="utf-8"))
            row = Row(
                place.name,
                name,
                truth["avoided_kwh"],
                truth["heater_without_kwh"],
                whole.avoided_kwh,
                whole.p10,
                whole.p90,
                believed,
            )
            need = whole.need_kwh / truth["heater_without_kwh"] - 1.0
            print(f"{line(row)} need {need:+.0%}", flush=True)  # noqa: T201 a script prints
            rows.setdefault(name, []).append(row)
    for name, some in rows.items():
        errors = np.array([abs(r.error) for r in some])
        held, width = np.mean([r.holds for r in some]), np.median([r.width for r in some])
        print(  # noqa: T201
            f"{name}: {len(some)} farms, median error {np.median(errors):.1%}, worst {errors.max():.0%}, "
            f"range holds {held:.0%}, median width {width:.0%}"
        )


if __name__ == "__main__":
    main()
