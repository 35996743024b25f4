"""What the bench has: meters and stock items that jobs and board files name."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.bench import Bench
from jobkit.jobs.entries import Pad, Reading
from jobkit.jobs.finding import Place
from jobkit.jobs.job import Job
from jobkit.lint.registry import Found, FoundIn, own_look, rule
from jobkit.lint.rules.nearest import suggest


@rule("error")
def meter_unknown(job: Job, bench: Bench) -> Iterator[Found]:
    """A reading names a meter that the bench does not have.

    What it finds: `meter` of a reading or a pad that is not in meters.toml, in a book that has meters.

    Why it matters: meters.toml shows how far a reading can be trusted, and whether the meter was calibrated.

    How to fix: correct the name, or add the meter to meters.toml.

    Example: `meter = "dmm1"` where meters.toml has dmm-1.
    """
    if not bench.meters:
        return
    entries: tuple[Reading | Pad, ...] = (*job.readings, *job.pads)
    for entry in entries:
        if entry.meter is not None and entry.meter not in bench.meters:
            message = f"there is no meter {entry.meter} in meters.toml"
            mend = suggest(entry.meter, bench.meters, "add it to meters.toml")
            yield Found((*entry.path, "meter"), entry.meter, message, mend)


@rule("error")
def item_unknown(job: Job, bench: Bench) -> Iterator[Found]:
    """A part was taken from stock under a name that stock.toml does not have.

    What it finds: a [[used]] from stock (or without `from`) whose `item` is not a key in stock.toml, and `item` of a
    package in a board file, in a book that has any stock.

    Why it matters: what is on hand is counted by this name.

    How to fix: correct the name, add the item to stock.toml, or write `from = "bought"` if it did not come from stock.

    Example: `item = "stage-50-5x6"` where stock.toml has stage-50a-5x6.
    """
    for used in job.used if bench.stock else ():
        if used.item is not None and used.source in {None, "stock"} and used.item not in bench.stock:
            yield _unknown_item((*used.path, "item"), used.item, bench)


@own_look("item-unknown")
def item_unknown_in_a_board_file(bench: Bench) -> Iterator[FoundIn]:
    """Look at what replaces each package."""
    for design in bench.designs.values() if bench.stock else ():
        for package in design.packages:
            if package.item is not None and package.item not in bench.stock:
                yield FoundIn(design.path, _unknown_item((*package.path, "item"), package.item, bench))


def _unknown_item(place: Place, name: str, bench: Bench) -> Found:
    mend = suggest(name, bench.stock, "add it to stock.toml")
    return Found(place, name, f"there is no {name} in stock.toml", mend)
