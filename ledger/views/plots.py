"""Drawings as SVG, built as a tree, so that no text can become markup."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree import ElementTree

from ledger.views.report_parts import letters_wide

WIDTH = 360
ACCENT, INK, FAINT, PAPER = "#0b5d57", "#1a1a1a", "#8a8a8a", "#ffffff"
FONT = "Libertinus Serif, Georgia, Times New Roman, serif"


@dataclass(frozen=True, slots=True)
class Scale:
    """From figures to places on the drawing."""

    low: float
    high: float
    first: float
    last: float

    def at(self, value: float) -> float:
        """Where a figure stands."""
        if self.high == self.low:
            return self.first
        return self.first + (value - self.low) / (self.high - self.low) * (self.last - self.first)


class Drawing:
    """A drawing that grows part by part."""

    def __init__(self, *, name: str, height: float) -> None:
        """Begin with an empty sheet of a height; `name` makes the ids inside it unique in a page."""
        self.name = name
        self.root = ElementTree.Element(
            "svg", {"xmlns": "http://www.w3.org/2000/svg", "viewBox": f"0 0 {WIDTH} {_figure(height)}", "role": "img",
                    "aria-labelledby": f"{name}-title {name}-desc", "width": str(WIDTH), "height": _figure(height)},
        )  # fmt: skip

    def say(self, title: str, description: str) -> None:
        """What it shows, in words."""
        for place, (tag, text) in enumerate((("title", title), ("desc", description))):
            child = ElementTree.Element(tag, {"id": f"{self.name}-{tag}"})
            child.text = text
            self.root.insert(place, child)

    def hatch(self) -> str:
        """Slanted lines as a filling, so that no meaning hangs on colour alone."""
        name = f"{self.name}-hatch"
        defs = ElementTree.SubElement(self.root, "defs")
        size = {"width": "5", "height": "5", "patternUnits": "userSpaceOnUse", "patternTransform": "rotate(45)"}
        pattern = ElementTree.SubElement(defs, "pattern", {"id": name, **size})
        ElementTree.SubElement(pattern, "rect", {"width": "5", "height": "5", "fill": PAPER})
        stroke = {"x1": "0", "y1": "0", "x2": "0", "y2": "5", "stroke": ACCENT, "stroke-width": "1.6"}
        ElementTree.SubElement(pattern, "line", stroke)
        return f"url(#{name})"

    def line(self, ends: Sequence[tuple[float, float]], *, colour: str, width: float, dash: str = "") -> None:
        """A line through points."""
        places = " ".join(f"{_figure(x)},{_figure(y)}" for x, y in ends)
        looks = {"fill": "none", "stroke": colour, "stroke-width": _figure(width), "stroke-linejoin": "round"}
        if dash:
            looks["stroke-dasharray"] = dash
        ElementTree.SubElement(self.root, "polyline", {"points": places, **looks})

    def box(self, corner: tuple[float, float], size: tuple[float, float], *, fill: str) -> None:
        """A rectangle with a frame."""
        at = {"x": _figure(corner[0]), "y": _figure(corner[1])}
        reach = {"width": _figure(max(0.0, size[0])), "height": _figure(size[1])}
        ElementTree.SubElement(self.root, "rect", {**at, **reach, "fill": fill, "stroke": ACCENT, "stroke-width": "1"})

    def diamond(self, at: tuple[float, float]) -> None:
        """A mark for the likely value."""
        x, y = at
        corners = " ".join(f"{_figure(a)},{_figure(b)}" for a, b in ((x, y - 5), (x + 5, y), (x, y + 5), (x - 5, y)))
        ElementTree.SubElement(self.root, "polygon", {"points": corners, "fill": ACCENT})

    def text(self, at: tuple[float, float], words: str, *, anchor: str = "start", size: float = 11) -> None:
        """Words, cut where they would run out of the drawing."""
        x, y = at
        looks = {"font-family": FONT, "font-size": _figure(size), "fill": INK, "text-anchor": anchor,
                 "stroke": PAPER, "stroke-width": "3", "stroke-linejoin": "round", "paint-order": "stroke"}  # fmt: skip
        child = ElementTree.SubElement(self.root, "text", {"x": _figure(x), "y": _figure(y), **looks})
        child.text = _fitted(words, x, anchor, size)

    def svg(self) -> str:
        """The drawing as text."""
        return ElementTree.tostring(self.root, encoding="unicode")


def ticks(low: float, high: float, *, most: int) -> tuple[float, ...]:
    """Round figures from `low` to `high`, both reached, about `most` of them."""
    if not (math.isfinite(low) and math.isfinite(high)) or high <= low:
        return (low,)
    rough = (high - low) / most
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(n * power for n in (1, 2, 2.5, 5, 10) if n * power >= rough * (1 - 1e-9))
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return tuple(k * step for k in range(first, last + 1))


def upward(drawing: Drawing, values: Sequence[float], across: Scale, *, ends: tuple[float, float], most: int) -> Scale:
    """The axis upward: round figures, a line across at each, a stronger one at nought. `ends`: its bottom and top."""
    marks = ticks(min(0.0, *values), max(0.0, *values), most=most)
    up = Scale(marks[0], marks[-1], *ends)
    for mark in marks:
        colour, width = (INK, 1.0) if mark == 0 else (FAINT, 0.4)
        drawing.line([(across.first, up.at(mark)), (across.last, up.at(mark))], colour=colour, width=width)
        drawing.text((across.first - 4, up.at(mark) + 3.5), f"{mark:,.0f}", anchor="end", size=10)
    return up


def _fitted(words: str, x: float, anchor: str, size: float) -> str:
    room = {"start": WIDTH - x, "end": x, "middle": 2 * min(x, WIDTH - x)}[anchor]
    if letters_wide(words) * size <= room:
        return words
    kept = words
    while kept and letters_wide(kept + "…") * size > room:
        kept = kept[:-1]
    return kept + "…"


def _figure(value: float) -> str:
    return f"{value:.1f}".rstrip("0").rstrip(".")
