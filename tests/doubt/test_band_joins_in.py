"""The house model's own range joins the draws as it stands: its p10 and p90 are those of the worth, all else sure."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.doubt.draws import worth_range
from ledger.heat.curve import model_input
from ledger.heat.draws import from_band
from ledger.heat.results import Band
from ledger.model.house import BareWay
from tests.doubt.made import UPV, chain_of


@pytest.mark.parametrize(("p10", "p90"), [(600.0, 900.0), (700.0, 990.0), (420.0, 800.0)])
def test_the_model_s_band_is_the_worth_s_band(p10: float, p90: float) -> None:
    """Avoided 750 kWh at 0.20, the fan 20 a year, a trench of 1,500: NPV = (0.20 · q − 20) · UPV* − 1,500."""
    doubt = model_input(750.0, Band(p10, p90))
    answer = worth_range(chain_of(heat_inputs=((doubt, 1.0),), way=BareWay.MODEL)).npv
    width = 0.20 * (p90 - p10) * UPV
    assert answer.p10 == pytest.approx((0.20 * p10 - 20) * UPV - 1500, abs=0.01 * width)
    assert answer.p90 == pytest.approx((0.20 * p90 - 20) * UPV - 1500, abs=0.01 * width)


@settings(deadline=None)
@given(st.floats(-1e4, 1e4), st.floats(0, 1e4), st.floats(0, 1e4))
def test_the_triangle_of_a_band_has_its_percentiles(likely: float, below: float, above: float) -> None:
    """Forward, by the distribution's own formula: P(X < p10) = (p10 − low)²/((high − low)(likely − low)) = 0.1."""
    found = from_band(likely, p10=likely - below, p90=likely + above)
    assert found.low <= found.likely <= found.high
    width = found.high - found.low
    if below > 1e-3 * (below + above) and below > 1e-6:
        assert (likely - below - found.low) ** 2 / (width * (likely - found.low)) == pytest.approx(0.1, abs=1e-4)
    if above > 1e-3 * (below + above) and above > 1e-6:
        assert (found.high - likely - above) ** 2 / (width * (found.high - likely)) == pytest.approx(0.1, abs=1e-4)


def test_a_band_on_one_side_ends_at_the_likely_value() -> None:
    """With nothing below it, the likely value is the tenth percentile; the triangle reaches on below it."""
    found = from_band(10.0, p10=12.0, p90=14.0)
    assert math.isclose((10.0 - found.low) / (found.high - found.low), 0.1, rel_tol=1e-9)
    assert from_band(10.0, p10=10.0, p90=10.0).high == 10.0
