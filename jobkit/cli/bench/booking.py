"""A board being booked in: what was said of it so far, what can be guessed, and the making of its file."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import PurePosixPath
from typing import Any

from jobkit.book.history.selected import as_known
from jobkit.book.read.facts import all_facts
from jobkit.book.read.load import load_job
from jobkit.book.schema.entry_keys import Key, keys_of
from jobkit.book.setup.id_letter import letter_of
from jobkit.book.write.new_job import make_job, next_id, text_of, trouble_with
from jobkit.cli.bench.asking import agreed, ask, at_terminal
from jobkit.cli.bench.booking_options import ROWS, KeyPath
from jobkit.cli.bench.jot_names import known_to
from jobkit.cli.bench.writing import Writing, check_bench, load_meant, tell
from jobkit.cli.call.rollup import open_at
from jobkit.cli.call.streams import say
from jobkit.jobs.facts import Facts
from jobkit.jobs.finding import Finding
from jobkit.jobs.job import Job
from jobkit.jobs.job_folder import job_file
from jobkit.jobs.naming import named
from jobkit.jobs.serial import is_same_serial
from jobkit.lint.run.new_findings import is_slip, may_be_right, new_findings
from jobkit.pages.bench.confirmations import was_here
from jobkit.reckon.entry.reading_entry import Overrides
from jobkit.reckon.entry.value_parsing import value_of
from jobkit.reckon.warranty.cover import cover
from jobkit.units.errors import MisuseError

_REQUIRED: tuple[KeyPath, ...] = (("client",), ("title",), ("board", "kind"), ("intake", "complaint"))
_TITLE = 60


class NewJob:
    """What is known of a new job while it is put together."""

    def __init__(self, writing: Writing, facts: Sequence[Facts], *, as_is: bool) -> None:
        self.writing = writing
        self.as_is = as_is
        self._facts = facts
        self._values: dict[KeyPath, Any] = {}
        self.followed: dict[KeyPath, str] = {}

    def has(self, path: KeyPath) -> bool:
        """Tell whether something was said already."""
        return path in self._values

    def take(self, path: KeyPath, said: str | Sequence[str] | None) -> None:
        """Take what was said; raises MisuseError where the schema does not allow it."""
        if not said:
            return
        key = next(key for key in keys_of(path[:-1]) if key.name == path[-1])
        value = list(said) if not isinstance(said, str) else self._value(key, said)
        trouble = trouble_with(path, value)
        if trouble:
            raise MisuseError(trouble.message, trouble.mend)
        self._values[path] = value

    def ask(self, path: KeyPath, what: str, *, needed: bool = True) -> None:
        """Ask for what was not said until it can be used; Enter accepts the habit."""
        while path not in self._values:
            habit = self._habit(path)
            shown = f" (Enter for {habit})" if habit else "" if needed else " (Enter for none)"
            typed = ask(f"{what}{shown}: ")
            if typed is None:
                raise KeyboardInterrupt
            if not typed and not habit and not needed:
                return
            try:
                self.take(path, _several(path, typed) if typed else habit)
            except MisuseError as misuse:
                say(f"jobkit: {misuse}")

    def follow(self) -> None:
        """Take what follows from what was said: client and design of a comeback, the kind of the board."""
        came_back = self._comeback()
        if came_back:
            self._follows(("client",), came_back.client)
            self._follows(("board", "design"), came_back.design)
        stays = ([came_back] if came_back else []) + self.earlier()[::-1]
        self._follows(
            ("board", "kind"), self._design_kind() or next((one.kind for one in stays if one.kind), "")
        )

    def _follows(self, path: KeyPath, value: str) -> None:
        if value and path not in self._values:
            self._values[path] = self.followed[path] = value

    def earlier(self) -> list[Facts]:
        """List the earlier jobs of this serial, oldest first."""
        serial = str(self._values.get(("board", "serial"), ""))
        known = [one for one in self._facts if is_same_serial(one.serial, serial)]
        return sorted(known, key=lambda one: (one.received, one.id))

    def last_stay(self) -> str:
        """Name the last earlier job of this board, "" where there is none."""
        return next((one.id for one in self.earlier()[::-1]), "")

    def tell_earlier(self) -> None:
        """Say where this board was before, and whether it is covered."""
        known = {one.id: one for one in self._facts}
        habit = self.writing.book.bench.settings.warranty
        for one in self.earlier():
            tell(was_here(one, cover(one.id, known, habit, self.writing.now.date())))

    def lacking(self) -> list[str]:
        """Name the options that are still missing."""
        return [ROWS[path].option for path in _REQUIRED if path not in self._values]

    def nested(self) -> dict[str, Any]:
        """Give what was said as tables, in the usual order."""
        tables: dict[str, Any] = {}
        for path in [*_REQUIRED, *sorted(self._values, key=_usual_place)]:
            if path in self._values:
                node = tables
                for name in path[:-1]:
                    node = node.setdefault(name, {})
                node[path[-1]] = self._values[path]
        return tables

    def _value(self, key: Key, said: str) -> Any:
        known = known_to(self.writing, Job("", ""))
        if key.form == "texts":
            return [said]
        if key.name == "design" and not self.as_is:
            return named(said, known.names["design"], "design with a board file")
        return value_of(key, said, known)

    def _habit(self, path: KeyPath) -> str:
        """Guess what will be said: from the design, the last stay of this board, the last board that came."""
        last = next(iter(self.earlier()[::-1]), None)
        if path == ("board", "kind"):
            newest = max(self._facts, key=lambda one: (one.received, one.id), default=None)
            kinds = (self._design_kind(), last and last.kind, newest and newest.kind)
            return next((kind for kind in kinds if kind), "")
        if path == ("title",):
            return _beginning(str(self._values[("intake", "complaint")]))
        return getattr(last, path[-1], "") if last and path in {("client",), ("board", "design")} else ""

    def _design_kind(self) -> str:
        design = self.writing.book.bench.designs.get(self._values.get(("board", "design"), ""))
        return (design and design.kind) or ""

    def known_kinds(self) -> frozenset[str]:
        """Name the kinds of boards of the jobs, the designs and the proof policies, but for those of one outcome."""
        bench = self.writing.book.bench
        kinds = {one.kind for one in self._facts} | {one.kind for one in bench.designs.values()}
        kinds.update(name for name in bench.settings.proof if " / " not in name)
        return frozenset(kind for kind in kinds if kind)

    def _comeback(self) -> Facts | None:
        of = self._values.get(("comeback", "of"))
        return next((one for one in self._facts if one.id == of), None)


def begin_job(writing: Writing, *, as_is: bool) -> NewJob:
    """Begin a new job, with the jobs of the book at hand."""
    return NewJob(writing, all_facts(open_at(writing.root, None)), as_is=as_is)


def make(job: NewJob) -> str:
    """Make the file, choose the job, and give its id; raises MisuseError where something is missing or mistyped."""
    writing = job.writing
    check_bench(writing.book, "letter")
    lacking = job.lacking()
    if lacking:
        raise MisuseError(
            f"book-in lacks {', '.join(lacking)}",
            "give the missing options, or run it in a terminal and answer the questions",
        )
    if not at_terminal():
        job.tell_earlier()
    letter = letter_of(writing.root, writing.book.bench.settings)
    first = next_id(writing.book.bench.paths, letter, writing.now.year)
    values = job.nested()
    found = _checked(job, first, text_of(first, values))
    job_id = make_job(first, lambda one: text_of(one, values), partial(_create, writing))
    walking = writing.session.walking
    writing.remember(
        job=job_id,
        walking=walking if walking and walking.job != job_id else None,
        known=as_known(writing.session, load_meant(writing, job_file(job_id))),
    )
    taken = (f"    {'.'.join(path)} {value}" for path, value in job.followed.items())
    begun = "booked in" if job.has(("dates", "received")) else "announced"
    tell(f"{job_id} {begun}: {job_file(job_id)}", *taken, found=found)
    if unknown := _new_kind(job, str(values["board"].get("kind", ""))):
        say(unknown)
    if job.last_stay() and not job.has(("comeback", "of")):
        say(f"if this is a comeback, record it: `jobkit jot comeback of {job.last_stay()}`")
    return job_id


def _new_kind(job: NewJob, kind: str) -> str:
    """Say that no job, design or policy has this kind yet, which may be a slip; "" where one has."""
    known = job.known_kinds()
    if not known or kind in known:
        return ""
    return f'"{kind}" is a kind of board that this book does not have yet; known kinds: {", ".join(sorted(known))}'


def _create(writing: Writing, path: str, text: str) -> None:
    """Make the file of a job; it is the chosen one from then on."""
    job_id = PurePosixPath(path).stem
    session = writing.session
    also = {"job": (session.job, job_id), "walking": (session.walking, None)}
    writing._replace(also=also).pen(f"{job_id} booked in").create(path, text)


def offer_walk(job: NewJob, job_id: str) -> None:
    """Offer to take the readings on arrival at once."""
    from jobkit.cli.bench.whole_walk import walk_job

    design = job.writing.book.bench.designs.get(str(job.nested()["board"].get("design", "")))
    if not design or not design.points:
        return
    if agreed("take the readings on arrival now (Enter yes, n later): "):
        walk_job(job.writing, load_meant(job.writing, job_file(job_id)), "arrival", Overrides())


def _checked(job: NewJob, job_id: str, text: str) -> list[Finding]:
    """Refuse slips of the hand; give what else lint finds, such as a day in the future."""
    path = job_file(job_id)
    found = new_findings(load_job(path, b""), load_job(path, text.encode()), job.writing.book)
    for finding in found:
        if is_slip(finding) and not (job.as_is and may_be_right(finding)):
            raise MisuseError(finding.message, finding.mend)
    return [finding for finding in found if finding.level in {"warning", "error"}]


def _usual_place(path: KeyPath) -> tuple[int, int]:
    tables = [(), ("board",), ("intake",), ("dates",), ("comeback",)]
    names = [key.name for key in keys_of(path[:-1])]
    return tables.index(path[:-1]), names.index(path[-1])


def _several(path: KeyPath, typed: str) -> str | list[str]:
    """Take what was typed apart where the key holds a list: its items have semicolons between them."""
    key = next(key for key in keys_of(path[:-1]) if key.name == path[-1])
    parts = [part.strip() for part in typed.split(";")]
    return [part for part in parts if part] if key.form == "texts" else typed


def _beginning(complaint: str) -> str:
    """Cut a complaint to a title: its first clause, and no more than a line."""
    first = complaint.split(";", maxsplit=1)[0].split(". ", maxsplit=1)[0].strip().rstrip(".")
    if len(first) <= _TITLE:
        return first
    return first[:_TITLE].rpartition(" ")[0] or first[:_TITLE]
