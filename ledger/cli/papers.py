"""The papers that `appraise` can write beside its answer: the report as HTML and as PDF."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

from ledger.views.console import Refused

if TYPE_CHECKING:
    from ledger.appraisal import Appraisal

KINDS: Mapping[str, tuple[bytes, str]] = MappingProxyType(
    {".html": (b"<!DOCTYPE html>", "report"), ".pdf": (b"%PDF", "PDF")}
)
"""By ending: how such a file begins, and what it is called."""


def refuse_unwritable_papers(report: Path | None, pdf: Path | None, *, force: bool) -> None:
    """Refuse before the long work what could not be written after it; only a paper is replaced, only by force."""
    from ledger.errors import Complaint, OutputError, Place
    from ledger.views.whole_file import Existing, refuse_foreign, refuse_unwritable

    for path, ending in ((report, ".html"), (pdf, ".pdf")):
        if path is None:
            continue
        begins, what = KINDS[ending]
        if path.suffix.lower() != ending:
            name = Place(path.name or str(path))
            raise Refused([Complaint(f"the name of a {what} ends in {ending}", name, f"write {path.name}{ending}")])
        try:
            refuse_unwritable(path, existing=Existing.REPLACE if force else Existing.KEEP)
            refuse_foreign(path, begins=begins, what=what)
        except OutputError as refusal:
            raise Refused(refusal.complaints) from refusal


def write_papers(appraisal: Appraisal, report: Path | None, pdf: Path | None, *, force: bool) -> None:
    """Write the papers that are asked for: both are made before the first is written."""
    from ledger.views.whole_file import Existing, write_whole

    made: list[tuple[Path, bytes]] = []
    if report is not None:
        from ledger.views.report import report_bytes

        made.append((report, report_bytes(appraisal)))
    if pdf is not None:
        from ledger.views.pdf import pdf_bytes

        made.append((pdf, pdf_bytes(appraisal)))
    for path, content in made:
        write_whole(path, content, existing=Existing.REPLACE if force else Existing.KEEP)
