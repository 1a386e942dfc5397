"""What befell hours of the record, in words."""

from __future__ import annotations

REASONS = {
    "excluded": "set aside by the ledger",
    "clock": "with a clock that jumped",
    "range": "with a reading that cannot be",
    "stuck": "with a reading that froze",
    "spike": "with a jump that no air makes",
    "gap": "not recorded",
    "bridged": "bridged over a short hole",
}
"""What befell an hour, in words that follow its count."""
