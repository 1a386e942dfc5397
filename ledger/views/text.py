"""Text made safe and measured for screens: what a grower typed may hold anything at all."""

from __future__ import annotations

import re
import unicodedata

_ESCAPES = re.compile(
    r"\x1b\][^\x07\x1b]*(?:\x07|\x1b\\)?"  # a window title or a link
    r"|[\x1b\x9b][\[()#;?]*[0-9;:<=>?]*[ -/]*[@-~]?"  # colours, cursor moves
)
_PLAIN = {
    "°C": "degC",
    "°F": "degF",
    "°": " deg",
    "²": "2",
    "³": "3",
    "·": "*",
    "×": "x",
    "−": "-",
    "–": "-",
    "—": "-",
    "…": "...",
    "±": "+/-",
    "≤": "<=",
    "≥": ">=",
    "→": "->",
    "“": '"',
    "”": '"',
    "‘": "'",
    "’": "'",
    "€": "EUR",
    "£": "GBP",
    "ß": "ss",
    "æ": "ae",
    "ø": "o",
    "ł": "l",
    "█": "#",
    "▒": "+",
    "─": "-",
    "\u00a0": " ",
}


def clean(text: str) -> str:
    """Take out everything that could steer a terminal or turn the line round; white space becomes single blanks."""
    without = _ESCAPES.sub("", text)
    kept = (" " if _is_blank(c) else c for c in without if _is_blank(c) or not _steers(c))
    return re.sub(r" +", " ", "".join(kept)).strip(" ")


def _is_blank(character: str) -> bool:
    return character in "\t\n\r\v\f\x85" or unicodedata.category(character) in ("Zl", "Zp", "Zs")


def _steers(character: str) -> bool:
    return unicodedata.category(character) in ("Cc", "Cf", "Cs", "Co", "Cn")


def plain_ascii(text: str) -> str:
    """The same words in plain ASCII, for a stream that can write nothing else."""
    for sign, word in _PLAIN.items():
        text = text.replace(sign, word)
    bare = unicodedata.normalize("NFKD", text)
    return "".join(c if ord(c) < 128 else "?" for c in bare if not unicodedata.combining(c))


def cell_width(text: str) -> int:
    """Columns that a text takes on a terminal: wide East Asian signs take two, combining marks none."""
    return sum(_sign_width(c) for c in text)


def _sign_width(character: str) -> int:
    if unicodedata.combining(character) or unicodedata.category(character) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(character) in ("W", "F") else 1


def fit_cells(text: str, width: int) -> str:
    """Cut a text that is wider than `width` columns, saying so with three dots."""
    if cell_width(text) <= width:
        return text
    room, reached, kept = max(0, width - 3), 0, ""
    for character in text:
        reached += _sign_width(character)
        if reached > room:
            break
        kept += character
    return (kept + "...")[:width] if width < 3 else kept + "..."


def pad_left(text: str, width: int) -> str:
    """Set a text against the right edge of a column."""
    return " " * max(0, width - cell_width(text)) + text


def pad_right(text: str, width: int) -> str:
    """Set a text against the left edge of a column."""
    return text + " " * max(0, width - cell_width(text))


def wrap(text: str, width: int) -> list[str]:
    """Break a text at blanks into lines of at most `width` columns; a longer word is broken where it must."""
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        for piece in _pieces(word, width):
            joined = f"{line} {piece}" if line else piece
            if cell_width(joined) <= width:
                line = joined
            else:
                lines.append(line)
                line = piece
    lines.append(line)
    return [one for one in lines if one] or [""]


def _pieces(word: str, width: int) -> list[str]:
    if cell_width(word) <= width:
        return [word]
    pieces, piece = [], ""
    for character in word:
        if piece and cell_width(piece + character) > width:
            pieces.append(piece)
            piece = ""
        piece += character
    return [*pieces, piece]


def sentence(text: str) -> str:
    """A text with a capital letter in front and a stop behind."""
    text = text.strip()
    if not text:
        return ""
    return text[0].upper() + text[1:] + ("" if text[-1] in ".!?" else ".")
