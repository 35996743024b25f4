"""What makes an entry of a file this one and no other."""

from __future__ import annotations

from collections.abc import Mapping

IDENTITY: Mapping[tuple[str, ...], tuple[str, ...]] = {
    ("reading",): ("at", "point", "to", "kind", "stage"),
    ("work",): ("at", "did", "part"),
    ("used",): ("at", "part", "item"),
    ("trial",): ("at", "run"),
    ("meter",): ("name",),
    ("rail",): ("name",),
    ("point",): ("name",),
    ("cause",): ("name",),
    ("check",): ("name",),
    ("memory",): ("part",),
}
"""The keys that tell, by table; entries of other tables are known by their whole content."""
