"""An office suite that is not ours, asked to reckon a workbook afresh and to hand back its values."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Mapping, Sequence
from pathlib import Path

from openpyxl import load_workbook
from openpyxl.workbook import Workbook

AT_ONCE = 6
_ALWAYS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema"
 xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse">
<value>0</value></prop></item>
</oor:items>
"""


def office() -> str:
    """The program. Its absence is a failure here: these tests run only where they were asked for."""
    found = shutil.which("soffice") or shutil.which("libreoffice")
    assert found, "no office suite is installed; .ci/run installs one"
    return found


def recalculated(files: Sequence[Path], folder: Path, *, to: str = "xlsx") -> list[Path]:
    """Open files in a profile of their own that always recalculates, save them again: the files that came out."""
    profile, out = folder / "profile", folder / "out"
    (profile / "user").mkdir(parents=True)
    (profile / "user" / "registrymodifications.xcu").write_text(_ALWAYS, encoding="utf-8")
    call = [
        office(),
        f"-env:UserInstallation={profile.as_uri()}",
        "--headless",
        "--convert-to",
        to,
        "--outdir",
        str(out),
    ]
    for first in range(0, len(files), AT_ONCE):
        subprocess.run(
            [*call, *map(str, files[first : first + AT_ONCE])], check=True, capture_output=True, timeout=3600
        )
    made = [out / file.with_suffix(f".{to}").name for file in files]
    assert all(file.exists() and file.stat().st_size > 0 for file in made), "the office suite wrote nothing"
    return made


def values(book: Workbook) -> dict[str, object]:
    """What every named cell holds."""
    found: dict[str, object] = {}
    for name, defined in book.defined_names.items():
        ((sheet, cell),) = defined.destinations
        found[name] = book[sheet][cell.replace("$", "")].value
    return found


def read_values(file: Path) -> Workbook:
    """The book with values in place of formulas."""
    return load_workbook(file, data_only=True)


def changed(file: Path, changes: Mapping[str, float | str], to: Path) -> Path:
    """A copy with other values in named cells, as a person would type them."""
    book = load_workbook(file)
    for name, value in changes.items():
        ((sheet, cell),) = book.defined_names[name].destinations
        at = book[sheet][cell.replace("$", "")]
        assert at.data_type != "f" or at.border.top.style == "medium", f"{name} is a formula, not to be typed over"
        at.value = value
    book.save(to)
    return to


def errors(book: Workbook) -> list[str]:
    """Cells that hold an error."""
    return [
        f"{page.title}!{cell.coordinate}: {cell.value}"
        for page in book
        for row in page.iter_rows()
        for cell in row
        if cell.data_type == "e" or (isinstance(cell.value, str) and cell.value.startswith(("#", "Err:")))
    ]


def disagreements(book: Workbook) -> list[str]:
    """Rows that say no under a head `Agrees`."""
    found = []
    for page in book:
        heads: set[int] = set()
        for row in page.iter_rows():
            heads -= {cell.column for cell in row if isinstance(cell.value, str) and cell.value not in ("yes", "no")}
            heads |= {cell.column for cell in row if cell.value == "Agrees"}
            found += [
                f"{page.title}!{cell.coordinate}: {row[0].value}: {[c.value for c in row[:8]]}"
                for cell in row
                if cell.column in heads and cell.value == "no"
            ]
    return found
