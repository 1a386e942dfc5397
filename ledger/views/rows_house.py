"""Rows about the house, its warmth for plants, and its log."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.views.figures import Measure
from ledger.views.row import Row


def warmth_rows(a: Appraisal) -> tuple[Row, ...]:
    """Growing degree-days of a typical year, and what one of them costs."""
    h, w, method = a.typical_heat, a.worth, f"method: {a.source.crop.method.value}"
    pairs = (
        ("indoor", "indoors", None if h is None else h.gdd_indoor_k_d, w.cost_per_gdd_indoor),
        (
            "over_outdoors", "above outdoors (glass and build)",
            None if h is None else h.gdd_over_outdoors_k_d, w.cost_per_gdd_over_outdoors,
        ),
        ("by_build", "by the build alone", None if h is None else h.gdd_by_build_k_d, w.cost_per_gdd_by_build),
    )  # fmt: skip
    rows: list[Row] = []
    for key, where, days, cost in pairs:
        label = f"Growing degree-days {where}"
        rows.append(Row(f"typical_year.gdd_{key}_k_d", label, days, Measure.DEGREE_DAYS, method, "typical year"))
        label = f"Cost of a degree-day {where}"
        source = "yearly cost over degree-days"
        rows.append(Row(f"worth.cost_per_gdd_{key}", label, cost, Measure.COST_PER_DEGREE_DAY, method, source))
    return tuple(rows)


def house_rows(a: Appraisal) -> tuple[Row, ...]:
    """Measures of the house and its heat loss by part."""
    h = a.house
    parts = "measures of the ledger"
    standard = "ISO 13789"
    return (
        Row("house.floor_area_m2", "Floor", h.floor_area_m2, Measure.AREA, parts),
        Row("house.cover_area_m2", "Cover and walls", h.cover_area_m2, Measure.AREA, parts),
        Row("house.volume_m3", "Air in it", h.volume_m3, Measure.VOLUME, parts),
        Row("house.air_density_kg_per_m3", "Weight of that air", h.air_density_kg_per_m3, Measure.DENSITY, "elevation",
            "ISO 2533"),
        Row("house.conduction_w_per_k", "Heat loss through the cover", h.conduction_w_per_k, Measure.HEAT_LOSS, parts,
            standard),
        Row("house.air_leakage_w_per_k", "Heat loss by leaks", h.air_leakage_w_per_k, Measure.HEAT_LOSS, parts,
            standard),
        Row("house.edge_w_per_k", "Heat loss along the footing", h.edge_w_per_k, Measure.HEAT_LOSS, parts, standard),
        Row("house.heat_loss_w_per_k", "Heat loss in all (H)", h.heat_loss_w_per_k, Measure.HEAT_LOSS, parts, standard),
        Row("house.bare_heat_loss_w_per_k", "the same without the build", h.bare_heat_loss_w_per_k, Measure.HEAT_LOSS,
            parts, standard),
    )  # fmt: skip


def cover_rows(a: Appraisal) -> tuple[Row, ...]:
    """How much of the log was read well."""
    log = a.log
    if log is None:
        return ()
    return (
        Row("log.first", "First reading", log.first, Measure.WORDS, "log"),
        Row("log.last", "Last reading", log.last, Measure.WORDS, "log"),
        Row("log.hours_span", "Hours from first to last", log.hours_span, Measure.HOURS, "log"),
        Row("log.hours_valid", "Hours read well, indoors and outdoors", log.hours_valid, Measure.HOURS, "log"),
        Row("log.coverage", "Share read well", log.coverage, Measure.SHARE, "log"),
    )
