"""Without a contrast a free-floating log fixes ratios, not kilowatt-hours: the range is the doubt about H and more."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from ledger.heat.housemodel.answer import HouseModelAnswer
from tests.housemodel.calibrate import answer_of
from tests.planted.plain_farm import LEDGER, station

EXACT = (
    ('volume = "150 m3"', 'volume = { likely = "150 m3", exact = true }'),
    ("air_changes = 0.8", "air_changes = { likely = 0.8, exact = true }"),
    ('area = "140 m2"', 'area = { likely = "140 m2", exact = true }'),
    ('length = "32 m"', 'length = { likely = "32 m", exact = true }'),
    ('loss = "0.8 W/m/K"', 'loss = { likely = "0.8 W/m/K", exact = true }'),
)
BEFORE = (
    "amount = 3000\n",
    'amount = 3000\n[[build.before]]\nsurface = "skin"\nu_value = { likely = "4.5 W/m2/K", exact = true }\n',
)
U = ('u_value = "3 W/m2/K"', 'u_value = {{ low = "{} W/m2/K", likely = "3 W/m2/K", high = "{} W/m2/K" }}')


def answered(folder: Path, low: float, high: float) -> HouseModelAnswer:
    """A second skin whose U-value alone is doubtful; nothing but indoors and outdoors is logged."""
    text = LEDGER
    for old, new in (*EXACT, BEFORE, (U[0], U[1].format(low, high))):
        assert text.count(old) == 1
        text = text.replace(old, new)
    (folder / "ledger.toml").write_text(text, encoding="utf-8")
    station().tz_localize(None).to_csv(folder / "log.csv", date_format="%Y-%m-%d %H:%M")
    return answer_of(folder)


@pytest.mark.parametrize(("low", "high"), [(2.4, 3.6), (1.2, 5.4)])
def test_the_range_is_never_narrower_than_the_doubt_about_the_heat_loss(
    low: float, high: float, tmp_path: Path
) -> None:
    """H = 140 m2 · U + 32 · 0.8 + air: 1.1 kg/m3 · 1006 · 150 · 0.8 / 3600 = 37 W/K; U from a triangle of numpy's.

    Heat avoided goes with H, so that ten in a hundred lie 1.2816 standard deviations of log H above, and below.
    """
    answer = answered(tmp_path, low, high)
    (season,) = answer.seasons.values()
    assert season.contrasts == ()
    assert not answer.believed
    assert any("fixes kilowatt-hours" in why for why in answer.why_not)
    drawn = 140.0 * np.random.default_rng(5).triangular(low, 3.0, high, 100_000) + 25.6 + 37.0
    doubt = float(np.std(np.log(drawn)))
    found = season.answer.model.valid
    assert found.p90 - found.avoided_kwh >= 1.2816 * doubt * found.avoided_kwh
    assert found.avoided_kwh - found.p10 >= 1.2816 * doubt * found.avoided_kwh
