"""The kinds of work in a word each, as a table names them."""

from __future__ import annotations

from jobkit.units.phrase import phrase

WORK_KINDS = {
    "inspect": phrase("inspect", "kind of work"),
    "clean": phrase("clean", "kind of work"),
    "remove": phrase("remove", "kind of work"),
    "prepare": phrase("prepare", "kind of work"),
    "fit": phrase("fit", "kind of work"),
    "reball": phrase("reball", "kind of work"),
    "reflow": phrase("reflow", "kind of work"),
    "swap": phrase("swap", "kind of work"),
    "rebuild-pads": phrase("rebuild-pads", "kind of work"),
    "bake": phrase("bake", "kind of work"),
    "thermal": phrase("thermal", "kind of work"),
    "other": phrase("other", "kind of work"),
    "work": phrase("work", "kind of work"),
}
"""The same words as in the files; "work" is work of no kind."""
