"""Hold the house model against simulated houses of other physics and print how far it was off: run by hand.

usage: python -m tests.housemodel.calibrate FOLDER [COUNT] [SEED] [FIRST] [LAST]

Farms are drawn and written to FOLDER unless they stand there already; then each is read like a grower's own and fitted.
The scale of an error is the true avoided heat, or a tenth of the bare need where that is larger.
"""

from __future__ import annotations

import json
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from ledger.heat.housemodel.answer import HouseModelAnswer, fit_house
from ledger.heat.reckoning import prepare
from ledger.intake.ledger_file import read_ledger
from ledger.intake.log_files import read_logs
from ledger.series.hourly import hourly_record
from tests.housemodel.farms import draw_farms, simulate, write_farm


@dataclass(frozen=True, slots=True)
class Row:
    """One farm: what was found, what is true, in kWh."""

    name: str
    kind: str
    true_kwh: float
    need_kwh: float
    found_kwh: float
    p10: float
    p90: float
    believed: bool

    @property
    def scale_kwh(self) -> float:
        """What errors are shares of."""
        return max(abs(self.true_kwh), 0.1 * self.need_kwh)

    @property
    def error(self) -> float:
        """Found less true, as a share of the scale."""
        return (self.found_kwh - self.true_kwh) / self.scale_kwh

    @property
    def holds(self) -> bool:
        """Whether the range holds the truth."""
        return self.p10 <= self.true_kwh <= self.p90

    @property
    def width(self) -> float:
        """Width of the range as a share of the scale."""
        return (self.p90 - self.p10) / self.scale_kwh


def write_farms(folder: Path, count: int, seed: int) -> None:
    """Draw, simulate and write farms with their truth."""
    farms = draw_farms(count, seed)
    logged, truths = simulate(farms, seed)
    for house, truth in enumerate(truths):
        place = folder / f"h{house:02d}"
        write_farm(place, farms, logged, house, seed)
        known = {"avoided_kwh": truth.avoided_kwh, "heater_without_kwh": truth.bare_kwh}
        (place / "truth.json").write_text(json.dumps(known), encoding="utf-8")


def answer_of(place: Path) -> HouseModelAnswer:
    """Read a farm like a grower's own and fit it."""
    ledger = read_ledger(place / "ledger.toml").ledger
    readings = read_logs(ledger.logs, folder=place, site_timezone=ledger.site.timezone)
    record, _ = hourly_record(readings, timezone=ledger.site.timezone, latitude_deg=ledger.site.latitude_deg)
    return fit_house(record, prepare(record, ledger), ledger)


def row_of(place: Path) -> Row | None:
    """A farm's row; None, with a line that says why, where the model gave no answer."""
    truth = json.loads((place / "truth.json").read_text(encoding="utf-8"))
    answer = answer_of(place)
    if not answer.seasons:
        print(f"{place.name}: no answer: {'; '.join(answer.why_not)}")  # noqa: T201 a script prints
        return None
    season = next(iter(answer.seasons.values()))
    whole = season.answer.model.whole or season.answer.model.valid
    text = (place / "ledger.toml").read_text(encoding="utf-8")
    kind = " ".join(
        w for w, has in (("tubes", "tubes" in text), ("tank", "tank" in text), ("sun", "sun =" in text)) if has
    )
    return Row(
        place.name,
        kind,
        truth["avoided_kwh"],
        truth["heater_without_kwh"],
        whole.avoided_kwh,
        whole.p10,
        whole.p90,
        answer.believed,
    )


def main() -> None:
    """Print a line a farm and the table to be quoted."""
    folder = Path(sys.argv[1])
    count, seed = (int(a) for a in (sys.argv[2:4] or ("48", "7")))
    if not (folder / "h00").exists():
        write_farms(folder, count, seed)
    first, last = (int(a) for a in (sys.argv[4:6] or ("0", str(count))))
    rows = []
    for place in sorted(folder.glob("h*"))[first:last]:
        row = row_of(place)
        if row is not None:
            rows.append(row)
            print(line(row), flush=True)  # noqa: T201 a script prints
    print("\n".join(table(rows)))  # noqa: T201


def line(row: Row) -> str:
    """One farm in a line."""
    found = f"true {row.true_kwh:7.0f} found {row.found_kwh:7.0f} ({row.error:+5.0%})"
    held = f"range {row.p10:.0f}..{row.p90:.0f} {'holds' if row.holds else 'MISSES'} (width {row.width:.0%})"
    return f"{row.name} {row.kind:15} {found} {held}{'' if row.believed else '  not believed'}"


def table(rows: list[Row]) -> list[str]:
    """By kind, those believed, those not, all: how far off, how often the range holds the truth, how wide it is."""
    groups = [(kind, [r for r in rows if r.kind == kind]) for kind in sorted({r.kind for r in rows})]
    groups += [
        ("believed", [r for r in rows if r.believed]),
        ("not believed", [r for r in rows if not r.believed]),
        ("all", rows),
    ]
    head = [
        "| farms | number | median error | bias | worst | range holds | median width |",
        "|---|---|---|---|---|---|---|",
    ]
    return head + [summary(kind, some) for kind, some in groups if some]


def summary(kind: str, rows: list[Row]) -> str:
    """A row of the table."""
    errors = np.array([r.error for r in rows])
    held, width = np.mean([r.holds for r in rows]), np.median([r.width for r in rows])
    return (
        f"| {kind} | {len(rows)} | {np.median(abs(errors)):.1%} | {np.median(errors):+.1%} | {abs(errors).max():.0%} "
        f"| {held:.0%} | {width:.0%} |"
    )


if __name__ == "__main__":
    main()
