"""Which kinds of work (`did`) count as what, named once: a fitting, a repair, a change of what the board shows."""

from __future__ import annotations

FITTINGS = frozenset(("fit", "swap"))
"""Work that puts a part on the board."""

REPAIRS = FITTINGS | {"reball", "reflow", "rebuild-pads", "thermal"}
"""Work that may remove a fault."""

CHANGES = REPAIRS | {"remove", "clean"}
"""Work after which the board may show something else than it did on arrival."""

STARTS = CHANGES | {"bake", "other"}
"""Work with which a repair has begun: all but to look, and to prepare a site."""
