"""The built-in table against the published values it names."""

from __future__ import annotations

import pytest

from ledger import sources as s
from ledger.model.heaters import Kind
from ledger.model.values import Basis


def test_every_row_has_a_source_and_its_ends_in_order() -> None:
    rows = [row for cover in s.COVERS.values() for row in (cover.u_value, cover.light, cover.air_changes) if row]
    rows += [row for fuel in s.FUELS.values() for row in (fuel.efficiency, fuel.life_years) if row]
    rows += [content.row for fuel in s.FUELS.values() for content in fuel.contents]
    rows += [life.row for life in s.LIVES] + [s.EDGE_UNINSULATED, s.NIGHT_FLOOR_HEAT, s.SUN_GAIN, s.INFLATION]
    for row in rows:
        assert row.source
        assert 0 <= row.low <= row.likely <= row.high


# heat.md, glazing table: cover, W/m2/K as printed there, its rounding
U_VALUES = [
    ("single glass", 6.2, 0.06),
    ("single PE film", 6.5, 0.06),
    ("double PE film", 4.0, 0.06),
    ("double glass", 2.81, 0.005),
    ("twin-wall polycarbonate 6 mm", 3.58, 0.005),
    ("twin-wall polycarbonate 10 mm", 3.04, 0.005),
    ("triple-wall polycarbonate 16 mm", 2.33, 0.005),
]


@pytest.mark.parametrize(("name", "printed", "tolerance"), U_VALUES)
def test_covers_carry_the_published_u_values(name: str, printed: float, tolerance: float) -> None:
    assert s.COVERS[name].u_value.likely == pytest.approx(printed, abs=tolerance)


def test_the_8_mm_sheet_lies_between_its_two_sources() -> None:
    """3.01 (a vendor's page) and 3.7 (from memory, EP406)."""
    assert 3.01 < s.COVERS["twin-wall polycarbonate 8 mm"].u_value.likely < 3.7


def test_no_plain_u_value_is_surer_than_15_per_cent_and_no_leak_than_half_to_double() -> None:
    for cover in s.COVERS.values():
        u, leaks = cover.u_value, cover.air_changes
        assert u.low <= u.likely * 0.85 + 1e-9
        assert u.high >= u.likely * 1.15 - 1e-9
        assert leaks.low <= leaks.likely * 0.5
        assert leaks.high >= leaks.likely * 2.0


def test_uninsulated_edge_is_0_73_btu_of_the_washington_code() -> None:
    """0.73 Btu/h·ft·°F = 1.263 W/m·K (table A106.1, 2013)."""
    assert s.EDGE_UNINSULATED.likely == pytest.approx(1.263, abs=0.0006)


@pytest.mark.parametrize(
    ("kind", "unit", "btu"),
    [
        ("propane", "gal", 91_000),
        ("heating oil", "gal", 138_000),
        ("natural gas", "therm", 100_000),
        ("natural gas", "ft3", 1026),
        ("pellets", "lb", 8200),
        ("pellets", "short_ton", 16_400_000),
        ("electric resistance", "kWh", 3412.142),
    ],
)
def test_fuels_hold_the_published_heat(kind: str, unit: str, btu: float) -> None:
    """40 CFR 98 table C-1 (2016); Univ. of Connecticut Extension 2013 for pellets; 3412 Btu/kWh."""
    row = next(c.row for c in s.FUELS[kind].contents if c.unit == unit)
    assert row.likely * 3412.142 == pytest.approx(btu, rel=2e-6)


def test_a_litre_of_propane_holds_what_a_gallon_holds_over_its_litres() -> None:
    by_unit = {c.unit: c.row.likely for c in s.FUELS["propane"].contents}
    assert by_unit["gal"] / by_unit["L"] == pytest.approx(3.785412, rel=1e-6)


def test_every_kind_of_source_has_its_defaults() -> None:
    assert set(s.FUELS) == {kind.value for kind in Kind}


def test_bases_are_the_ledgers() -> None:
    assert {k.value for k in s.Knowing} == {b.value for b in Basis}
    widths = {k.value: w for k, w in s.HALF_WIDTHS.items()}
    assert (widths["metered"], widths["receipt"], widths["quoted"]) == (0.03, 0.0, 0.10)
    assert (widths["published"], widths["estimated"]) == (0.15, 0.25)


def test_rocket_heaters_say_that_nobody_has_tested_them() -> None:
    row = s.FUELS["rocket mass heater"].efficiency
    assert row is not None
    assert "no accredited" in row.source
    assert (row.low, row.high) == (0.5, 0.75)
    assert s.WOOD_CAP == 0.85


def test_no_cord_of_wood_has_a_default() -> None:
    for kind in s.WOOD_KINDS:
        assert "cord" not in [content.unit for content in s.FUELS[kind].contents]


@pytest.mark.parametrize(
    ("what", "kind"),
    [
        ("excavation", "earthwork"),
        ("buried tubes, 4 in", "tubes"),
        ("digging and tubing", "tubes"),
        ("inline fan 90 W", "fan"),
        ("two fans", "fan"),
        ("water tank 4200 L", "tank"),
        ("insulation of the north wall", "insulation"),
        ("EPS boards", "insulation"),
        ("second layer of film", "film"),
        ("polycarbonate sheets", "polycarbonate"),
        ("thermostat and cable", "electrics"),
        ("fantasy", "any item"),
        ("mystery", "any item"),
    ],
)
def test_lives_are_known_by_the_words_of_an_item(what: str, kind: str) -> None:
    assert s.life_of(what)[0] == kind


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("Twin-Wall Polycarbonate 10mm", "twin-wall polycarbonate 10 mm"),
        ("twinwall polycarbonate 8 mm", "twin-wall polycarbonate 8 mm"),
        ("polycarbonate 6 mm", "twin-wall polycarbonate 6 mm"),
        ("Glass", "single glass"),
        ("double film", "double PE film"),
    ],
)
def test_covers_are_known_by_their_other_names(typed: str, name: str) -> None:
    cover = s.cover_named(typed)
    assert cover is not None
    assert cover.name == name
