"""Beginning a ledger: a template, with the columns of one's own log and the answers to a few questions filled in."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING

from ledger.errors import Complaint, LedgerError, Place

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

    from ledger.intake.start_log import LogBlock
    from ledger.intake.start_questions import Answers

FILE_NAME = "ledger.toml"
LOG_HEADING = "# ---- The log of your station"
CLIMATE_HEADING = "# ---- A typical winter here"
_PLANNED = 'status = "planned"\n'

Ask = Callable[[str, str], str]


@dataclass(frozen=True, slots=True)
class Template:
    """A ledger to begin with: its name, what it is for in one sentence, its text."""

    name: str
    purpose: str
    text: str


@dataclass(frozen=True, slots=True)
class Begun:
    """A ledger about to be written. `log` says what was found in the log; None where none was named.

    `log_waits`: the log's section is commented out until the build stands.
    """

    path: Path
    text: str
    template: str
    log: LogBlock | None
    answers: Answers | None
    log_waits: bool = False


def templates() -> tuple[Template, ...]:
    """Every template, by name."""
    found = [
        (path.name, path.read_text(encoding="utf-8")) for path in _folder().iterdir() if path.name.endswith(".toml")
    ]
    return tuple(Template(name.removesuffix(".toml"), _purpose(text), text) for name, text in sorted(found))


def begin(folder: Path, *, template: str, log: Path | None, ask: Ask | None) -> Begun:
    """The text of a new ledger, not yet written.

    Parameters
    ----------
    folder : where the ledger is to stand.
    template : name of the template.
    log : a CSV of the station, whose columns and units are filled in; None: the template's example stays.
    ask : puts a question with its usual answer to the person; None: nobody is there to be asked.

    Raises
    ------
    LedgerError : no such template, or the ledger is there already.
    LogError : the log cannot be read at all.
    """
    chosen = _named(template)
    path = folder / FILE_NAME
    if path.exists():
        raise LedgerError(
            [Complaint("it is there already, and is left as it is", Place(FILE_NAME), "name another folder")]
        )
    answers = None if ask is None else _asked(chosen.text, ask)
    text = chosen.text if answers is None else answers.filled_in
    if log is None:
        return Begun(path, text, chosen.name, None, answers)
    from ledger.intake.start_log import log_block  # the reader of logs is heavy, and most begin without one

    block = log_block(log, folder=folder)
    return Begun(path, _with_log(text, block), chosen.name, block, answers, log_waits=_PLANNED in text)


def _asked(text: str, ask: Ask) -> Answers:
    from ledger.intake.start_questions import ask_eight  # with its TOML writer, which few calls need

    return ask_eight(text, ask)


def _named(name: str) -> Template:
    known = {one.name: one for one in templates()}
    if name not in known:
        mend = f"the templates are: {', '.join(known)}"
        raise LedgerError([Complaint(f'there is no template "{name}"', Place("--template"), mend)])
    return known[name]


def _folder() -> Traversable:
    """The templates inside the installed package, else beside the source checkout."""
    installed = resources.files("ledger") / "_templates"
    return installed if installed.is_dir() else Path(__file__).resolve().parents[2] / "templates"


def _purpose(text: str) -> str:
    return text.split("\n", 1)[0].lstrip("# ").strip()


def _with_log(text: str, block: LogBlock) -> str:
    """The template with the log's own columns; what stood there only for want of a log is commented out.

    Where the build is not there yet, a log would be credited to it: then the section stays commented out instead.
    """
    head, rest = text.split(LOG_HEADING, 1)
    heading, after = rest.split("\n\n", 1)
    _, following = after.split("\n\n", 1)
    if _PLANNED in text:
        return f"{head}{LOG_HEADING}{heading}\n\n{_commented(block.text)}\n{following}"
    before, climate = following.split(CLIMATE_HEADING, 1)
    head = re.sub(r"^(expected_fraction\b.*)$", r"# \1", head, flags=re.MULTILINE)
    first, body = climate.split("\n\n", 1)
    heading = heading.replace("Take the # away and name your own columns", "Its columns as found in the file")
    return (
        f"{head}{LOG_HEADING}{heading}\n\n{block.text}\n{before}{CLIMATE_HEADING}{first}\n"
        "# Commented out, since there is a log now: put in the figures of your own place and take the # away.\n\n"
        f"{_commented(body)}"
    )


def _commented(text: str) -> str:
    lines = text.rstrip("\n").split("\n")
    return "".join(f"{line}\n" if line.startswith("#") else f"# {line}\n" for line in lines)
