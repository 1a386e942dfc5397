"""Night by night: values from the log, whose sums are the rungs of each season."""

from __future__ import annotations

from dataclasses import dataclass, field

from openpyxl.styles import Alignment
from openpyxl.utils import get_column_letter as letter

from ledger.heat.night_sums import NightSums, night_sums
from ledger.heat.results import SeasonHeat
from ledger.views.figures import Measure, unit_of
from ledger.views.live import Live, label, say_agreement
from ledger.views.sheet import Paper, Sheet, freeze_heads, put_text, set_widths

HEADS = ("Evening", "Season", "Hours read", "Hours counted", "Coldest outdoors", "Coldest indoors", "Hold",
         "Below hold outdoors, degree-hours", "All the warmth", "With no memory", "Held", "Needed without the build",
         "Missing below hold", "Added by the build")  # fmt: skip
OUTDOOR, INDOOR, HOLD, COLD, GROSS, LOAD, HELD, NEED, MISSING, ADDED = range(5, 15)
_BESIDE = 17


@dataclass(frozen=True, slots=True)
class NightPlaces:
    """Where the nights stand, and the pairs of totals that must agree (words, one way, another way)."""

    first: int = 1
    last: int = 0
    unit: str = ""
    checks: list[tuple[str, str, str]] = field(default_factory=list)
    lines: tuple[int, ...] = (OUTDOOR, INDOOR, HOLD)
    beside: str = letter(_BESIDE)
    beside_last: str = letter(_BESIDE + 15)


def nights_sheet(live: Live) -> NightPlaces:
    """A row from noon to noon, then each season's sums beside the rungs as filed."""
    a = live.appraisal
    sheet = live.sheet("nights", Paper.ACROSS)
    work = a.work
    nights = () if work is None else night_sums(
        work.seasons, work.loss, hold_c=a.source.hold.temperature_c, timezone=a.source.site.timezone
    )  # fmt: skip
    if not nights:
        sheet.words("There is no night yet: no log reaches into a season.")
        set_widths(sheet)
        return NightPlaces()
    sheet.head(HEADS, right=range(3, len(HEADS) + 1))
    freeze_heads(sheet, row=2, column=2)
    first = sheet.at
    for night in nights:
        _night(sheet, night, a.source.hold.temperature_c)
    last = sheet.at - 1
    sheet.blank()
    checks = [pair for one in a.seasons for pair in _season(sheet, one.heat, first, last)]
    set_widths(sheet, widest=13)
    return NightPlaces(first, last, unit_of(Measure.TEMPERATURE, sheet.style), checks)


def _night(sheet: Sheet, night: NightSums, hold_c: float) -> None:
    put_text(sheet.page.cell(sheet.at, 1), night.evening)
    put_text(sheet.page.cell(sheet.at, 2), night.season)
    for column, value, measure in (
        (3, night.hours_valid, Measure.HOURS), (4, night.hours_counted, Measure.HOURS),
        (OUTDOOR, night.outdoor_min_c, Measure.TEMPERATURE), (INDOOR, night.indoor_min_c, Measure.TEMPERATURE),
        (HOLD, hold_c, Measure.TEMPERATURE), (COLD, night.cold_k_h, Measure.DEGREE_HOURS),
        (GROSS, night.gross_kwh, Measure.HEAT), (LOAD, night.load_kwh, Measure.HEAT),
        (HELD, night.held_kwh, Measure.HEAT), (NEED, night.need_kwh, Measure.HEAT),
        (MISSING, night.shortfall_kwh, Measure.HEAT),
    ):  # fmt: skip
        if value is not None:
            sheet.figure(column, value, measure)
    sheet.formula(ADDED, f"=L{sheet.at}-M{sheet.at}", Measure.HEAT)
    sheet.at += 1


def _season(sheet: Sheet, heat: SeasonHeat, first: int, last: int) -> list[tuple[str, str, str]]:
    """A season's sums, what was filed, whether they agree; and the rungs that must not cross."""
    rows = [
        ("Hours read", 3, heat.hours_valid, Measure.HOURS),
        ("Hours counted", 4, heat.hours_counted, Measure.HOURS),
        ("Below hold outdoors", COLD, heat.dark_degree_hours_k_h, Measure.DEGREE_HOURS),
        ("All the warmth (gross)", GROSS, heat.rungs.gross_kwh, Measure.HEAT),
        ("With no memory (load)", LOAD, heat.rungs.load_kwh, Measure.HEAT),
        ("Held in the dark (held)", HELD, heat.rungs.held_kwh, Measure.HEAT),
        ("Added by the build (added)", ADDED, heat.rungs.added_kwh, Measure.HEAT),
        ("Missing below hold", MISSING, heat.shortfall_kwh, Measure.HEAT),
    ]
    if heat.bare.used != "model":
        rows.insert(6, ("Needed without the build", NEED, heat.need_kwh, Measure.HEAT))
    for column, text in ((1, f"Season {heat.season}"), (4, "Sum of the nights"), (6, "As filed"), (8, "Agrees")):
        label(sheet, text, column=column, bold=True)
        sheet.page.cell(sheet.at, column).alignment = Alignment(
            vertical="top", horizontal="right" if column in (4, 6) else "left", indent=int(column == 8)
        )
    sheet.at += 1
    pairs = []
    for words, column, filed, measure in rows:
        put_text(sheet.page.cell(sheet.at, 1), words)
        c = letter(column)
        sheet.formula(4, f'=SUMPRODUCT((B{first}:B{last}="{heat.season}")*{c}{first}:{c}{last})', measure)
        sheet.figure(6, filed, measure)
        whole = column in (3, 4)  # the program files whole hours
        one = f"ROUND(D{sheet.at},0)" if whole else f"D{sheet.at}"
        say_agreement(sheet, 8, one, f"F{sheet.at}")
        wide = f"'nights'!$D${sheet.at}"
        if not whole:
            pairs.append((f"Season {heat.season}, {words}: nights, and as filed", wide, f"'nights'!$F${sheet.at}"))
        sheet.at += 1
    put_text(sheet.page.cell(sheet.at, 1), f"Counted as money (credited), by: {heat.bare.used}")
    sheet.figure(6, heat.rungs.credited_kwh, Measure.HEAT)
    sheet.at += 2
    return pairs
