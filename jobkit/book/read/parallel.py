"""Much work in several processes at once, where the machine can split one.

A forked process has everything its parent had read, so nothing but the outcome has to be sent back; it costs a few
milliseconds, and is worth that from a few hundred files on.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator, Sequence
from typing import IO, Any

from jobkit.book.cache.frames import piece_of, pieces_in
from jobkit.book.read.watch import Tell

_WORTH_IT = 200
_MOST = 8
_AT_ONCE = 100


def map_in_processes(
    work: Callable[[Sequence[str]], Iterator[Any]], items: Sequence[str], tell: Tell | None = None
) -> Iterator[Any]:
    """Yield what `work` makes of the items, part by part; every outcome must be plain data, as marshal writes it.

    The order is that of no one part after another. A part whose process is killed is done over here. `tell` is told how
    much is done, as far as this process knows: the others are taken to be as far as it is.
    """
    count = min(_processes(), len(items) // _WORTH_IT)
    if count < 2:
        yield from _told(work(items), tell, 1)
        return
    # What is alike lies together in a book: dealt out like cards, each part has as much of everything.
    shares = [items[start::count] for start in range(count)]
    away = [(share, *_begin(work, share)) for share in shares[1:]]
    yield from _told(work(shares[0]), tell, count)
    for share, process, file in away:
        _, status = os.waitpid(process, 0)
        with file:
            if status:
                yield from work(share)
            else:
                file.seek(0)
                for batch in pieces_in(file):
                    yield from batch


def _told(outcomes: Iterator[Any], tell: Tell | None, each: int) -> Iterator[Any]:
    for done, outcome in enumerate(outcomes, 1):
        yield outcome
        if tell:
            tell(done * each)


def _processes() -> int:
    # Forking is not safe with Apple's frameworks loaded.
    if not hasattr(os, "fork") or sys.platform == "darwin":
        return 1
    return min(len(os.sched_getaffinity(0)), _MOST)


def _begin(work: Callable[[Sequence[str]], Iterator[Any]], share: Sequence[str]) -> tuple[int, IO[bytes]]:
    """Fork a process that does a share and writes the outcome to a file without a name."""
    from tempfile import TemporaryFile  # noqa: PLC0415 - most calls have not that much to do

    file = TemporaryFile()  # noqa: SIM115 - closed by the reader
    sys.stdout.flush()
    sys.stderr.flush()
    process = os.fork()
    if process:
        return process, file
    status = 1
    try:
        batch = []
        for outcome in work(share):
            batch.append(outcome)
            if len(batch) == _AT_ONCE:
                file.write(piece_of(batch))
                batch = []
        if batch:
            file.write(piece_of(batch))
        file.flush()
        status = 0
    finally:
        # Nothing of what the parent has under way may be done twice, whatever happened here.
        os._exit(status)
