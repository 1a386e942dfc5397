"""One season told: nights, costs line by line, against the last one and the plan, what was expected, the pace."""

from __future__ import annotations

from datetime import date, datetime

from ledger.appraisal import Appraisal, SeasonAnswer
from ledger.heat.season_nights import SeasonNights
from ledger.money.season_track import Difference, LineSum, Pace
from ledger.views.figures import Measure, Style, show_figure, show_span
from ledger.views.row import is_placeholder, style_of
from ledger.views.screen import Screen

WHOLE = 0.9995
"""A season read to this share has no holes worth a word."""
Figure = tuple[str, str, str]


def story_lines(season: SeasonAnswer, appraisal: Appraisal, *, screen: Screen) -> list[str]:
    """All that there is to say of a season beyond its row; money that rests on a placeholder is left out."""
    style, firm = style_of(appraisal), not is_placeholder(appraisal)
    figures = [] if season.nights is None else [_degree_hours(season, style)]
    figures += [] if season.nights is None else _night_figures(season.nights, style)
    figures += [] if season.track is None else [_line_figure(one, appraisal) for one in season.track.lines]
    figures += _cost_figures(season, style) if firm else []
    lines = screen.figures(figures)
    lines += _differences(season, style, screen) if firm else []
    if firm and season.forecast is not None:
        lines += screen.prose(_expected(season, style), indent=2)
    if season.nights is not None and season.nights.lift_change_k is not None:
        lines += screen.prose(_lift(season.nights, style), indent=2)
    return [*screen.heading(f"Season {season.heat.season}"), *lines] if lines else []


def pace_lines(season: SeasonAnswer, appraisal: Appraisal, *, screen: Screen) -> list[str]:
    """When it is paid if every season to come brings the mean of those so far."""
    track = season.track
    if is_placeholder(appraisal) or track is None or track.pace is None:
        return []
    return screen.prose(_pace(track.pace, len(appraisal.seasons), style_of(appraisal)), indent=2)


def _figure(label: str, value: float | None, measure: Measure, style: Style) -> Figure:
    shown = show_figure(value, measure, style)
    return label, shown.text, shown.unit


def _degree_hours(season: SeasonAnswer, style: Style) -> Figure:
    label = "Degree-hours below hold outdoors, in the hours that count"
    return _figure(label, season.heat.dark_degree_hours_k_h, Measure.DEGREE_HOURS, style)


def _night_figures(nights: SeasonNights, style: Style) -> list[Figure]:
    found: list[Figure] = []
    cold = nights.colder_than_typical_k
    if cold is not None:
        words = "Colder" if cold >= 0 else "Milder"
        label = f"{words} than the typical year, mean of the hours that count"
        found.append(_figure(label, abs(cold), Measure.DIFFERENCE, style))
    nights_words = f"Nights below hold, of {nights.nights_read} that were read"
    found.append(_figure(nights_words, nights.nights_below_hold, Measure.NIGHTS, style))
    found.append(_figure("Longest time below hold", nights.longest_below_hold_h, Measure.HOURS, style))
    if nights.coldest_at is not None:
        at = datetime.fromisoformat(nights.coldest_at).strftime("%Y-%m-%d %H:%M")
        found.append(_figure(f"Coldest hour outdoors, {at}", nights.coldest_outdoor_c, Measure.TEMPERATURE, style))
        indoors = nights.coldest_indoor_c
        if indoors is None:
            found.append(("indoors in that hour", "not logged", ""))
        else:
            found.append(_figure("indoors in that hour", indoors, Measure.TEMPERATURE, style))
    return found


def _line_figure(line: LineSum, appraisal: Appraisal) -> Figure:
    """What was metered stands as it was noted, so that it can be checked against the book."""
    style = style_of(appraisal)
    unit = next((one.unit for one in appraisal.source.sources if one.name == line.target), "units")
    used = [] if line.energy_kwh is None else [f"{line.energy_kwh:,.5g} kWh"]
    used += [] if line.quantity is None else [f"{line.quantity:,.4g} {unit}"]
    used += [] if line.hours == 0.0 else [f"{line.hours:.3g} h of own work"]
    what = f"{line.what} ({line.target})" if line.what else line.target
    return _figure(f"{what}: {', '.join(used)}" if used else what, line.cost, Measure.MONEY, style)


def _cost_figures(season: SeasonAnswer, style: Style) -> list[Figure]:
    track = season.track
    if track is None:
        return []
    label = "Running and upkeep for each kWh not bought"
    found = [_figure(label, track.cost_per_kwh_avoided, Measure.PRICE_PER_KWH, style)]
    if track.cost_per_gdd_indoor is not None:
        label = "Whole house, for each degree-day indoors"
        found.append(_figure(label, track.cost_per_gdd_indoor, Measure.COST_PER_DEGREE_DAY, style))
    if season.heat.avoided_per_kwh_used is not None:
        found.append(_figure("Heat for each kWh used", season.heat.avoided_per_kwh_used, Measure.RATIO, style))
    return found


def _differences(season: SeasonAnswer, style: Style, screen: Screen) -> list[str]:
    track = season.track
    lines: list[str] = []
    if track is not None and track.against_last is not None:
        lines += screen.prose(f"Against the season before: {_less(track.against_last, style)}.", indent=2)
    if track is not None and track.against_plan is not None:
        lines += screen.prose(f"Against the typical year: {_less(track.against_plan, style)}.", indent=2)
    return lines


def _less(of: Difference, style: Style) -> str:
    parts = (
        (of.avoided_kwh, Measure.HEAT, "heat not bought"),
        (of.running_cost, Measure.MONEY, "running"),
        (of.upkeep_cost, Measure.MONEY, "upkeep"),
        (of.net_saving, Measure.MONEY, "left over"),
    )
    return ", ".join(
        f"{_signed(value, measure, style)} {words}" for value, measure, words in parts if value is not None
    )


def _signed(value: float, measure: Measure, style: Style) -> str:
    shown = str(show_figure(0.0 if abs(value) < 0.005 else value, measure, style))
    return f"+{shown}" if value >= 0.005 else shown


def _expected(season: SeasonAnswer, style: Style) -> str:
    told = season.forecast
    if told is None:
        return ""
    band = told.avoided_range_kwh
    span = show_span(band.p10, band.p90, Measure.HEAT, style)
    expected = show_figure(told.avoided_kwh, Measure.HEAT, style)
    came = show_figure(told.came_avoided_kwh, Measure.HEAT, style)
    holes = ", holes filled" if told.holes_filled and season.heat.coverage < WHOLE else ""
    inside = "inside" if told.inside else "outside"
    return (
        f"Before it began, the earlier seasons let {expected} of heat not bought be expected ({span}); "
        f"{came} came{holes}: {inside} the range."
    )


def _lift(nights: SeasonNights, style: Style) -> str:
    change = nights.lift_change_k or 0.0
    span = show_span(nights.lift_change_p10_k, nights.lift_change_p90_k, Measure.DIFFERENCE, style)
    more = "more" if change >= 0 else "less"
    lift = show_figure(abs(change), Measure.DIFFERENCE, style)
    return (
        f"In {nights.like_nights} nights like earlier ones the house lay {lift} {more} above outdoors (change {span})."
    )


def _pace(pace: Pace, seasons: int, style: Style) -> str:
    mean = show_figure(pace.net_saving_a_season, Measure.MONEY, style)
    of = "the one season" if seasons == 1 else f"the {seasons} seasons"
    if pace.years_to_go == 0.0:
        return "It is paid: what was put in is recovered."
    if pace.years_to_go is None:
        return f"At the pace of {of} so far ({mean} a season) it is never paid."
    years = show_figure(pace.years_to_go, Measure.YEARS, style)
    if pace.paid_on is None:
        return f"At the pace of {of} so far ({mean} a season) it is paid in {years}."
    day = date.fromisoformat(pace.paid_on)
    return (
        f"At the pace of {of} so far ({mean} a season), in their own weather, it is paid in {years}, about "
        f"{day.strftime('%Y-%m')}. What it is worth in the typical year is another figure."
    )
