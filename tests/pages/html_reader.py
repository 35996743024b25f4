"""Reads a page back as a browser would: its text, its tags in order, and whether each that was opened is closed."""

from __future__ import annotations

from html.parser import HTMLParser

_VOID = frozenset(("meta", "img", "input", "br", "link"))


class ReadPage(HTMLParser):
    """The tags of a page with their attributes, its text, and its style sheet."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[str] = []
        self.style = ""
        self._open: list[str] = []
        self.feed(page)
        self.close()
        assert self._open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in _VOID:
            self._open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self._open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self._open and self._open[-1] == "style":
            self.style += data
        self.texts.append(data)

    def named(self, tag: str) -> list[dict[str, str | None]]:
        """Return the attributes of each element of a name."""
        return [attributes for name, attributes in self.tags if name == tag]

    def policy(self) -> str:
        """Return the Content-Security-Policy of the page."""
        found = [one["content"] for one in self.named("meta") if one.get("http-equiv")]
        assert len(found) == 1
        return found[0] or ""
