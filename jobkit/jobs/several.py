"""Several books side by side: their jobs keep apart by the name of the book before the id."""

from __future__ import annotations

from jobkit.jobs.bench import Bench


def in_book(name: str, bench: Bench) -> Bench:
    """Put a book's name before the ids of its jobs, and before the ids these name: `skerrie/K26-0047`."""
    return bench._replace(
        facts=tuple(
            one._replace(
                id=f"{name}/{one.id}",
                comeback_of=f"{name}/{one.comeback_of}" if one.comeback_of else "",
            )
            for one in bench.facts
        )
    )
