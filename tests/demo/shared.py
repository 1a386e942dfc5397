"""Each demo is appraised once for the whole suite: the fitted house model takes its time."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from ledger.appraisal import Appraisal
from ledger.intake.gather import gather_and_appraise
from ledger.views.json_view import appraisal_document, to_bytes
from tests.demo import DEMO


@cache
def appraised(key: str) -> Appraisal:
    """What the program answers to a demo."""
    return gather_and_appraise(DEMO / key / "ledger.toml")


@cache
def document(key: str) -> dict[str, Any]:
    """The same as a script reads it."""
    return dict(json.loads(to_bytes(appraisal_document(appraised(key)))))
