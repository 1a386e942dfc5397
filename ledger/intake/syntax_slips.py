"""Slips of syntax that people make, each with a name and a mend."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass

from ledger.intake.syntax_lines import Lines, Slip
from ledger.intake.syntax_values import mend_of_value

_CURLY = "“”„‟«»‘’‚‛′″"
_STRAIGHT = str.maketrans(dict.fromkeys("“”„‟«»″", '"') | dict.fromkeys("‘’‚‛′", "'"))
_QUOTED = re.compile(r'"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'')
LOOKED_AT = 2000
"""Signs of a line that are searched for slips; a longer line is no line of a person."""
_PAIR = re.compile(r"([^\s={},\[\]#][^={},#]*?)[ \t]*=[ \t]*")


@dataclass(frozen=True, slots=True)
class Candidate:
    """A value on a line as typed: its key, its text, its column."""

    key: str
    text: str
    column: int


def find_slip(lines: Lines, offset: int, words: str) -> Slip | None:
    """The slip at or before the place where reading stopped; None when it has no name.

    Parameters
    ----------
    lines : the text. [-]
    offset : where reading stopped. [-]
    words : the reader's own words. [-]
    """
    line, column = lines.place(min(offset, len(lines.text)))
    while line > 1 and not lines.line(line).strip():
        line -= 1
        column = len(lines.line(line))
    finders = (
        _header,
        _twice,
        _unseen,
        _curly,
        _backslash,
        _inline_over_lines,
        _value,
        _open_quote,
        _commas,
        _open_bracket,
        _no_equals,
    )
    for finder in finders:
        slip = finder(lines, offset, line, column, words)
        if slip is not None:
            return slip
    return None


def _twice(lines: Lines, _offset: int, line: int, _column: int, words: str) -> Slip | None:
    """A header or a key that stands twice."""
    if not words.startswith(("Cannot declare", "Cannot overwrite", "Cannot mutate", "Cannot redefine", "Duplicate")):
        return None
    headers = [(number, rows, name) for number, rows, name in lines.headers() if number <= line]
    own = next(((number, rows, name) for number, rows, name in headers if number == line), None)
    if own is not None:
        first = next((number for number, _, name in headers if name == own[2] and number < line), None)
        where = f" (first in line {first})" if first else ""
        mixed = any(rows != own[1] for _, rows, name in headers if name == own[2])
        many = f"[[{own[2]}]]"
        mend = f"use two brackets for every one: {many}" if mixed else "write its keys under the first one"
        return Slip(line, lines.line(line).find("["), f'the header "{own[2]}" is typed twice{where}', mend)
    key = _key_of(lines.line(line))
    begins = max((number for number, _, _ in headers), default=0)
    first = next((n for n in range(begins + 1, line) if _key_of(lines.line(n)) == key), None)
    where = f" (first in line {first})" if first else ""
    typed = lines.line(line)
    return Slip(
        line, len(typed) - len(typed.lstrip()), f'the key "{key}" is typed twice{where}', "keep one of the two lines"
    )


def _key_of(line: str) -> str:
    match = _PAIR.match(line.strip()[:LOOKED_AT])
    return match.group(1).strip("\"' ") if match else line.strip()


def _outside_quotes(line: str) -> str:
    """The line with straight-quoted text and the comment blanked out."""
    blanked = _QUOTED.sub(lambda match: "\0" * len(match.group()), line)
    hash_at = blanked.find("#")
    return blanked if hash_at < 0 else blanked[:hash_at] + "\0" * (len(blanked) - hash_at)


def _curly(lines: Lines, _offset: int, line: int, _column: int, _words: str) -> Slip | None:
    """Quotes that a word processor has bent."""
    typed = lines.line(line)
    plain = _outside_quotes(typed)
    at = next((n for n, sign in enumerate(plain) if sign in _CURLY), None)
    if at is None:
        return None
    return Slip(
        line,
        at,
        "curly quotes: a word processor has bent them",
        f"use straight ones: {typed.translate(_STRAIGHT).strip()}",
    )


def _backslash(lines: Lines, _offset: int, line: int, _column: int, words: str) -> Slip | None:
    """A path with backslashes inside double quotes."""
    typed = lines.line(line)
    if "\\" not in typed or not re.search(r"\\|escape|hex|unicode", words, re.IGNORECASE):
        return None
    return Slip(
        line,
        typed.find("\\"),
        "a backslash in a path: TOML takes it for an escape",
        f"write / : {typed.strip().replace(chr(92) * 2, '/').replace(chr(92), '/')}",
    )


def _inline_over_lines(lines: Lines, offset: int, line: int, _column: int, _words: str) -> Slip | None:
    """An inline table that is not closed on its line."""
    stack = lines.open_at(offset)
    if not stack or stack[-1].sign != "{":
        return None
    opened, column = lines.place(stack[-1].offset)
    typed = lines.line(opened)
    blanked = _outside_quotes(typed)
    if blanked.count("{") <= blanked.count("}"):
        return None
    slip = _value(lines, offset, opened, 0, "")
    if slip is not None and line == opened:
        return slip
    return Slip(
        opened,
        column,
        "the table in { } is not closed on its own line",
        "write all of it on one line: key = { low = 1, likely = 2, high = 3 }",
    )


def _candidates(line: str) -> Iterator[Candidate]:
    """The values that stand on a line, each up to the next comma before a key, bracket, comment or the end."""
    line = line[:LOOKED_AT]
    plain = _outside_quotes(line)
    for match in _PAIR.finditer(plain):
        start = match.end()
        rest = plain[start:]
        if rest.startswith(("{", "[")):
            continue
        end = re.search(r"\s*(?:,\s*[A-Za-z_\"'][\w\"'-]*\s*=|\}|\]|\x00*$|#)", rest)
        stop = start + (end.start() if end and "\0" not in rest[: end.start()] else len(rest.split("#")[0]))
        text = line[start:stop].rstrip().rstrip(",").rstrip()
        yield Candidate(match.group(1).strip("\"' "), text, start)


def _value(lines: Lines, _offset: int, line: int, _column: int, _words: str) -> Slip | None:
    """A value that is no TOML value."""
    typed = lines.line(line)
    if re.match(r"\s*\[", typed):
        return None
    for one in _candidates(typed):
        mended = mend_of_value(one.key, one.text)
        if mended is not None:
            return Slip(line, one.column + mended.column, mended.what, mended.mend)
    return None


def _open_quote(lines: Lines, offset: int, line: int, _column: int, _words: str) -> Slip | None:
    """A text that is not closed."""
    stack = lines.open_at(min(offset + 1, len(lines.text)))
    if stack and stack[-1].sign in ('"""', "'''"):
        opened, column = lines.place(stack[-1].offset)
        return Slip(
            opened, column, f"the text begun with {stack[-1].sign} is not closed", f"add {stack[-1].sign} at its end"
        )
    typed = lines.line(line)
    blanked = _QUOTED.sub(lambda match: "\0" * len(match.group()), typed)
    at = next((n for n, sign in enumerate(blanked) if sign in "\"'"), None)
    hash_at = blanked.find("#")
    if at is None or (0 <= hash_at < at):
        return None
    key = _key_of(typed)
    sign = typed[at]
    return Slip(
        line, at, f"the text is not closed: one {sign} stands alone", f"write: {key} = {sign}...{sign} with both signs"
    )


def _header(lines: Lines, _offset: int, line: int, _column: int, _words: str) -> Slip | None:
    """A header without its brackets."""
    typed = lines.line(line)[:LOOKED_AT]
    match = re.match(r"\s*(\[{1,2})\s*([A-Za-z][\w. -]*?)\s*(\]{0,2})\s*(?:#.*)?$", typed)
    if match is None or len(match.group(1)) == len(match.group(3)):
        return None
    brackets = max(len(match.group(1)), len(match.group(3)))
    name = match.group(2)
    mend = f"write {'[' * brackets}{name}{']' * brackets}"
    return Slip(line, match.end(2), f'the brackets before and behind the header "{name}" do not match', mend)


def _unseen(lines: Lines, _offset: int, line: int, _column: int, words: str) -> Slip | None:
    """A control sign, which no editor shows."""
    at = next((n for n, sign in enumerate(lines.line(line)) if ord(sign) < 32 and sign != "\t"), None)
    if at is None or "character" not in words:
        return None
    return Slip(line, at, "a sign that cannot be seen stands in the line", "delete the line and type it again")


def _commas(lines: Lines, _offset: int, line: int, _column: int, _words: str) -> Slip | None:
    """Two commas in a row, or one with nothing before it."""
    match = re.search(r"[,\[{]\s*,", _outside_quotes(lines.line(line)[:LOOKED_AT]))
    if match is None:
        return None
    return Slip(line, match.end() - 1, "a comma has nothing before it", "take it out, or write the value before it")


def _open_bracket(lines: Lines, offset: int, _line: int, _column: int, _words: str) -> Slip | None:
    """A list that is not closed."""
    stack = [one for one in lines.open_at(offset) if one.sign == "["]
    if not stack:
        return None
    opened, column = lines.place(stack[0].offset)
    return Slip(opened, column, "the list in [ ] is not closed", "add ] at its end")


def _no_equals(lines: Lines, _offset: int, line: int, column: int, _words: str) -> Slip | None:
    """A line without =, or a key that is none."""
    typed = lines.line(line).strip()[:LOOKED_AT]
    before = len(lines.line(line)) - len(lines.line(line).lstrip())
    colon = re.match(r"([\w-]+)\s*:\s*(.+)$", typed)
    if colon is not None:
        return Slip(
            line,
            before + len(colon.group(1)),
            "a colon stands where = is due",
            f"write: {colon.group(1)} = {colon.group(2)}",
        )
    if typed.startswith("="):
        return Slip(line, before, "no key stands before the =", f"write: key {typed}")
    if typed in ("]", "]]", "}"):
        return Slip(line, before, f"{typed} closes nothing", "take it out, or open it before")
    if "=" not in _outside_quotes(typed):
        first, _, rest = typed.partition(" ")
        mend = f"write: {first} = {rest}" if rest else f"write: {first} = ..., or begin the line with # for a remark"
        return Slip(line, before, "the line has no = between key and value", mend)
    key = typed.split("=", 1)[0].strip()
    if key and not re.fullmatch(r"[A-Za-z0-9_.-]+|\"[^\"]*\"|'[^']*'", key):
        plain = unicodedata.normalize("NFKD", key).encode("ascii", "ignore").decode()
        joined = re.sub(r"[^A-Za-z0-9_.-]+", "_", plain).strip("_")
        return Slip(line, before, f'"{key}" is no key: keys are letters, digits, _ and -', f"write: {joined} = ...")
    if re.search(r"\S\s+[A-Za-z_]+\s*=", _outside_quotes(typed.split("=", 1)[1])):
        return Slip(line, column, "two keys stand on one line", "give each key its own line")
    return None
