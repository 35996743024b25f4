"""Jobs that were sent or invoiced: they change only with a reason."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable, Iterator
from typing import Any

from jobkit.jobs.bench import Bench
from jobkit.jobs.entries import Credit
from jobkit.jobs.finding import Place
from jobkit.jobs.job import Job
from jobkit.jobs.sorts import ONLY_MORE, ROWS, Sort
from jobkit.lint.protocols import JobSummary
from jobkit.lint.registry import Found, FoundIn, live_rule, own_look
from jobkit.units.limit import Limit
from jobkit.units.quantity import Quantity

_SHOWN = 2
"""So many changes are named; who wants to see all of them asks for the diff."""


def _was_there(job: JobSummary, bench: Bench) -> bool:
    return job.path in bench.repository.before


@live_rule("error", _was_there, waivable=False)
def sealed(job: Job, bench: Bench) -> Iterator[Found]:
    """A sent or invoiced job was changed without a reason.

    What it finds: a change to readings, work, parts used, trials, cause, warranty, price, invoice or the day of sending
    of a job that had been sent, or to price or invoice of one whose invoice was issued, where nothing was added to its
    `[[amended]]`; and such a job whose file was taken away. It compares the working tree, or what is staged, with the
    last commit, and a commit with its first parent; where the job is not sent there but was in an earlier commit, with
    the last one that has it as sent. An added payment, credit, refund or invoice is not a change. A hook does not see a
    revert, an amended commit or a merge that git makes by itself: run `jobkit lint --since REV` in CI.

    Why it matters: the report, the bill and the warranty depend on what the job said when the board left. A reading
    that changes afterwards may be a corrected mistake or an invented proof, and without a reason it is not clear which.

    How to fix: add an `[[amended]]` entry with `at`, `by` and `why`, or undo the change. Restore a deleted file from
    git.

    Example: the value of a proof reading corrected a week after `sent`, and no `[[amended]]` with
    `why = "typed 23.4 for 32.4, see the meter's own log"`.
    """
    before = bench.repository.before.get(job.path)
    if not before or not _since(before) or _counted(job.amended) - _counted(before.amended):
        return
    broken = [
        row for row in _rows_of(before) if not job.is_broken(row.path[0]) and _is_broken(row, before, job)
    ]
    moved = bool(before.dates.sent) and before.dates.sent != job.dates.sent and not job.is_broken(*_SENT)
    if broken or moved:
        day = f"sent {job.dates.sent or 'removed'} (was {before.dates.sent})" if moved else ""
        words = "; ".join(filter(None, (day, _words(before, job, bench, {row.path[0] for row in broken}))))
        message = f"the job was {_since(before)}, and this changed since: {words}"
        mend = "add [[amended]] with at, by and why, or undo the change"
        place, about = (_place(broken[0], before, job), broken[0].path[0]) if broken else (_SENT, "sent")
        yield Found(place, about, message, mend)


_SENT = ("dates", "sent")


def breaks_seal(before: Job, after: Job) -> bool:
    """Tell whether a job that was sent, or invoiced, says other things than before that it may not without a reason."""
    return bool(_since(before)) and any(_is_broken(row, before, after) for row in _rows_of(before))


def _rows_of(before: Job) -> tuple[Sort, ...]:
    return _SEALED if before.dates.sent else _INVOICED


def _since(job: Job) -> str:
    """Say since when a job is sealed: sent, or with an invoice; "" where it is open."""
    if job.dates.sent:
        return f"sent on {job.dates.sent}"
    return f"invoiced on {job.invoice.on}" if job.invoice else ""


@own_look("sealed")
def sealed_and_gone(bench: Bench) -> Iterator[FoundIn]:
    """Look at the jobs whose files were taken away."""
    for path, job in bench.repository.gone.items():
        if _since(job):
            message = f"{job.id} was {_since(job)}, and its file was removed"
            mend = f"restore it from git, as with `git checkout HEAD -- {path}`"
            yield FoundIn(path, Found((), job.id, message, mend))


_SEALED = tuple(row for row in ROWS if row.sealed)
_INVOICED = tuple(row for row in _SEALED if row.path[0] in {"price", "invoice"})


def _is_broken(row: Sort, before: Job, after: Job) -> bool:
    """Tell whether a seal is broken: neither order nor the spelling of a unit is a change."""
    old, new = _counted(_said(row, before)), _counted(_said(row, after))
    if row.sealed == ONLY_MORE:
        return bool(old - new - _counted(_unnumbered(row, after)))
    return old != new


def _unnumbered(row: Sort, job: Job) -> Iterator[Any]:
    """Yield the credits without the numbers that they may have got since."""
    if row.record is Credit:
        yield from (one._replace(number=None) for one in _said(row, job) if one.number)


def _said(row: Sort, job: Job) -> Iterator[Any]:
    """Yield what a job says in a table, without the entries in it, which have rows of their own."""
    inner = {one.field: () for one in _SEALED if len(one.path) > 1 and one.path[:-1] == row.path}
    for record in row.of(job):
        own = record._replace(**inner)
        if row.phrase or any(own):
            yield own


def _words(before: Job, after: Job, bench: Bench, parts: set[str]) -> str:
    # It is rare that a seal is broken; who checks a job need not wait for the words.
    from jobkit.reckon.changes.job_changes import JobVersion, changes  # noqa: PLC0415

    found = changes(JobVersion(before, bench), JobVersion(after, bench))
    told = [one.words for one in found if _TABLE.get(one.what, one.what) in parts]
    rest = len(told) - _SHOWN
    return "; ".join(told[:_SHOWN]) + (f"; and {rest} more" if rest > 0 else "")


_TABLE = {row.name: row.path[0] for row in ROWS}


def _place(row: Sort, before: Job, after: Job) -> Place:
    """Point at the first entry that is not what it was, or at the table."""
    left = _counted(_said(row, before))
    for entry in row.of(after) if row.phrase else ():
        if not left[_plain(entry)]:
            place: Place = entry.path
            return place
        left[_plain(entry)] -= 1
    return row.path[:1]


def _counted(entries: Iterable[Any]) -> Counter[Hashable]:
    return Counter(map(_plain, entries))


def _plain(value: Any) -> Hashable:
    """Take of an entry what it says: without its place in the file and the spelling of its quantities."""
    if isinstance(value, Quantity):
        return value.value, value.unit
    if isinstance(value, Limit):
        return _plain(value.low), _plain(value.high), value.open
    if isinstance(value, tuple):
        fields = getattr(value, "_fields", range(len(value)))
        return tuple(_plain(one) for name, one in zip(fields, value, strict=True) if name != "path")
    said: Hashable = value
    return said
