"""Find the job that a person means."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from difflib import get_close_matches
from pathlib import PurePosixPath

from jobkit.book.read.load import OpenBook
from jobkit.book.shelf.opening import Tree
from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design
from jobkit.jobs.meter import Meter
from jobkit.jobs.naming import spelled
from jobkit.units.errors import MisuseError


class NoSuchJobError(MisuseError):
    """No job, or more than one, has the name given."""


class NoSuchDesignError(MisuseError):
    """No design, or more than one, has the name given."""


class NoSuchMeterError(MisuseError):
    """No meter has the name given."""


def job_path(book: OpenBook, name: str) -> str:
    """Find a job by its id or the shortest tail of it that is unique, such as "47"; raises NoSuchJobError."""
    named = () if "/" in name else book.shelf.jobs_named(name.upper())
    if named:  # a whole id: the others need not be listed
        return named[-1]
    meant = jobs_ending(book.job_paths, name)
    if len(meant) == 1:
        return next(iter(meant.values()))
    if meant:
        raise NoSuchJobError(f'"{name}" could be {some(sorted(meant))}', "write more of the id")
    where = "this book" if isinstance(book.shelf, Tree) else f"the {book.shelf.name}"
    raise NoSuchJobError(f'there is no job "{name}" in {where}', "see `jobkit summarise`")


def jobs_ending(paths: Iterable[str], name: str) -> dict[str, str]:
    """Give id and path of each job whose id ends in `name`; of those alone whose id or running number it is.

    A running number may be written without its zeros: "1" and "k26-1" mean K26-0001, and not K26-0011.
    """
    ids = {PurePosixPath(path).stem: path for path in paths}
    if name.upper() in ids:
        return {name.upper(): ids[name.upper()]}
    numbered = {one: path for one, path in ids.items() if _has_number(one.upper(), name.upper())}
    return numbered or {one: path for one, path in ids.items() if one.upper().endswith(name.upper())}


def _has_number(job_id: str, name: str) -> bool:
    """Tell whether a name is the running number of a job, with or without what is before it."""
    start, _, number = job_id.rpartition("-")
    begun, _, typed = name.rpartition("-")
    if not (number.isdecimal() and typed.isdecimal()):
        return False
    return int(number) == int(typed) and start.endswith(begun)


def design_named(bench: Bench, name: str) -> Design:
    """Find a design by its name or the only beginning of it; raises NoSuchDesignError."""
    meant = spelled(name, bench.designs)
    if meant is not None:
        return bench.designs[meant]
    begun = [design for design in bench.designs if design.casefold().startswith(name.casefold())]
    if len(begun) == 1:
        return bench.designs[begun[0]]
    near = get_close_matches(name.lower(), bench.designs, n=1)
    known = begun or near or sorted(bench.designs)
    raise NoSuchDesignError(
        f'there is no design "{name}"',
        f"the book has {some(known)}" if known else "it has no board files yet",
    )


def meter_named(bench: Bench, name: str) -> Meter:
    """Find a meter by its name; raises NoSuchMeterError."""
    meant = spelled(name, bench.meters)
    if meant is not None:
        return bench.meters[meant]
    near = get_close_matches(name, bench.meters, n=4)
    known = [*near, *sorted(set(bench.meters) - set(near))]
    raise NoSuchMeterError(
        f'there is no meter "{name}"',
        f"meters.toml has {some(known)}" if known else "meters.toml has none yet",
    )


def some(names: Sequence[str]) -> str:
    """Name the first four of many."""
    return ", ".join(names[:4]) + (" and others" if len(names) > 4 else "")
