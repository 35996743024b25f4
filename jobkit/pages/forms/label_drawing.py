"""Draw a label as SVG, 62 by 29 mm: what common label printers take, and ten fit on a sheet."""

from __future__ import annotations

from collections.abc import Sequence

from jobkit.pages.forms.html import template

_CODE = 27.0
_MOST = 26


def label_svg(job: str, modules: Sequence[Sequence[bool]], lines: Sequence[str]) -> str:
    """Draw the id of a job large, its code beside it and lines of small print below; sizes are in millimetres."""
    size = _CODE / len(modules)
    return template("label.svg").render(
        job=job,
        size=f"{size:.4f}",
        dark=[(x, y) for y, row in enumerate(modules) for x, module in enumerate(row) if module],
        lines=[line if len(line) <= _MOST else f"{line[: _MOST - 1]}…" for line in lines],
    )
