"""Reading a report as a browser would, without one."""

from __future__ import annotations

from collections.abc import Iterator
from html.parser import HTMLParser

VOID = frozenset({"meta", "br", "hr", "img", "link", "input"})


class Page(HTMLParser):
    """Elements in their order, each with its attributes and the text in it; nesting is held."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.text: list[str] = []
        self.inside: dict[int, list[str]] = {}
        self._open: list[tuple[str, int]] = []
        self.feed(text)
        self.close()
        assert self._open == [], f"never closed: {self._open}"

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        self.inside[len(self.elements) - 1] = []
        if tag not in VOID:
            self._open.append((tag, len(self.elements) - 1))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        self.inside[len(self.elements) - 1] = []

    def handle_endtag(self, tag: str) -> None:
        opened, _ = self._open.pop()
        assert opened == tag, f"{opened} is closed by {tag}"

    def handle_data(self, data: str) -> None:
        if not any(tag in ("style", "title", "desc", "text") for tag, _ in self._open):
            self.text.append(data)
        for _, place in self._open:
            self.inside[place].append(data)

    def of(self, tag: str) -> Iterator[tuple[dict[str, str | None], str]]:
        """Every element of a kind, with the text in it."""
        for place, (name, attributes) in enumerate(self.elements):
            if name == tag:
                yield attributes, " ".join("".join(self.inside[place]).split())

    @property
    def words(self) -> str:
        """All text that is read, blanks folded."""
        return " ".join(" ".join(self.text).split())
