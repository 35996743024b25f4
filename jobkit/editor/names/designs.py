"""The design that a file is of, and what a name means by it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Container, Mapping

from jobkit.book.toml.outline import KeyPath
from jobkit.editor.names.named import Candidate, Role, candidates_at
from jobkit.editor.shown.open_file import OpenFile
from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design
from jobkit.named_tuple import NamedTuple


class Named(NamedTuple):
    """A name in a text: what it is a name of, what it is, under which path, and its offsets."""

    role: Role
    name: str
    path: KeyPath
    start: int
    end: int


def design_name(file: OpenFile) -> str:
    """Return the name of the design that a file is about; "" for one that is about none."""
    if file.kind == "board":
        return file.path.rpartition("/")[2].removesuffix(".toml")
    return _text_at(file, ("board", "design")) if file.kind == "job" else ""


def design_of(file: OpenFile, bench: Bench) -> Design | None:
    """Return the design that a job is of, or that a board file describes."""
    return bench.designs.get(design_name(file))


def kind_at(file: OpenFile, path: KeyPath, bench: Bench) -> str:
    """Return the kind of board that a place is about; in bench.toml that of its proof policy or check; "" for none."""
    if file.kind == "job":
        return _text_at(file, ("board", "kind"))
    if file.kind == "bench":
        of_check = _text_at(file, (*path[:2], "kind")) if path[:1] == ("check",) else ""
        return str(path[1]) if path[:1] == ("proof",) and len(path) > 1 else of_check
    design = design_of(file, bench)
    return (design.kind if design else None) or ""


def _text_at(file: OpenFile, path: KeyPath) -> str:
    span = file.text.outline.spans.get(path)
    value = file.text.value(span) if span else None
    return value if isinstance(value, str) else ""


def meant(candidate: Candidate, file: OpenFile, bench: Bench) -> Named | None:
    """Tell what a name is a name of, by the design of its file; None for words that turn out to be no name."""
    roles = candidate.roles
    if candidate.loose or len(roles) > 1:
        designs = _designs(candidate, file, bench)
        known = [one for one in roles if is_name(one, candidate.name, designs, bench)]
        roles = (*known, *(() if candidate.loose else roles))
    _, name, path, start, end, _ = candidate
    return Named(roles[0], name, path, start, end) if roles else None


def _designs(candidate: Candidate, file: OpenFile, bench: Bench) -> Collection[Design]:
    if file.kind == "bench":
        kind = kind_at(file, candidate.path, bench)
        return [one for one in bench.designs.values() if one.kind == kind]
    design = design_of(file, bench)
    return [design] if design else []


def is_name(role: Role, name: str, designs: Collection[Design], bench: Bench) -> bool:
    """Tell whether a name is there for a role: on the bench, or on one of some designs."""
    if role in _ON_THE_BENCH:
        return name in _ON_THE_BENCH[role](bench)
    of_board = _ON_A_BOARD.get(role)
    return of_board is not None and any(name in of_board(one) for one in designs)


_ON_THE_BENCH: Mapping[Role, Callable[[Bench], Container[str]]] = {
    "item": lambda bench: bench.stock,
    "meter": lambda bench: bench.meters,
    "design": lambda bench: bench.designs,
}
_ON_A_BOARD: Mapping[Role, Callable[[Design], Container[str]]] = {
    "point": lambda design: design.point_names,
    "rail": lambda design: design.rail_names,
    "part": lambda design: design.all_parts(),
    "channel": lambda design: design.channel_names,
    "check": lambda design: design.check_names,
}


def name_at(file: OpenFile, bench: Bench, offset: int) -> Named | None:
    """Return the name at an offset of a file; None where there is none."""
    found = (meant(one, file, bench) for one in candidates_at(file, offset))
    return next(filter(None, found), None)
