"""Results to rows (label, value, unit, basis, source), the one place where figures get their words."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.views.row import HEADLINES, Block, Row
from ledger.views.rows_house import cover_rows, house_rows, warmth_rows
from ledger.views.rows_money import back_rows, cost_rows, doubt_rows, saving_rows


def blocks(appraisal: Appraisal) -> tuple[Block, ...]:
    """Every single figure of the answer, by the person's questions. Seasons, years and plans are tables (tables.py)."""
    return (
        Block("What did it cost?", cost_rows(appraisal)),
        Block("What did it save?", saving_rows(appraisal)),
        Block("When is it back?", back_rows(appraisal)),
        Block("What if I am wrong?", doubt_rows(appraisal)),
        Block("What does warmth for plants cost?", warmth_rows(appraisal)),
        Block("What is the house?", house_rows(appraisal)),
        Block("How much was logged?", cover_rows(appraisal)),
    )


def headline_rows(appraisal: Appraisal) -> tuple[Row, ...]:
    """The four headline figures, in their order."""
    by_key = {row.key: row for block in blocks(appraisal) for row in block.rows}
    return tuple(by_key[key] for key in HEADLINES)
