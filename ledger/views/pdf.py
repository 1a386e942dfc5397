"""The report as a PDF, set by a library that brings its own fonts and needs no program beside it."""

from __future__ import annotations

import dataclasses
import json
from importlib.resources import files
from typing import Any

from ledger.appraisal import Appraisal
from ledger.views.report import paper
from ledger.views.report_parts import Paper

PAGES = 2
_SIZES = ((10.4, 1.0), (9.6, 1.0), (9.0, 0.94), (8.5, 0.86), (8.0, 0.78), (7.4, 0.7), (6.6, 0.6), (5.8, 0.5))
"""Letter [pt] and width of drawings [-], most comfortable first; the first at which two pages do stands."""
_LAST_WITH_OWN_FONTS = 0x052F
_OTHER_WITH_OWN_FONTS = ((0x1E00, 0x1EFF), (0x2000, 0x22FF))


def pdf_bytes(appraisal: Appraisal) -> bytes:
    """The report as PDF, the same bytes for the same input; its date is that of its prices, not of a clock.

    Two pages, A4 or, with US units, Letter. Signs that the fonts inside the library lack are looked for among those of
    the machine.
    """
    return _set(paper(appraisal))


def _set(content: Paper) -> bytes:
    import typst

    data = json.dumps(dataclasses.asdict(content), ensure_ascii=False)
    source = files("ledger.views").joinpath("report.typ").read_bytes()
    compiler: Any = typst.Compiler(ignore_system_fonts=_own_fonts_suffice(data))

    def compiled(size: float, picture: float, **looks: Any) -> Any:
        inputs = {"paper": data, "size": str(size), "picture": str(picture)}
        return compiler.compile(source, sys_inputs=inputs, **looks)

    for size, picture in _SIZES:
        if _pages(compiled(size, picture, format="png", ppi=_COARSE)) <= PAGES:
            break
    return bytes(compiled(size, picture, format="pdf"))


_COARSE = 6.0
"""Dots to the inch of the trial pages, which are only counted."""


def _pages(trial: bytes | list[bytes]) -> int:
    return len(trial) if isinstance(trial, list) else 1


def _own_fonts_suffice(text: str) -> bool:
    return all(
        ord(c) <= _LAST_WITH_OWN_FONTS or any(first <= ord(c) <= last for first, last in _OTHER_WITH_OWN_FONTS)
        for c in text
    )
