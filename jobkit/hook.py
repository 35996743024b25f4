"""The pre-commit hook: `python -m jobkit.hook` lints what is about to be committed, and starts as little as it can.

    python -m jobkit.hook [--strict] [--book FOLDER]... [BENCH_TOML...]
    python -m jobkit.hook --wired FOLDER...

Where nothing of a book is staged it ends at once, before anything that lints is loaded. A framework that names the
bench.toml of a book, though it is not staged, asks for all files: then the whole book is checked as it is in the
working tree. With `--wired` the script of `jobkit wire` calls it: the rest of the line are folders of books, and a
status other than 0 gets 32 added, so that the shell can tell jobkit's answer from Python's own failures.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from pathlib import Path

from jobkit.book import git
from jobkit.book.cache.store import Cache
from jobkit.book.setup.hook_script import SPOKEN
from jobkit.book.shelf.find import find_book
from jobkit.book.shelf.opening import Index, kind_of
from jobkit.cli.call.cache_switch import cache_for
from jobkit.cli.call.clock import has_begun
from jobkit.cli.call.streams import answer, exit_now, open_closed, replace_unencodable, say
from jobkit.cli.start.main import INTERRUPTED, WELL, guarded
from jobkit.lint.run.seen_clean import is_clean, is_looked_at
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError


class Call(NamedTuple):
    """What the hook is asked for: the folders of the books (none: the one around here), and how.

    `named` are the folders whose bench.toml a framework names.
    """

    books: tuple[str, ...] = ()
    named: tuple[str, ...] = ()
    strict: bool = False
    wired: bool = False


def main(words: Sequence[str]) -> int:
    """Lint git's index; the status is 1 where a finding stops it of the commit."""
    open_closed()
    replace_unencodable(sys.stdout, sys.stderr)
    wired = "--wired" in words
    status = guarded(lambda: _lint(_call(words)))
    if not wired or not status:
        return status
    if status == 1:
        say("jobkit: commit stopped: fix this and stage it, or pass with `git commit --no-verify`")
    return SPOKEN + (4 if status == INTERRUPTED else status)


def _call(words: Sequence[str]) -> Call:
    todo = list(words)
    call = Call()
    while todo:
        word = todo.pop(0)
        if word == "--strict":
            call = call._replace(strict=True)
        elif word == "--wired":
            return call._replace(wired=True, books=tuple(todo))
        elif word == "--book" and todo:
            call = call._replace(books=(*call.books, todo.pop(0)))
        elif os.path.basename(word) == "bench.toml":  # noqa: PTH119 - the hook loads as little as it can
            call = call._replace(named=(*call.named, os.path.dirname(word)))  # noqa: PTH120
        else:
            raise MisuseError(
                f'the hook does not know "{word}"', "call it with --strict, --book FOLDER, or a bench.toml"
            )
    return call


def _lint(call: Call) -> int:
    status = 0
    for folder in call.books or (".",):
        if call.wired and not os.path.lexists(f"{folder}/bench.toml"):
            continue  # another branch, or another repository, without this book
        book = find_book(folder)
        query = git.StagedQuery(git.open_repo(book))
        try:
            query.begin()
            shelf = Index(book, query)
            whole = _is_named(book, call) and not any(one.path == "bench.toml" for one in shelf.changes)
            status = max(status, _whole(book, call) if whole else _status(shelf, book, call))
        finally:
            query.end()
    return status


def _status(shelf: Index, book: Path, call: Call) -> int:
    cache = cache_for(shelf)
    if cache:
        cache.open()  # while git is at work
    return WELL if _is_known(shelf, cache) else _checked(shelf, book, call)


def _is_named(book: Path, call: Call) -> bool:
    return any(os.path.realpath(folder) == os.path.realpath(book) for folder in call.named)


def _whole(book: Path, call: Call) -> int:
    from jobkit.cli.check.lint_call import LintCall  # noqa: PLC0415 # as below
    from jobkit.cli.check.linting import run  # noqa: PLC0415

    return run(LintCall((str(book),), strict=call.strict))


def _is_known(shelf: Index, cache: Cache | None) -> bool:
    """Tell whether nothing of the book is staged, or only what was checked before, as it is, and found clean."""
    changes = shelf.changes
    if not any(is_looked_at(change.path) for change in changes):
        return True
    if not cache or not all(change.blob for change in changes) or not is_clean(shelf, cache, has_begun):
        return False
    jobs = sum(kind_of(change.path) == "job" for change in changes)
    answer(f"{jobs} file{'' if jobs == 1 else 's'}: no problems found\n")
    return True


def _checked(shelf: Index, book: Path, call: Call) -> int:
    shelf.fetch_staged()
    # Loaded only now: a commit that has nothing to do with the book has no open wait.
    from jobkit.cli.check.lint_call import LintCall  # noqa: PLC0415
    from jobkit.cli.check.linting import run  # noqa: PLC0415

    return run(LintCall((str(book),), staged=True, strict=call.strict), shelf)


if __name__ == "__main__":
    exit_now(main(sys.argv[1:]))
