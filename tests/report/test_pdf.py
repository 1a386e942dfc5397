"""The report as PDF: same content, no clock, no harm."""

from __future__ import annotations

import subprocess
import sys

import pytest

from ledger.views.pdf import _own_fonts_suffice, pdf_bytes
from tests.report.made import HOSTILE, harmed, report_by_lift, report_example


def test_the_same_answer_gives_the_same_bytes_dated_by_its_prices() -> None:
    """Base date 2025-09-01; no other date stands in the file."""
    first = pdf_bytes(report_example())
    assert first == pdf_bytes(report_example())
    assert first.startswith(b"%PDF-")
    assert b"D:20250901" in first
    assert first.count(b"D:20") == first.count(b"D:20250901")


def test_it_carries_its_own_fonts_and_structure_for_those_who_listen() -> None:
    made = pdf_bytes(report_by_lift())
    assert b"LibertinusSerif" in made
    assert b"/StructTreeRoot" in made
    assert b"/Lang" in made


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_breaks_nothing(text: str) -> None:
    made = pdf_bytes(harmed(text))
    assert made.startswith(b"%PDF-")
    assert b"/JavaScript" not in made
    assert b"/URI" not in made
    assert b"/Launch" not in made


def test_signs_that_the_fonts_lack_are_looked_for_on_the_machine() -> None:
    assert _own_fonts_suffice("Zażółć Ωμέγα Жито → ≤ − Σ € °C")
    assert not _own_fonts_suffice("温室")


def test_neither_paper_is_loaded_before_it_is_asked_for() -> None:
    probe = "import sys, ledger.cli.commands; print({'jinja2', 'typst'} & set(sys.modules))"
    said = subprocess.run([sys.executable, "-c", probe], capture_output=True, text=True, check=True).stdout
    assert said.strip() == "set()"
