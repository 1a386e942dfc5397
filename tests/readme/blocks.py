"""The parts of the README that follow from the program: made here, compared by a test, rewritten by `update.py`."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ledger import sources
from ledger.intake.schema import documented_keys
from ledger.units import Dimension, units_of
from tests.demo import DEMO
from tests.demo.shared import appraised

ROOT = Path(__file__).parents[2]
README = ROOT / "README.md"
PICTURE = DEMO / "torvena" / "running-sum.svg"
_BLOCK = re.compile(r"<!-- begin: (?P<name>[a-z-]+) -->\n(?P<body>.*?)<!-- end: (?P=name) -->", re.DOTALL)


@dataclass(frozen=True)
class Shown:
    """A screen of the tour: the command, and the heading before which it is cut, if it is."""

    arguments: tuple[str, ...]
    until: str = ""


def table(head: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> str:
    """A table as the README writes it."""
    lines = ["| " + " | ".join(head) + " |", "|" + "---|" * len(head)]
    lines += ["| " + " | ".join(cell.replace("|", "\\|").replace("\n", " ") for cell in row) + " |" for row in rows]
    return "\n".join(lines) + "\n"


def keys() -> str:
    """Every key of the ledger, section by section."""
    sections: dict[str, list[tuple[str, ...]]] = {}
    for key in documented_keys():
        must = "must stand" if key.required else ""
        sections.setdefault(key.section, []).append((f"`{key.key}`", key.kind, key.description, must))
    return "\n".join(f"**`{name}`**\n\n{table(('key', 'takes', 'is', ''), rows)}" for name, rows in sections.items())


def units() -> str:
    """The units that a quantity may be typed in."""
    rows = [(d.words, ", ".join(f"`{u}`" for u in units_of(d)), f"`{d.held_in}`") for d in Dimension]
    return table(("quantity", "units offered", "held and given to scripts in"), rows)


def covers() -> str:
    """Covers with their U-values and air changes."""
    rows = [
        (c.name, c.u_value.words(), c.air_changes.words(), f"U: {c.u_value.source}. Air: {c.air_changes.source}")
        for c in sources.COVERS.values()
    ]
    return table(("cover", "U-value", "air changes", "source"), rows)


def fuels() -> str:
    """Kinds of heat source with their defaults."""
    rows = []
    for kind, fuel in sources.FUELS.items():
        heat = "; ".join(f"{c.unit}: {c.row.likely:.4g} kWh ({c.row.source})" for c in fuel.contents)
        efficiency = f"{fuel.efficiency.words()} ({fuel.efficiency.source})" if fuel.efficiency else "must be stated"
        unit = fuel.unit or "must be stated"
        rows.append((kind, unit, heat or "must be stated", efficiency, fuel.life_years.words()))
    return table(("kind", "unit", "gross heat in a unit", "delivered / gross", "life"), rows)


def lives() -> str:
    """How long items last, by the words of their description."""
    rows = [(r.kind, ", ".join(r.words), r.row.words(), r.row.source) for r in sources.LIVES]
    rows.append(("anything else", "", sources.LIFE_ANY.words(), sources.LIFE_ANY.source))
    return table(("kind of item", "known by", "life", "source"), rows)


def measures() -> str:
    """What is taken of the builds that are tried without being typed."""
    rows = [
        ("second layer, more resistance", sources.SECOND_LAYER_RESISTANCE),
        ("night screen, more resistance in the dark", sources.NIGHT_SCREEN_RESISTANCE),
        ("sealing, down to", sources.SEALED_AIR_CHANGES),
    ]
    return table(("build", "taken", "source"), [(name, row.words(), row.source) for name, row in rows])


def half_widths() -> str:
    """The range that a plain value takes by how it is known."""
    rows = [(str(k), f"± {w * 100:.0f} %") for k, w in sources.HALF_WIDTHS.items()]
    return table(("basis", "range of a plain value"), rows)


def thresholds() -> str:
    """When a reading is a fault."""
    from ledger.series.thresholds import THRESHOLDS

    rows = [(t.flag, t.what, t.value, t.source) for t in THRESHOLDS]
    return table(("flag", "threshold", "value", "source"), rows)


def doubts() -> str:
    """What is doubted though it can be read."""
    from ledger.intake.doubts import DOUBTS

    rows = [(f"`{d.code}`", d.when, d.mend, d.source) for d in DOUBTS]
    return table(("code", "said when", "to mend it", "source of its limits"), rows)


def commands() -> str:
    """Every command with its options, as the program itself lists them."""
    import typer.main

    from ledger.cli.commands import app

    group: Any = typer.main.get_command(app)
    parts = []
    for name, command in sorted(group.commands.items()):
        rows = []
        for parameter in command.params:
            takes = f" {parameter.metavar}" if parameter.metavar else ""
            called = ", ".join(parameter.opts) + takes
            if parameter.param_type_name != "option":
                called = str(parameter.metavar or parameter.name)
            if "--help" not in called:
                rows.append((f"`{called}`", getattr(parameter, "help", "") or ""))
        parts.append(
            f"**`warmledger {name}`** {command.help.strip().splitlines()[0]}\n\n{table(('give', 'it does'), rows)}"
        )
    return "\n".join(parts)


def _screen(shown: Shown) -> str:
    """A screen of a demo, 100 cells wide and without bold, from the same functions that the commands call."""
    from ledger.intake.gather import gather
    from ledger.views.answer import answer_lines
    from ledger.views.checked import Checked, checked_lines
    from ledger.views.compare_screen import compare_lines
    from ledger.views.screen import Screen
    from ledger.views.stress_screen import stress_lines

    command, folder = shown.arguments
    key, wide = folder.removeprefix("demo/"), Screen(width=100)
    if command == "check":
        g = gather(DEMO / key / "ledger.toml")
        lines = checked_lines(
            Checked(g.program, g.identity, g.ledger, g.record, g.ledger.assumed, g.warnings), screen=wide
        )
    else:
        view = {"appraise": answer_lines, "compare": compare_lines, "stress": stress_lines}[command]
        lines = view(appraised(key), screen=wide)
    lines = [line.rstrip() for line in "\n".join(lines).strip().splitlines()]
    if shown.until:
        lines = [*lines[: lines.index(shown.until)], "..."]
    return "```\n" + "\n".join([f"$ warmledger {' '.join(shown.arguments)}", "", *lines]) + "\n```\n"


BLOCKS: Mapping[str, Callable[[], str]] = {
    "keys": keys,
    "units": units,
    "covers": covers,
    "fuels": fuels,
    "lives": lives,
    "measures": measures,
    "half-widths": half_widths,
    "thresholds": thresholds,
    "doubts": doubts,
    "commands": commands,
}
SCREENS: Mapping[str, Shown] = {
    "check-torvena": Shown(("check", "demo/torvena"), "What was assumed, since the ledger does not say"),
    "appraise-torvena": Shown(("appraise", "demo/torvena"), "What was assumed?"),
    "appraise-sorrel": Shown(("appraise", "demo/sorrel"), "What does warmth for plants cost?"),
    "compare-torvena": Shown(("compare", "demo/torvena"), "Does it cope?"),
    "stress-torvena": Shown(("stress", "demo/torvena"), "How is this reckoned?"),
}


def standing() -> dict[str, str]:
    """The generated parts as they stand in the README."""
    return {m["name"]: m["body"] for m in _BLOCK.finditer(README.read_text(encoding="utf-8"))}


def rewritten() -> str:
    """The README with every generated part made anew."""

    def anew(match: re.Match[str]) -> str:
        name = match["name"]
        body = BLOCKS[name]() if name in BLOCKS else _screen(SCREENS[name])
        return f"<!-- begin: {name} -->\n{body}<!-- end: {name} -->"

    return _BLOCK.sub(anew, README.read_text(encoding="utf-8"))


def picture() -> str:
    """The picture of the tour: the running sum of money of the first demo, as its report draws it, on white paper."""
    from ledger.views.plots_report import running_sum

    drawn = running_sum(appraised("torvena"))
    assert drawn is not None, "the first demo has an answer that can be drawn"
    return drawn.svg.replace("<svg ", '<svg style="background:#ffffff" ', 1) + "\n"


def screen(name: str) -> str:
    """What the program shows for one of the screens of the tour."""
    return _screen(SCREENS[name])
