"""Where a name means the same thing: on one design, on every board of a kind, in one file, or in the whole book."""

from __future__ import annotations

from collections.abc import Callable, Collection

from jobkit.editor.names.designs import Named, design_name, design_of, kind_at, meant
from jobkit.editor.names.named import Role, names_in
from jobkit.editor.shown.open_file import OpenFile
from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design
from jobkit.named_tuple import NamedTuple

OF_DESIGN: frozenset[Role] = frozenset(("point", "part", "rail", "channel", "check", "cause"))
"""Names that mean something within one design only."""


class Scope(NamedTuple):
    """The designs by name, and the kinds of board, on which a name means the same.

    `policies` are the kinds whose places in bench.toml belong to it, `kinds` those of which all jobs do, whatever their
    design. `only` is the one file where nothing else does.
    """

    designs: frozenset[str] = frozenset()
    policies: frozenset[str] = frozenset()
    kinds: frozenset[str] = frozenset()
    only: str = ""


def scope_of(named: Named, file: OpenFile, bench: Bench) -> Scope | None:
    """Return where a name of a file means the same; None where that is the whole book."""
    if named.role not in OF_DESIGN:
        return None
    if file.kind == "bench":
        return of_kind(kind_at(file, named.path, bench), bench)
    design = design_of(file, bench)
    if design is None:
        return Scope(only=file.path)
    return Scope(frozenset((design_name(file),)), frozenset((design.kind,) if design.kind else ()))


def of_kind(kind: str, bench: Bench) -> Scope:
    """Return the scope of a name that bench.toml asks for on every board of a kind."""
    designs = frozenset(name for name, design in bench.designs.items() if design.kind == kind)
    return Scope(designs, frozenset((kind,)), frozenset((kind,)))


def holds(
    scope: Scope | None, named: Named, other: OpenFile, bench: Bench, donors: Callable[[], dict[str, str]]
) -> bool:
    """Tell whether a name in another file is in a scope; `donors` gives the design of each job by its id."""
    if scope is None:
        return True
    if scope.only:
        return other.path == scope.only
    if other.kind == "bench":
        return kind_at(other, named.path, bench) in scope.policies
    if named.path[-1] == "donor_part":
        return donors().get(_donor(other, named)) in scope.designs
    return design_name(other) in scope.designs or kind_at(other, named.path, bench) in scope.kinds


def designs_in(scope: Scope | None, bench: Bench) -> Collection[Design]:
    """Return the designs in a scope."""
    return [bench.designs[one] for one in sorted(scope.designs) if one in bench.designs] if scope else []


def kinds_that_name(named: Named, bench_file: OpenFile | None, bench: Bench) -> frozenset[str]:
    """Return the kinds of board for which bench.toml itself has a name."""
    if bench_file is None:
        return frozenset()
    found = ((one, meant(one, bench_file, bench)) for one in names_in(bench_file, named.name))
    return frozenset(
        kind_at(bench_file, one.path, bench)
        for one, other in found
        if other and (other.role, other.name) == (named.role, named.name)
    )


def _donor(file: OpenFile, named: Named) -> str:
    """Return the id of the job that a used part is from."""
    span = file.text.outline.spans.get((*named.path[:-1], "from"))
    return str(file.text.value(span)) if span else ""
