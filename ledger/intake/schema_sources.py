"""The keys of the sections on heat sources."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, PlainValidator

from ledger.intake import schema_kinds as k
from ledger.intake.scalars import bare, choice
from ledger.intake.slips import slip
from ledger.intake.values import Says
from ledger.model.heaters import CopPoint, Kind


def _cop_points(raw: object) -> tuple[CopPoint, ...]:
    """Pairs of outdoor temperature [°C] and coefficient of performance."""
    if not isinstance(raw, list) or not raw or any(not isinstance(pair, list) or len(pair) != 2 for pair in raw):
        raise slip("cop is no list of pairs", "write it like cop = [[-15, 1.8], [0, 2.7], [10, 3.4]] (degC, COP)")
    points = sorted((CopPoint(bare(pair[0]), bare(pair[1])) for pair in raw), key=lambda point: point.outdoor_c)
    for point in points:
        if not 0.5 <= point.cop <= 12:
            raise slip(f"a COP of {point.cop:g} is not between 0.5 and 12", "write pairs of degC and COP: [[0, 2.7]]")
        if not -60 <= point.outdoor_c <= 50:
            raise slip(
                f"{point.outdoor_c:g} is no outdoor temperature in degC", "write pairs of degC and COP: [[0, 2.7]]"
            )
    if len({point.outdoor_c for point in points}) < len(points):
        raise slip("one outdoor temperature has two COPs", "give each temperature one COP")
    return tuple(points)


class TariffRow(k.Section):
    """`[[source.tariff]]`: a price from a date on."""

    since: k.Day = Field(description="first day of the price")
    price: k.Price = Field(description="price per unit from then on")


class SourceRow(k.Section):
    """`[[source]]`: a way to buy heat."""

    name: k.Text = Field(description="what it is called")
    kind: Annotated[Kind, PlainValidator(choice(Kind)), Says("one of the kinds of heat source")] = Field(
        description="its kind: " + ", ".join(f'"{kind.value}"' for kind in Kind)
    )
    unit: k.Text | None = Field(None, description="the unit it is bought in; else by kind")
    price: k.Price | None = Field(None, description="price per unit; electric: else that of [electricity]")
    heat_per_unit: k.Energy | None = Field(
        None, description="gross heat in one unit; else by kind, but never for cordwood"
    )
    heat_basis: k.FreeText = Field("", description="what heat_per_unit rests on: gross or net, moisture, solid volume")
    efficiency: k.Efficiency | None = Field(None, description="delivered over gross; else by kind")
    cop: Annotated[tuple[CopPoint, ...], PlainValidator(_cop_points), Says("pairs of degC and COP")] | None = Field(
        None, description="coefficient of performance of a heat pump by outdoor temperature"
    )
    price_growth: k.Rate | None = Field(None, description="rise of its price a year; else inflation")
    capital: k.Money | None = Field(None, description="what it costs to buy; absent: unknown")
    bought: k.Day | None = Field(None, description="owned already, since then")
    life_years: k.Years | None = Field(None, description="how long it lasts; else by kind")
    upkeep: k.Money | None = Field(None, description="per year")
    output: k.Power | None = Field(None, description="the most that one gives; absent: unknown")
    units: k.Count | None = Field(None, description="how many there are; else 1")
    hours_per_unit: k.Hours | None = Field(None, description="own work per unit of fuel; wood: else unknown")
    burn_hours: k.PositiveHours | None = Field(None, description="heat from one load")
    needs_mains: k.Flag | None = Field(None, description="whether it stops in a power cut; else by kind")
    backup: k.Flag = Field(False, description="whether it stands by in the house today")
    then: k.Text | None = Field(None, description="the source that gives the heat above this one's output")
    tariff: list[TariffRow] = Field(default_factory=list, description="later or earlier prices")
