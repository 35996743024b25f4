"""How often each package and its place were heated, on the page of a job."""

from __future__ import annotations

from collections.abc import Sequence

from jobkit.pages.blocks import Table, filled
from jobkit.pages.forms.data import Data, number
from jobkit.reckon.heat.cycles import Cycles, Heated

_HEADS = ("part", "package", "place", "perhaps", "factory", "allowed", "by")


def cycles_table(cycles: Sequence[Cycles], allowed: int) -> Table:
    """Show part by part how often package and place were heated at a bench, beside what the bench allows a package."""
    rows = [_row(one, allowed) for one in cycles if one.place or one.package or one.perhaps]
    return filled(Table(_HEADS, rows, right=_HEADS[1:6]))


def cycles_data(cycles: Sequence[Cycles], allowed: int) -> list[Data]:
    """Give the heatings of each part."""
    return [
        {
            "part": one.part,
            "package": one.package,
            "place": one.place,
            "perhaps": one.perhaps,
            "factory_assumed": None if one.factory is None else number(one.factory),
            "donor": one.donor or None,
            "allowed": allowed,
            "heatings": [
                {
                    "job": heated.job,
                    "at": heated.at.isoformat() if heated.at else None,
                    "did": heated.work.did,
                    "times": heated.times,
                    "by_log": heated.by_log,
                }
                for heated in one.heatings
            ],
        }
        for one in cycles
    ]


def _row(one: Cycles, allowed: int) -> tuple[str, ...]:
    over = one.package > allowed
    return (
        one.part,
        f"{one.package}, too many" if over else str(one.package),
        str(one.place),
        str(one.perhaps) if one.perhaps else "",
        f"{one.factory} assumed" if one.factory else "",
        str(allowed),
        ", ".join([*([f"donor {one.donor}"] if one.donor else []), *map(_words, one.heatings)]),
    )


def _words(heated: Heated) -> str:
    """Say what heated it: "K26-0026 fit (log)"."""
    work = heated.work
    part = f" {work.part}" if work.part else ""
    times = f" {heated.times} times" if heated.times > 1 else ""
    return f"{heated.job} {work.did}{part}{times}" + (" (log)" if heated.by_log else "")
