"""What makes an entry of a file this one and no other."""

from __future__ import annotations

from collections.abc import Mapping

from jobkit.jobs.sorts import ENTRIES

IDENTITY: Mapping[tuple[str, ...], tuple[str, ...]] = {
    **{sort.path: sort.same for sort in ENTRIES},
    ("meter",): ("name",),
    ("rail",): ("name",),
    ("point",): ("name",),
    ("cause",): ("name",),
    ("check",): ("name",),
    ("memory",): ("part",),
    ("package",): ("part",),
}
"""The keys that tell, by table; entries of other tables are known by their whole content."""
