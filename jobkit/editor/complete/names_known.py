"""The names that the book knows for a role: what a value may be completed to, and what each of them is."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from jobkit.editor.names.designs import design_of
from jobkit.editor.names.named import Role
from jobkit.editor.shown.open_book import BookInEditor
from jobkit.editor.shown.open_file import OpenFile
from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.lint.rules.catalogue import all_rules
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.stock.donors import donors

_NEWEST = 200
"""So many jobs are offered, the newest first."""


class Known(NamedTuple):
    """A name, and what it is."""

    name: str
    what: str = ""


def known_names(role: Role, file: OpenFile, book: BookInEditor) -> tuple[Known, ...]:
    """Return the names for a role in a file, each once, in the order to offer them; raises MisuseError."""
    ask = _ASK.get(role)
    found = ask(file, book, book.book().bench) if ask else ()
    by_name: dict[str, Known] = {}
    for one in found:
        by_name.setdefault(one.name, one)
    by_name.pop("", None)
    return tuple(by_name.values())


def known_balls(part: str, file: OpenFile, book: BookInEditor) -> Iterator[Known]:
    """Yield the balls of a package, those of its data lines first; none where the board file does not draw them."""
    design = design_of(file, book.book().bench)
    if design is None:
        return
    lines = {
        ball: f"data line {number} of {channel}"
        for memory in design.memory
        for channel, balls in memory.balls
        for number, ball in enumerate(balls)
        if memory.part == part
    }
    yield from (Known(ball, what) for ball, what in lines.items())
    array = design.array_of(part)
    for row in array.row_names if array else ():
        for column in range(1, int(array.columns if array else 0) + 1):
            if f"{row}{column}" not in lines:
                yield Known(f"{row}{column}")


_Ask = Callable[[OpenFile, BookInEditor, Bench], Iterator[Known]]


def _points(file: OpenFile, _book: BookInEditor, bench: Bench) -> Iterator[Known]:
    design = design_of(file, bench)
    for one in [design] if design else bench.designs.values():
        yield from (Known(point.name or "", point.where or "") for point in one.points)


def _parts(file: OpenFile, _book: BookInEditor, bench: Bench) -> Iterator[Known]:
    design = design_of(file, bench)
    if design:
        what = {one.part: one.what or "" for one in design.packages} | {
            one.part: "memory" for one in design.memory
        }
        yield from (Known(part, what.get(part, "")) for part in sorted(design.all_parts()))


def _rails(file: OpenFile, _book: BookInEditor, bench: Bench) -> Iterator[Known]:
    design = design_of(file, bench)
    for rail in design.rails if design else ():
        yield Known(rail.name or "", rail.nominal.text if rail.nominal else "")


def _channels(file: OpenFile, _book: BookInEditor, bench: Bench) -> Iterator[Known]:
    design = design_of(file, bench)
    for package in design.memory if design else ():
        yield from (Known(channel, package.part or "") for channel in package.channels)


def _checks(file: OpenFile, _book: BookInEditor, bench: Bench) -> Iterator[Known]:
    design = design_of(file, bench)
    for check in design.checks if design else ():
        yield Known(check.name or "", f"{check.minutes} minutes" if check.minutes else "")


def _runs(file: OpenFile, book: BookInEditor, bench: Bench) -> Iterator[Known]:
    if file.job:
        policy = bench.settings.proof_for(file.job.board.kind, file.job.outcome)
        yield from (Known(name, "proof policy") for name in (policy.runs if policy else ()))
    yield from _checks(file, book, bench)


def _causes(file: OpenFile, _book: BookInEditor, bench: Bench) -> Iterator[Known]:
    design = design_of(file, bench)
    for cause in design.causes if design else ():
        yield Known(cause.name or "", cause.part or "")


def _lots(_file: OpenFile, _book: BookInEditor, bench: Bench) -> Iterator[Known]:
    for item in bench.stock.values():
        yield from (Known(lot.name, item.name) for lot in item.lots)


def _clients(_file: OpenFile, book: BookInEditor, _bench: Bench) -> Iterator[Known]:
    for one in _newest(book):
        yield Known(one.client, f"{one.id} {one.title}")


def _jobs(file: OpenFile, book: BookInEditor, _bench: Bench) -> Iterator[Known]:
    serial = file.job.board.serial if file.job else None
    ordered = sorted(_newest(book), key=lambda one: one.serial != serial)
    yield from (Known(one.id, one.title) for one in ordered[:_NEWEST] if one.path != file.path)


def _sources(_file: OpenFile, book: BookInEditor, bench: Bench) -> Iterator[Known]:
    yield from (Known("stock"), Known("bought"), Known("client"))
    for donor in donors(book.facts(), bench.designs):
        yield Known(donor.facts.id, f"donor, {donor.facts.design}")


def _attachments(file: OpenFile, book: BookInEditor, _bench: Bench) -> Iterator[Known]:
    folder = file.path.removesuffix(".toml")
    for path in book.tree.attachments(folder):
        yield Known(path.removeprefix(f"{folder}/"))


def _newest(book: BookInEditor) -> list[Facts]:
    return sorted(book.facts(), key=lambda one: (one.received or one.announced, one.id), reverse=True)


_ASK: Mapping[Role, _Ask] = {
    "point": _points,
    "part": _parts,
    "rail": _rails,
    "channel": _channels,
    "check": _checks,
    "run": _runs,
    "cause": _causes,
    "lot": _lots,
    "client": _clients,
    "job": _jobs,
    "source": _sources,
    "attachment": _attachments,
    "serial": lambda _file, book, _bench: (Known(one.serial, one.id) for one in _newest(book)[:_NEWEST]),
    "design": lambda _file, _book, bench: (
        Known(one, design.what or "") for one, design in bench.designs.items()
    ),
    "kind": lambda _file, _book, bench: (Known(one.kind or "") for one in bench.designs.values()),
    "item": lambda _file, _book, bench: (Known(one.name, one.what or "") for one in bench.stock.values()),
    "meter": lambda _file, _book, bench: (Known(one) for one in bench.meters),
    "rule": lambda file, _book, _bench: (
        Known(one.name, one.level) for one in all_rules().values() if one.waivable or file.kind != "job"
    ),
}
