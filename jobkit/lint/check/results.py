"""What is kept of the check of each job file: enough to say what was found, and whether a rule has cause to look again.

An unremarkable job whose content has not changed costs next to nothing: its text and its facts are not even loaded.
"""

from __future__ import annotations

import marshal
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence, Set
from functools import cache, partial
from hashlib import sha1
from typing import Any, NamedTuple

from jobkit.book import git
from jobkit.book.cache.packed import Packed, pack, plain
from jobkit.book.cache.store import Keep
from jobkit.book.read.batches import batches
from jobkit.book.read.facts import Row, content_id, is_worth_keeping, keep_rows, known_rows
from jobkit.book.read.load import Loaded, OpenBook, load_jobs
from jobkit.book.read.parallel import in_parts
from jobkit.book.shelf.opening import Index, Revision, Shelf, kind_of
from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.finding import Finding
from jobkit.lint.check import fingerprints as marks
from jobkit.lint.check.result import DIGEST, NAME, RECENT, Head, Recent, Was
from jobkit.lint.registry import BOOK_CHECKS


class Checked(NamedTuple):
    """What one job file says by itself: its facts (None where it is no TOML), and the findings, waived ones too."""

    facts: Facts | None
    findings: tuple[Finding, ...]


class State(NamedTuple):
    """What was kept of the last look at a whole book: heads by path, and what each rule across jobs found.

    `own` is the digest of all of the bench's own files; `across` the findings as plain tuples, by rule and path.
    """

    own: bytes = b""
    heads: Mapping[str, Any] = {}
    across: Mapping[str, Mapping[str, Any]] = {}


Check = Callable[[Loaded], Checked]


class OwnDigests:
    """Which of the bench's own files have a say in what is found in a job: all but the board files of other designs."""

    def __init__(self, book: OpenBook) -> None:
        boards = {design.path: name for name, design in book.bench.designs.items()}
        rest = sha1(repr(sorted(book.bench.designs)).encode(), usedforsecurity=False)
        self._boards: dict[str, bytes] = {}
        whole = rest.copy()
        for file in book.own:
            if kind_of(file.path) == "clients":
                continue  # no job is held to it
            said = repr((file.path, file.content, file.troubles)).encode()
            whole.update(said)
            if file.path in boards:
                self._boards[boards[file.path]] = sha1(said, usedforsecurity=False).digest()
            else:
                rest.update(said)
        self.whole = whole.digest()
        self._rest = rest.digest()

    def of(self, design: str) -> bytes:
        """Give the digest for jobs of a design."""
        return self._rest + self._boards.get(design, b"")


class Looked(NamedTuple):
    """A look at some jobs of a book: their heads, which of them were just read, and what was kept before.

    `own` is the digest of all of the bench's own files.
    """

    heads: dict[str, Head]
    fresh: Set[str]
    before: State
    own: bytes = b""


def look(book: OpenBook, paths: Sequence[str], check: Check) -> tuple[Looked, dict[str, Packed]]:
    """Look at jobs: what is kept of those whose content has not changed, the others are checked.

    What comes with it are the facts of those others.
    """
    digests = OwnDigests(book)
    before = _before(book)
    heads = dict(_still_good(book, paths, before, digests))
    lacking = [path for path in paths if path not in heads]
    facts: dict[str, Packed] = {}
    for row, packed in in_parts(partial(_check, book, digests, check), lacking):
        head = Head._make(row)
        heads[head.path] = head
        facts[head.path] = packed
    in_order = {path: heads[path] for path in paths} if facts else heads
    return Looked(in_order, frozenset(facts), before, digests.whole), facts


def _before(book: OpenBook) -> State:
    keep = book.shelf.keep
    kept = keep.load(NAME) if keep else None
    return State._make(kept) if kept else State()


def _still_good(
    book: OpenBook, paths: Iterable[str], before: State, digests: OwnDigests
) -> Iterator[tuple[str, Head]]:
    known = before.heads
    if not known:
        return
    blobs = book.shelf.blobs(paths)
    held_to: dict[str, bytes] = {}
    for path in paths:
        row = known.get(path)
        if row is not None and row[1] == blobs.get(path):
            design = row[3]
            if design not in held_to:
                held_to[design] = digests.of(design)
            if row[2] == held_to[design]:
                yield path, Head._make(row)


def _check(
    book: OpenBook, digests: OwnDigests, check: Check, paths: Sequence[str]
) -> Iterator[tuple[tuple[Any, ...], Packed]]:
    for few in batches(load_jobs(book.shelf, paths)):
        for loaded, checked in zip(few, [check(loaded) for loaded in few], strict=True):
            blob = content_id(loaded, book.shelf)
            head = head_of(loaded.path, checked, book.bench, blob, digests)
            yield tuple(head), pack(checked.facts) if checked.facts else ()


def head_of(
    path: str, checked: Checked, bench: Bench, blob: str = "", digests: OwnDigests | None = None
) -> Head:
    """Boil a check down to its head."""
    facts = checked.facts
    found = tuple(map(tuple, checked.findings))
    if facts is None:
        held_to = digests.of("") if digests else b""
        return Head(path, blob, held_to, "", is_read=False, found=found)
    asks = tuple(one.made.name for one in BOOK_CHECKS if one.asks and one.asks(facts, bench))
    held_to = digests.of(facts.design) if digests else b""
    said = {name: _written(getattr(facts, name)) for name in _fields_read()}
    read = b"".join(_digest(one.reads, said) for one in BOOK_CHECKS) if blob else b""
    leans = _digest(_LEANED_ON, said)
    alone = not any(one.made.name in asks for one in BOOK_CHECKS if not one.whole)
    seen = (facts.last_done, facts.attachments, facts.waives, asks, read, leans, bool(facts.sent), alone)
    return Head(path, blob, held_to, facts.design, True, *seen, found)  # noqa: FBT003 - a row


MANY_RECENT = 200
"""So many jobs may be kept beside the whole book."""

_LEANED_ON = ("id", "fate", "serial", "received", "finished", "sent", "collected", "comeback_of")
"""What rules across jobs ask of one job for the sake of others."""


@cache
def _fields_read() -> frozenset[str]:
    """Name all the fields that rules across jobs read."""
    return frozenset((*_LEANED_ON, *(name for rule in BOOK_CHECKS for name in rule.reads)))


def _written(value: Any) -> bytes:
    """Write a field out: what is equal alike, and what is not otherwise."""
    # Of the younger formats of marshal, none writes the same for what is equal.
    return marshal.dumps(plain(value), 2)


def _digest(names: tuple[str, ...], said: Mapping[str, bytes]) -> bytes:
    """Digest fields, of which each is written out once for all that read it."""
    return sha1(b"".join([said[name] for name in names]), usedforsecurity=False).digest()[:DIGEST]


def keep_facts(book: OpenBook, looked: Looked, facts: Mapping[str, Packed]) -> None:
    """Keep the facts of jobs that were just read, where enough of them are new."""
    shelf = book.shelf
    if _is_worth_keeping(shelf, looked):
        rows = {path: Row(looked.heads[path].blob, packed) for path, packed in facts.items()}
        keep_rows(shelf, known_rows(shelf, [path for path in looked.heads if path not in facts]), rows)


def keep_look(book: OpenBook, looked: Looked, across: Mapping[str, Mapping[str, list[Finding]]]) -> None:
    """Keep what a look at a whole book has found, where enough of it is new."""
    keep = book.shelf.keep
    if not keep or isinstance(book.shelf, Index | Revision):
        return
    if looked.before.heads and len(looked.fresh) <= MANY_RECENT:
        _keep_recent(book, looked)
    if _is_worth_keeping(book.shelf, looked):
        _keep_heads(keep, looked, across)


def _is_worth_keeping(shelf: Shelf, looked: Looked) -> bool:
    if not shelf.keep or isinstance(shelf, Index | Revision):
        return False
    return is_worth_keeping(shelf, len(looked.heads) - len(looked.fresh), len(looked.fresh))


def _keep_heads(keep: Keep, looked: Looked, across: Mapping[str, Mapping[str, list[Finding]]]) -> None:
    plain = {
        rule: {path: tuple(map(tuple, of)) for path, of in found.items()} for rule, found in across.items()
    }
    heads = {path: tuple(head) for path, head in looked.heads.items() if head.blob}
    keep.store(NAME, (looked.own, heads, plain))
    keep.store(marks.NAME, marks.text_of(looked.heads.values()))


def _keep_recent(book: OpenBook, looked: Looked) -> None:
    """Keep the few that are new, each beside what it was in the whole book, for whoever asks about just these."""
    keep, before = book.shelf.keep, looked.before.heads
    if keep is None or not looked.fresh:
        return
    heads = {path: (tuple(looked.heads[path]), _was(before.get(path))) for path in looked.fresh}
    keep.store(RECENT, tuple(recent_of(book, heads)))


def recent_of(book: OpenBook, heads: dict[str, tuple[Any, Any]]) -> Recent:
    """Say of which book the heads of the few are."""
    own = tuple(
        (file.path, git.blob_id(file.content, book.shelf.hashing))
        for file in book.own
        if kind_of(file.path) != "clients"
    )
    return Recent(own, book.bench.settings.zone, heads)


def _was(row: Any) -> tuple[Any, ...] | None:
    head = Head._make(row) if row else None
    return tuple(Was(head.blob, head.is_sent, head.leans)) if head and head.is_read else None
