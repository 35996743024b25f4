"""What the writing commands share: who writes to which job and when, and that nothing mistyped gets into a file.

An entry is on the disk, whole, before anything is said of it. What is written is noted in the journal first, so that
`jobkit undo` can take it back.
"""

from __future__ import annotations

import os
import re
import sys
import warnings
from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import datetime
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from jobkit.book.disk.errors import DiskError
from jobkit.book.history.selected import settle
from jobkit.book.read.load import Loaded, OpenBook, load_job, open_for_few
from jobkit.book.read.lookup import job_path
from jobkit.book.shelf.opening import Tree
from jobkit.book.toml.parse import TomlError
from jobkit.book.write.noted import Edit, Pen, SessionChanges
from jobkit.book.write.session import Session, SessionFiles
from jobkit.cli.bench.noting import hand_of, logged_in
from jobkit.cli.call.books import only_folder
from jobkit.cli.call.clock import now
from jobkit.cli.call.streams import answer, folded, say
from jobkit.jobs.digest import facts_of
from jobkit.jobs.entries import Reading
from jobkit.jobs.finding import Finding
from jobkit.jobs.job import Job
from jobkit.lint.run.dependents import may_have_been_sent
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import LeftUndoneWarning, MisuseError, in_lines

if TYPE_CHECKING:
    import click

_MOST_OF_ONE_RULE = 3
_LINE_TO_ADD = re.compile(r"add ([a-z_]+) = (.+)")
_SAID_ELSEWHERE = frozenset(("reading-outside", "reading-near"))


class Writing(NamedTuple):
    """A book about to be written to: what it knows, what is remembered, who did the work, and the time at the bench.

    `hand` is who types. `also` is what changes in the session together with what is written next.
    """

    root: Path
    book: OpenBook
    files: SessionFiles
    session: Session
    by: str
    now: datetime
    hand: str
    also: SessionChanges = MappingProxyType({})

    def remember(self, **changes: Any) -> None:
        """Remember something in the session; where that cannot be written, warn and go on."""
        try:
            self.files.remember(**changes)
        except DiskError as error:
            message = f"{', '.join(changes)} not remembered: {error.message}"
            warnings.warn(LeftUndoneWarning(message), stacklevel=2)

    def pen(self, what: str) -> Pen:
        """Return a pen for one entry, named in words for `undo`."""
        return Pen(self.root, what, self.hand, now(self.book.bench.settings), self.also)


def begin(
    ctx: click.Context, books: list[str] | None, by: str | None = None, at: str | None = None
) -> Writing:
    """Open the one book of the call for writing; raises MisuseError."""
    return begin_in(only_folder((*ctx.obj, *(books or ())), ctx.command.name or ""), by, at)


def begin_in(root: Path, by: str | None = None, at: str | None = None) -> Writing:
    """Open a book for writing; raises MisuseError."""
    files = SessionFiles(root)
    session, moved = settle(root)
    for line in moved:
        say(f"jobkit: {line}")
    if by and not by.isprintable():
        raise MisuseError("--by cannot be read: it is not text", "write a name")
    opened = open_for_few(Tree(root))
    check_bench(opened)
    clock = now(opened.bench.settings)
    opened = opened._replace(bench=opened.bench._replace(today=clock.date()))
    moment = _moment(at, clock) if at else clock
    writing = Writing(root, opened, files, session, by or _who(session), moment, hand_of(session, by))
    if by and by != session.by:
        writing.remember(by=by)
    return writing


def check_bench(book: OpenBook, *keys: str) -> None:
    """Refuse to write where bench.toml cannot be read, or one of these keys in it: a habit would take their place.

    Raises MisuseError.
    """
    places = {(), *(("bench", key) for key in keys)}
    for file in book.own:
        for trouble in file.troubles if file.path == "bench.toml" else ():
            if trouble.place in places:
                raise MisuseError(f"bench.toml: {trouble.message}", trouble.mend)


def job_meant(writing: Writing, name: str | None) -> Job:
    """Load the job named, else the one chosen; raises MisuseError where there is none."""
    if name is None and not writing.session.job:
        raise MisuseError(
            "no job is selected", "select one: `jobkit on 47` (`jobkit queue` lists the open jobs)"
        )
    return load_meant(writing, job_path(writing.book, name or writing.session.job))


def load_meant(writing: Writing, path: str) -> Job:
    """Load the job at a path of the book as it is now on the disk; raises MisuseError where it cannot be parsed."""
    loaded = load_job(path, writing.book.shelf.read(path))
    if loaded.job is None:
        raise _broken(loaded)
    return loaded.job


def put(
    writing: Writing, path: str, edits: Sequence[Edit], what: str, *, as_is: bool = False
) -> tuple[Finding, ...]:
    """Write edits to a job, all or none; give what lint has to say of it, to be told once the entry is.

    Raises MisuseError where something is mistyped, and then the file is as it was.
    """
    said: list[Finding] = []

    def check(old: str, new: str) -> None:
        said[:] = _checked(writing, path, old, new, as_is=as_is)

    try:
        writing.pen(what).update(path, edits, check)
    except TomlError as error:
        raise MisuseError(f"{path} line {error.line}: {error.what}", error.mend) from None
    return tuple(said)


def reading_named(reading: Reading) -> str:
    """Name a reading for `undo`: "reading of VMEM, 23.4 Ω"."""
    return f"reading of {reading.point}, {reading.value.text if reading.value else ''}"


def tell(*lines: str, found: Iterable[Finding] = ()) -> None:
    """Say what was written, at once, so that it is seen before the next thing is typed; then what lint says of it.

    Of each rule the first three findings are said, and the number of the others.
    """
    answer("".join(f"{folded(in_lines(line), sys.stdout)}\n" for line in lines))
    sys.stdout.flush()
    told = Counter[str]()
    for finding in found:
        told[finding.rule] += 1
        if told[finding.rule] <= _MOST_OF_ONE_RULE:
            say(f"jobkit: {finding.level} {finding.rule}: {finding.message}; {finding.mend}")
    left = {rule: count - _MOST_OF_ONE_RULE for rule, count in told.items() if count > _MOST_OF_ONE_RULE}
    if left:
        more = ", ".join(f"{count} more of {rule}" for rule, count in left.items())
        say(f"jobkit: and {more}; `jobkit lint` shows all")


def _checked(writing: Writing, path: str, old: str, new: str, *, as_is: bool) -> list[Finding]:
    # The rules take longer to load than all else; who only chooses a job needs none.
    from jobkit.lint.run.new_findings import is_slip, may_be_right, new_findings

    before, after = load_job(path, old.encode()), load_job(path, new.encode())
    if before.job is None:
        raise _broken(before)
    found = new_findings(before, after, writing.book, _sealed(writing, before.job, after.job))
    for finding in found:
        if is_slip(finding) and not (as_is and may_be_right(finding)):
            more = ", or use --as-is if the name is right" if may_be_right(finding) else ""
            raise MisuseError(finding.message, _typed(finding.mend) + more)
    return [one for one in found if one.level != "note" and one.rule not in _SAID_ELSEWHERE]


def _typed(mend: str) -> str:
    """Say as words to type what would be a line to add to the file.

    >>> _typed('add ball = "B4"')
    'add the words `ball "B4"`'
    """
    return _LINE_TO_ADD.sub(r"add the words `\1 \2`", mend)


def _sealed(writing: Writing, before: Job, after: Job | None) -> Job | None:
    """Return the last state of a job that was committed as sent; None where no commit has it so."""
    states = [facts_of(job) for job in (before, after or before)]
    if not may_have_been_sent(*states):
        return None  # the history of a job on the bench need not be gone through
    from jobkit.book import git
    from jobkit.book.history.before import sealed_state

    try:
        return sealed_state(git.open_repo(writing.root), before)
    except git.GitError:
        return None  # no repository, or no commit yet


def _who(session: Session) -> str:
    """Tell who works: whom JOBKIT_BY names, else who was named last, else who is logged in."""
    who = os.environ.get("JOBKIT_BY") or session.by or logged_in()
    if not who:
        raise MisuseError(
            "the system does not say who is logged in", "set your name once, as in `jobkit on --by ida`"
        )
    return who


def _moment(text: str, clock: datetime) -> datetime:
    """Read a time of today, or a day and a time."""
    try:
        if "T" in text or " " in text:
            moment = datetime.fromisoformat(text.replace(" ", "T"))
        else:
            moment = datetime.fromisoformat(f"{clock.date()}T{text:0>5}")
    except ValueError:
        raise MisuseError(f'"{text}" is not a time', "write it like 10:05 or 2026-10-22T10:05") from None
    if moment.tzinfo is not None:
        raise MisuseError(f'"{text}" has an offset', "write the local time of the bench") from None
    if moment > clock:
        raise MisuseError(f'"{text}" is in the future', "give the time when you measured")
    return moment


def _broken(loaded: Loaded) -> MisuseError:
    trouble = loaded.troubles[0]
    return MisuseError(f"{loaded.path} line {trouble.line}: {trouble.message}", trouble.mend)
