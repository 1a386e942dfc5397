"""The one place that writes to the terminal, and the words for everything that can go wrong in a command."""

from __future__ import annotations

import contextlib
import errno
import os
import shutil
import sys
from collections.abc import Callable, Iterator, Sequence
from functools import wraps
from typing import ParamSpec, TextIO

from ledger.errors import Complaint, OutputError, WarmledgerError

P = ParamSpec("P")

DONE, OTHER, MEND = 0, 1, 2
SHOW_TRACEBACK = "WARMLEDGER_TRACEBACK"
"""Set to anything, this variable lets a fault of the program show its traceback, for developers."""

_STOPPED = "Stopped. Files are as they were, or whole."
_CUT_SHORT = "The rest was not shown: the program that read it has closed."
_OUR_FAULT = "This is a fault of warmledger, not of your files. Please report it with this line:"


class Refused(Exception):  # noqa: N818  (it is no error of ours: the call itself needs mending)
    """The call cannot be carried out as it stands; its complaints say why, and the exit code is that of a mend."""

    def __init__(self, complaints: Sequence[Complaint]) -> None:
        """Hold the complaints."""
        self.complaints = tuple(complaints)
        super().__init__("; ".join(one.what for one in complaints))


def in_words(command: Callable[P, None]) -> Callable[P, None]:
    """Run a command so that whatever happens is said in words, with the exit code of the contract."""

    @wraps(command)
    def guarded(*args: P.args, **named: P.kwargs) -> None:
        code = _run(lambda: command(*args, **named))
        if code != DONE:
            raise SystemExit(code)

    return guarded


def _run(command: Callable[[], None]) -> int:
    try:
        command()
        sys.stdout.flush()
    except (Refused, WarmledgerError) as fault:
        tell_complaints(fault.complaints)
        return OTHER if isinstance(fault, OutputError) else MEND
    except KeyboardInterrupt:
        tell(_STOPPED)
    except OSError as problem:
        _tell_of_system(problem)
    except MemoryError:
        tell("There is not enough memory for these files.")
    except Exception as fault:
        if os.environ.get(SHOW_TRACEBACK):
            raise
        tell(f"{_OUR_FAULT} {type(fault).__name__}: {_short(fault)}")
    else:
        return DONE
    return OTHER


def _tell_of_system(problem: OSError) -> None:
    if isinstance(problem, BrokenPipeError) or problem.errno == errno.EPIPE:
        _drop_output()
        tell(_CUT_SHORT)
    elif problem.errno in (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC)):
        _drop_output()
        tell("The disk is full: the output could not be written.")
    else:
        name = os.path.basename(os.fsdecode(problem.filename)) if problem.filename else ""
        reason = (problem.strerror or type(problem).__name__).lower()
        tell(f"{name}: {reason}" if name else f"The system refused: {reason}.")


def _drop_output() -> None:
    """Give what is still to be written nowhere to go, so that the end of the program does not stumble over it."""
    try:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
    except (OSError, ValueError):
        return


def _short(fault: Exception) -> str:
    from ledger.views.text import clean

    return clean(str(fault))[:200] or "no words"


def tell(text: str) -> None:
    """One message on standard error."""
    from ledger.views.screen import screen_of

    _write(sys.stderr, screen_of(sys.stderr).prose(text))


def tell_complaints(complaints: Sequence[Complaint]) -> None:
    """Faults on standard error: what, where, how to mend it."""
    from ledger.views.complaints import complaint_lines
    from ledger.views.screen import screen_of

    _write(sys.stderr, complaint_lines(complaints, screen=screen_of(sys.stderr)))


@contextlib.contextmanager
def progress_on_terminal() -> Iterator[Callable[[str], None] | None]:
    """Something that keeps one line of progress on standard error, and wipes it in the end; None where no one looks."""
    if not sys.stderr.isatty():
        yield None
        return
    width = max(10, shutil.get_terminal_size().columns - 1)
    try:
        yield lambda text: _write_over(text, width)
    finally:
        _write_over("", width)


def _write_over(text: str, width: int) -> None:
    from ledger.views.text import clean

    with contextlib.suppress(OSError, ValueError, UnicodeEncodeError):
        sys.stderr.write(f"\r{clean(text)[:width]:<{width}}\r")
        sys.stderr.flush()


def show(lines: Sequence[str]) -> None:
    """Lines on standard output."""
    _write(sys.stdout, lines)


def show_bytes(content: bytes) -> None:
    """Bytes on standard output, as they are."""
    stream = getattr(sys.stdout, "buffer", None)
    if stream is None:
        sys.stdout.write(content.decode("utf-8"))
        return
    stream.write(content)
    stream.flush()


def _write(stream: TextIO, lines: Sequence[str]) -> None:
    text = "".join(f"{line}\n" for line in lines)
    if stream is sys.stderr:
        with contextlib.suppress(OSError, ValueError):  # nobody is left to be told
            _write_text(stream, text)
        return
    _write_text(stream, text)
    stream.flush()


def _write_text(stream: TextIO, text: str) -> None:
    try:
        stream.write(text)
    except UnicodeEncodeError:
        encoding = stream.encoding or "ascii"
        stream.write(text.encode(encoding, errors="replace").decode(encoding))
