"""The program's door: light to import, so that even the loading of the commands can be broken off in words."""

from __future__ import annotations

import sys

_BROKEN_OFF = 130


def main() -> None:
    """Run the program."""
    try:
        from ledger.cli.commands import app

        app(prog_name="warmledger")
    except KeyboardInterrupt:
        _stopped()
    except SystemExit as end:
        if end.code == _BROKEN_OFF:
            _stopped()
        raise


def _stopped() -> None:
    sys.stderr.write("Stopped.\n")
    raise SystemExit(1) from None
