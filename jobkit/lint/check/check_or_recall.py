"""Check jobs, or recall what was found in them before: only what is new or has changed is read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cache, partial
from hashlib import sha1
from sys import intern

from jobkit.book import git
from jobkit.book.cache.facts_row import FactsRow, pack
from jobkit.book.cache.store import CheckRow, JobRow, Key
from jobkit.book.read.batches import batches
from jobkit.book.read.current import note_current
from jobkit.book.read.load import Loaded, OpenBook, OwnFile
from jobkit.book.read.rows import MANY, blob_read, forget_others, read_rows, search_row
from jobkit.book.shelf.contents import ShelfContents
from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.lint.check.check_cache import DIGEST, ZONE, CheckResult, RulesDigests, as_text, read, write
from jobkit.lint.check.one_file import Checked, alone, check_job
from jobkit.lint.registry import BOOK_CHECKS
from jobkit.named_tuple import NamedTuple


class CheckedBook(NamedTuple):
    """Jobs of a book that were checked: their results by path, in order, and a digest of the bench's own files.

    `facts` are those of jobs that were just read and could not be kept.
    """

    results: dict[str, CheckResult]
    own: str
    facts: dict[str, FactsRow]


def check_or_recall(book: OpenBook, paths: Sequence[str]) -> CheckedBook:
    """Check jobs by themselves; where the same content was checked before, what was found is recalled."""
    digests = RulesDigests((file.path, _blob(file, book)) for file in book.own)
    if book.cache and book.cache.answer(ZONE, digests.whole) is None:
        book.cache.put_answer(ZONE, digests.whole, book.bench.settings.zone)
    results = dict(_recalled(book, paths, digests))
    lacking = [path for path in paths if path not in results]
    facts: dict[str, FactsRow] = {}
    for row, is_kept in read_rows(book, lacking, partial(_rows, digests)):
        results[row.check.path] = CheckResult._make(row.check)
        if not is_kept:
            facts[row.check.path] = row.facts
    if lacking:
        results = {path: results[path] for path in paths}
        blobs = {path: result.blob for path, result in results.items() if result.blob}
        forget_others(book, blobs)
        note_current(book, blobs)
    return CheckedBook(results, digests.whole, facts)


def _blob(file: OwnFile, book: OpenBook) -> str:
    return git.blob_id(file.content, book.shelf.hashing) if file.content else repr(file.troubles)


def _recalled(
    book: OpenBook, paths: Sequence[str], digests: RulesDigests
) -> Iterator[tuple[str, CheckResult]]:
    if not book.cache:
        return
    blobs = book.shelf.blobs(paths)
    rows = map(CheckResult._make, book.cache.checks(blobs.items() if len(paths) <= MANY else None))
    known = [
        row for row in rows if blobs.get(row.path) == row.blob and row.rules_digest == digests.of(row.design)
    ]
    opened = {row.path: read(row.opened) for row in known if row.opened}
    contents = book.shelf.blobs(path for files in opened.values() for path in files)
    for row in known:
        files = opened.get(row.path, {})
        if all(contents.get(path, "") == blob for path, blob in files.items()):
            yield row.path, row


def _rows(digests: RulesDigests, jobs: Iterable[Loaded], book: OpenBook) -> Iterator[JobRow]:
    """Check jobs step by step, a few at a time."""
    bench = alone(book.bench)
    for few in batches(jobs):
        contents = [ShelfContents(book.shelf) for _ in few]
        checked = [check_job(loaded, bench, files) for loaded, files in zip(few, contents, strict=True)]
        for loaded, found, files in zip(few, checked, contents, strict=True):
            key = loaded.path, blob_read(loaded, book)
            yield _row(key, found, write(files.opened) if files.opened else "", digests, bench)


def _row(key: Key, checked: Checked, opened: str, digests: RulesDigests, bench: Bench) -> JobRow:
    """Make the row that is kept of a job that was checked by itself."""
    facts, found = checked.facts, as_text(checked.findings)
    if facts is None:
        return JobRow(CheckRow(*key, rules_digest=digests.of(""), found=found))
    row = pack(facts)
    asking, asking_whole = _asking(facts, bench)
    check = CheckRow(
        *key,
        facts.design,
        digests.of(facts.design),
        opened,
        facts.last_done,
        write(facts.attachments) if facts.attachments else "",
        write(facts.waives) if facts.waives else "",
        asking,
        asking_whole,
        _digests(facts, row),
        found,
    )
    return JobRow(check, row, search_row(facts))


def _asking(facts: Facts, bench: Bench) -> tuple[str, str]:
    """Name the rules across jobs that have anything to ask, and those of them that ask only in the whole book."""
    asking = [one for one in BOOK_CHECKS if one.asks and one.asks(facts, bench)]
    single, whole = ([one.made.name for one in asking if one.whole is whole] for whole in (False, True))
    return intern(" ".join(single)), intern(" ".join(whole))


def _digests(facts: Facts, row: FactsRow) -> str:
    """Digest what each rule across jobs reads of a job, one after the other."""
    written, plain = _fields_read()
    said = {name: getattr(row, name) for name in written}
    said.update((name, str(getattr(facts, name))) for name in plain)
    return "".join([_digest([said[name] for name in one.reads]) for one in BOOK_CHECKS])


@cache
def _fields_read() -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Name all the fields that rules across jobs read: those that are a list of records, and the plain ones."""
    read = {name for rule in BOOK_CHECKS for name in rule.reads}
    return tuple(read.intersection(FactsRow._fields)), tuple(read.difference(FactsRow._fields))


def _digest(words: Iterable[str]) -> str:
    text = "\0".join(words).encode("utf-8", "surrogateescape")
    return sha1(text, usedforsecurity=False).hexdigest()[:DIGEST]
