"""Words for a grower's slip inside one value, and the nearest known name."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

from pydantic_core import PydanticCustomError


def slip(what: str, mend: str, *at: str) -> PydanticCustomError:
    """A fault of one value: what is wrong, the mend, and the key below it when the value is a table."""
    return PydanticCustomError("slip", "{what}", {"what": what, "mend": mend, "at": at})


def nearest(name: str, known: Iterable[str]) -> str | None:
    """The known name that looks most like a typed one; None when none is near."""
    by_folded = {one.casefold().replace("-", "_").replace(" ", "_"): one for one in known}
    typed = name.casefold().replace("-", "_").replace(" ", "_")
    if typed in by_folded:
        return by_folded[typed]
    close = difflib.get_close_matches(typed, list(by_folded), n=1, cutoff=0.5)
    if close:
        return by_folded[close[0]]
    inside = [one for folded, one in by_folded.items() if len(typed) > 2 and (typed in folded or folded in typed)]
    return min(inside, key=len) if inside else None


def listed(names: Iterable[str]) -> str:
    """Names in quotes with commas, for a mend."""
    return ", ".join(f'"{name}"' for name in names)


def offer(name: str, known: Iterable[str]) -> str:
    """A mend for an unknown name: the nearest known one first, else all of them."""
    names = list(known)
    near = nearest(name, names)
    if near is not None:
        more = f" (known: {listed(names)})" if 1 < len(names) <= 6 else ""
        return f'did you mean "{near}"?{more}'
    return f"use one of: {listed(names[:24])}" if names else "there is none to choose from yet"


def shortened(words: str, most: int = 400) -> str:
    """Words cut at a length that a screen can hold."""
    return words if len(words) <= most else f"{words[: most - 3]}..."


def as_typed(raw: object) -> str:
    """A value as a grower would recognise it."""
    if isinstance(raw, bool):
        return "true" if raw else "false"
    if isinstance(raw, str):
        return f'"{raw if len(raw) <= 60 else raw[:57] + "..."}"'
    if isinstance(raw, dict):
        return "a table { ... }"
    if isinstance(raw, list):
        return "a list [ ... ]"
    return str(raw)[:60]
