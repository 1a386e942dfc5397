"""The three drawings of the report: the running sum of money, the yearly saving with its range, the five rungs."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.appraisal import Appraisal
from ledger.views.figures import Measure, show_figure, show_span
from ledger.views.plots import ACCENT, FAINT, INK, WIDTH, Drawing, Scale, ticks, upward
from ledger.views.report_parts import Picture, name_of
from ledger.views.row import is_placeholder, style_of
from ledger.views.rungs import RUNG_WORDS

_SUM_HEIGHT = 190
_ROW, _BAR = 30, 11


def running_sum(a: Appraisal) -> Picture | None:
    """The running sum of money year by year, plain and in today's money; None by an assumed lift, or unknown."""
    flow = a.cash_flow
    if len(flow) < 2 or is_placeholder(a) or a.worth.npv is None:
        return None
    sums, today = [one.cumulative for one in flow], [one.cumulative_discounted for one in flow]
    drawing = Drawing(name="running-sum", height=_SUM_HEIGHT)
    across = Scale(0.0, float(flow[-1].year), 58.0, WIDTH - 12.0)
    up = _grid(drawing, a, (*sums, *today), across)
    for values, dash, width in ((sums, "", 2.0), (today, "5 3", 1.6)):
        ends = [(across.at(float(one.year)), up.at(value)) for one, value in zip(flow, values, strict=True)]
        drawing.line(ends, colour=ACCENT, width=width, dash=dash)
    for place, (words, dash) in enumerate((("sum of money paid and saved", ""), ("the same, in today's money", "5 3"))):
        y = 14.0 + 14.0 * place
        drawing.line([(62, y - 4), (90, y - 4)], colour=ACCENT, width=2.0, dash=dash)
        drawing.text((95, y), words)
    title = "Running sum of money"
    first, last, now = (_money(value, a) for value in (sums[0], sums[-1], today[-1]))
    said = f"From {first} in year 0 to {last} in year {flow[-1].year}; in today's money to {now}."
    drawing.say(title, said)
    return Picture("running-sum", title, said, drawing.svg())


def _grid(drawing: Drawing, a: Appraisal, values: Sequence[float], across: Scale) -> Scale:
    """Axes with round figures."""
    up = upward(drawing, values, across, ends=(_SUM_HEIGHT - 22.0, 40.0), most=5)
    for year in ticks(0.0, across.high, most=5):
        if year <= across.high:
            drawing.text((across.at(year), _SUM_HEIGHT - 7.0), f"{year:g}", anchor="middle", size=10)
    drawing.text((across.first - 4, 30), style_of(a).currency, anchor="end", size=10)
    drawing.text((across.first - 10, _SUM_HEIGHT - 7.0), "year", anchor="end", size=10)
    return up


def yearly_saving(a: Appraisal, *, most: int) -> Picture | None:
    """What is left over each year against each heater: a bar over the range, a mark at the likely value."""
    found = [one for one in a.saving_ranges[:most] if one.range.p10 is not None and one.range.p90 is not None]
    if not found:
        return None
    only_span = is_placeholder(a)
    drawing = Drawing(name="yearly-saving", height=_ROW * len(found) + 24.0)
    ends = [end for one in found for end in (one.range.p10 or 0.0, one.range.p90 or 0.0, one.likely)]
    marks = ticks(min(0.0, *ends), max(0.0, *ends), most=5)
    across = Scale(marks[0], marks[-1], 14.0, WIDTH - 18.0)
    bottom = _ROW * len(found) + 6.0
    hatch = drawing.hatch()
    for mark in marks:
        colour, width = (INK, 1.0) if mark == 0 else (FAINT, 0.4)
        drawing.line([(across.at(mark), 4), (across.at(mark), bottom)], colour=colour, width=width)
        drawing.text((across.at(mark), bottom + 12), f"{mark:,.0f}", anchor="middle", size=10)
    for row, one in enumerate(found):
        low, high, y = one.range.p10 or 0.0, one.range.p90 or 0.0, _ROW * row + 4.0
        drawing.text((18, y + 10), name_of(one.source))
        drawing.box((across.at(low), y + 14), (across.at(high) - across.at(low), _BAR), fill=hatch)
        if not only_span:
            drawing.diamond((across.at(one.likely), y + 14 + _BAR / 2))
    title = f"Left over each year, {style_of(a).currency}"
    words = "Bars of the ranges in the table above" + ("." if only_span else ", marks at the likely values.")
    drawing.say(title, words)
    return Picture("yearly-saving", title, words, drawing.svg())


def rung_bars(a: Appraisal) -> Picture | None:
    """The five rungs of the last season as bars; by an assumed lift the last two are a span and are not drawn."""
    if not a.seasons:
        return None
    heat, style = a.seasons[-1].heat, style_of(a)
    by_lift = heat.bare.used == "lift"
    values = [(words, float(getattr(heat.rungs, key))) for key, words in RUNG_WORDS]
    drawn = values[:3] if by_lift else values
    span = (heat.avoided_range_kwh.p10, heat.avoided_range_kwh.p90)
    height = _ROW * (len(drawn) + (1 if by_lift else 0)) + 4.0
    drawing = Drawing(name="rungs", height=height)
    longest = max(0.0, *(value for _, value in drawn), *(span if by_lift else ()))
    lowest = min(0.0, *(value for _, value in drawn), *(span if by_lift else ()))
    across = Scale(lowest, longest, 4.0, WIDTH - 4.0)
    hatch, said = drawing.hatch(), []
    for row, (words, value) in enumerate(drawn):
        is_last, figure = row == 4, show_figure(value, Measure.HEAT, style)
        _bar(drawing, across, row, (0.0, value), fill=ACCENT if is_last else hatch)
        drawing.text((4, _ROW * row + 12.0), f"{words}: {figure}")
        said.append(f"{words} {figure}")
    if by_lift:
        words = f"not bought, this is money: {show_span(*span, Measure.HEAT, style)}"
        _bar(drawing, across, len(drawn), span, fill=hatch)
        drawing.text((4, _ROW * len(drawn) + 12.0), words)
        said.append(words)
    title = f"From warmth to money, season {heat.season}"
    drawing.say(title, f"Heat over the hours logged: {'; '.join(said)}.")
    return Picture("rungs", title, f"Heat over the hours logged: {'; '.join(said)}.", drawing.svg())


def _bar(drawing: Drawing, across: Scale, row: int, ends: tuple[float, float], *, fill: str) -> None:
    first, last = sorted(across.at(end) for end in ends)
    drawing.box((first, _ROW * row + 16.0), (last - first, _BAR), fill=fill)


def _money(value: float, a: Appraisal) -> str:
    return str(show_figure(value, Measure.MONEY, style_of(a)))
