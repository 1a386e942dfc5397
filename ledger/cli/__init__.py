"""The program's door: light to import, so that even the loading of the commands can be broken off in words."""

from __future__ import annotations

import contextlib
import signal
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
    finally:
        _let_it_end()


def _let_it_end() -> None:
    """Whatever was asked for is done or given up: an interrupt from here on has nothing left to stop."""
    with contextlib.suppress(ValueError):  # called in a thread other than the first, where no signal arrives
        signal.signal(signal.SIGINT, signal.SIG_IGN)


def _stopped() -> None:
    sys.stderr.write("Stopped.\n")
    raise SystemExit(1) from None
