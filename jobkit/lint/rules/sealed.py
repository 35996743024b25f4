"""Jobs that have been sent: what stood in them then stands, or a change is owned up to."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator
from typing import Any

from jobkit.jobs.bench import Bench
from jobkit.jobs.job import Job, Price
from jobkit.lint.protocols import Glance
from jobkit.lint.registry import Found, FoundIn, live_rule, own_look
from jobkit.units.limit import Limit
from jobkit.units.quantity import Quantity

_SHOWN = 2
"""So many changes are named; who wants to see all of them asks for the diff."""


def _was_there(job: Glance, bench: Bench) -> bool:
    return job.path in bench.beside.before


@live_rule("error", _was_there, waivable=False)
def sealed(job: Job, bench: Bench) -> Iterator[Found]:
    """A job that had been sent was changed without a word.

    What it finds: a change to readings, work, parts used, trials, cause, warranty or price of a job that had a date of
    sending before, where nothing was added to its `[[amended]]`; and such a job whose file was taken away. It compares
    the working tree, or what is staged, with the last commit, and a commit with its first parent. A payment or a credit
    that is added is no change.

    Why it matters: the client's paper, the bill and the warranty rest on what the job said when the board left. A
    reading that changes afterwards is a mistake mended or a proof made up, and nobody can tell which.

    How to mend: add an `[[amended]]` entry with `at`, `by` and `why`, or take the change back. Bring a file that was
    taken away back out of git.

    Example: the value of a proof reading corrected a week after `sent`, and no `[[amended]]` with
    `why = "typed 23.4 for 32.4, see the meter's own log"`.
    """
    before = bench.beside.before.get(job.path)
    if not before or before.dates.sent is None or _counted(job.amended) - _counted(before.amended):
        return
    parts = [
        name for name, has_changed in _SEALED.items() if not job.is_broken(name) and has_changed(before, job)
    ]
    if parts:
        words = _words(before, job, bench, parts)
        message = f"the job was sent on {before.dates.sent}, and this changed since: {words}"
        mend = "add [[amended]] with at, by and why, or take the change back"
        yield Found(_place(before, job, parts[0]), parts[0], message, mend)


@own_look("sealed")
def sealed_and_gone(bench: Bench) -> Iterator[FoundIn]:
    """Look at the jobs whose files were taken away."""
    for path, job in bench.beside.gone.items():
        if job.dates.sent is not None:
            message = f"{job.id} was sent on {job.dates.sent}, and its file was taken away"
            mend = f"bring it back out of git, as with `git checkout HEAD -- {path}`"
            yield FoundIn(path, Found((), job.id, message, mend))


_Part = Callable[[Job], Any]
_Test = Callable[[Job, Job], bool]


def _differs(part: _Part) -> _Test:
    """Tell entries apart by what they say: neither their order nor the spelling of a unit is a change."""

    def test(before: Job, after: Job) -> bool:
        return _counted(part(before)) != _counted(part(after))

    return test


def _price_differs(before: Job, after: Job) -> bool:
    """Tell whether a price changed; what is paid or given back later is only added."""
    old, new = before.price or Price(), after.price or Price()
    later = (_counted(old.payments) - _counted(new.payments)) or (
        _counted(old.credits) - _counted(new.credits)
    )
    return bool(later) or old._replace(payments=(), credits=()) != new._replace(payments=(), credits=())


_ENTRIES: dict[str, _Part] = {
    "reading": lambda job: job.readings,
    "work": lambda job: job.work,
    "used": lambda job: job.used,
    "trial": lambda job: job.trials,
}
_SEALED: dict[str, _Test] = {
    **{name: _differs(part) for name, part in _ENTRIES.items()},
    "cause": _differs(lambda job: [job.cause]),
    "warranty": _differs(lambda job: [job.warranty._replace(given=False)]),
    "price": _price_differs,
}
"""What is sealed, by its key in the file."""

_TOLD_AS = {"agreed": "price", "line": "price", "payment": "price", "credit": "price"}


def _words(before: Job, after: Job, bench: Bench, parts: list[str]) -> str:
    # It is rare that a seal is broken; who checks a job need not wait for the words.
    from jobkit.reckon.changes.job_changes import Known, changes  # noqa: PLC0415

    found = changes(Known(before, bench), Known(after, bench))
    told = [one.words for one in found if _TOLD_AS.get(one.what, one.what) in parts]
    rest = len(told) - _SHOWN
    return "; ".join(told[:_SHOWN]) + (f"; and {rest} more" if rest > 0 else "")


def _place(before: Job, after: Job, part: str) -> tuple[str | int, ...]:
    """Point at the first entry that is not what it was, or at the table."""
    if part not in _ENTRIES:
        return (part,)
    left = _counted(_ENTRIES[part](before))
    for entry in _ENTRIES[part](after):
        if not left[_plain(entry)]:
            place: tuple[str | int, ...] = entry.path
            return place
        left[_plain(entry)] -= 1
    return (part,)


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
