"""A second reader of iCalendar text, written from RFC 5545 alone, that knows nothing of the library that wrote it."""

from __future__ import annotations

import re
from typing import NamedTuple

_LINE = re.compile(r"([A-Z0-9-]+)((?:;[A-Z0-9-]+=[^:;]*)*):(.*)", re.DOTALL)
_ESCAPES = {"n": "\n", "N": "\n", ",": ",", ";": ";", "\\": "\\"}


class Component(NamedTuple):
    """A component: its properties by name (with parameters behind a semicolon), and the components in it."""

    name: str
    properties: dict[str, str]
    inside: list[Component]

    def text(self, name: str) -> str:
        """Give a property of type TEXT, with its escapes undone (3.3.11)."""
        return re.sub(r"\\(.)", lambda escape: _ESCAPES[escape[1]], self.properties[name], flags=re.DOTALL)


def read(content: bytes) -> Component:
    """Read one calendar: lines end in CRLF and are folded at 75 octets (3.1); components nest (3.4)."""
    assert content.endswith(b"\r\n")
    physical = content.split(b"\r\n")[:-1]
    assert not any(b"\r" in line or b"\n" in line for line in physical)
    assert max(map(len, physical)) <= 75
    for octets in physical:
        octets.decode("utf-8")  # a fold may not tear a letter apart
    logical = content.replace(b"\r\n ", b"").decode("utf-8").split("\r\n")[:-1]
    open_: list[Component] = [Component("", {}, [])]
    for line in logical:
        match = _LINE.fullmatch(line)
        assert match, line
        name, parameters, value = match.groups()
        if name == "BEGIN":
            open_.append(Component(value, {}, []))
        elif name == "END":
            closed = open_.pop()
            assert closed.name == value
            open_[-1].inside.append(closed)
        else:
            assert name + parameters not in open_[-1].properties, line
            open_[-1].properties[name + parameters] = value
    (whole,) = open_[0].inside
    return whole
