"""The rest of the proof, after the readings: trials and last steps of the bench's policy, then how the job ended."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal, InvalidOperation
from functools import partial

from jobkit.book.edit import Value, set_key
from jobkit.book.write.entry import append_apart
from jobkit.cli.bench.asking import ask, at_terminal
from jobkit.cli.bench.attaching import attached, with_file
from jobkit.cli.bench.trial_logs import filled_by_log
from jobkit.cli.bench.walking import SKIP, SKIP_REST, Ended, Walk, may_have_power
from jobkit.cli.bench.writing import Writing, put, tell
from jobkit.cli.call.streams import say
from jobkit.jobs.job import OUTCOMES
from jobkit.jobs.naming import named
from jobkit.pages.bench.confirmations import entry_line, set_lines
from jobkit.reckon.progress.release import release_steps
from jobkit.reckon.progress.step import ReleaseStep
from jobkit.units.errors import MisuseError

RESULTS = ("pass", "fail", "stopped")

_DONE = "y"
_PROVED = ("repaired", "no-fault-found")
_DID = (("clean", "clean"), ("inspect", "inspect"))
"""Which sort of work a last step is, told by its name; any other is `other`."""


def walk_steps(walk: Walk) -> None:
    """Ask for every trial and last step that is not done yet. Raises Ended."""
    steps = _open_steps(walk)
    if any(step.shown_by == "trial" for step in steps) and not may_have_power(walk.fresh()):
        steps = [step for step in steps if step.shown_by != "trial"]
    for step in steps:
        if _ask_step(walk, step) == SKIP_REST:
            return


def walk_end(walk: Walk) -> None:
    """Once all is proved, ask how the job ended, and set its outcome and the day. Raises Ended."""
    walk = walk.fresh()
    job = walk.context.job
    if job.dates.finished or _lacking(walk):
        return
    while True:
        typed = ask(
            f"all is tested; outcome ({' or '.join(_PROVED)}, Enter for {job.outcome or _PROVED[0]}, - later): "
        )
        if typed is None:
            raise Ended
        if typed == SKIP:
            return
        try:
            _finish(walk, named(typed, OUTCOMES, "outcome") if typed else job.outcome or _PROVED[0])
        except MisuseError as misuse:
            if not at_terminal():
                raise
            say(f"jobkit: {misuse}")
        else:
            return


def lacking_words(walk: Walk) -> str:
    """Say what is left to prove, "" where nothing is."""
    return ", ".join(f"{step.name} ({step.lacks})" for step in _lacking(walk.fresh()))


def _finish(walk: Walk, outcome: str) -> None:
    """Set the outcome, and the day if nothing is lacking: another outcome may ask for more."""
    context = walk.context._replace(job=walk.context.job._replace(outcome=outcome))
    keys: dict[str, Value] = {"outcome": outcome}
    edits = [partial(set_key, path=("outcome",), value=outcome)]
    lacking = [step.name for step in release_steps(context.job, context.bench) if not step.done]
    if not lacking:
        keys["finished"] = context.now.date()
        edits.append(partial(set_key, path=("dates", "finished"), value=context.now.date()))
    found = put(walk.writing, context.job.path, edits, f"outcome {outcome}")
    tell(*set_lines("", keys), found=found)
    if lacking:
        say(f"jobkit: {outcome} still needs: {', '.join(lacking)}; continue with `jobkit walk proof`")


def _open_steps(walk: Walk) -> list[ReleaseStep]:
    return [step for step in _lacking(walk.fresh()) if step.shown_by != "reading"]


def _lacking(walk: Walk) -> list[ReleaseStep]:
    return [step for step in release_steps(walk.context.job, walk.context.bench) if not step.done]


def _ask_step(walk: Walk, step: ReleaseStep) -> str:
    """Ask for one step until it is answered or skipped; return what was typed last."""
    while True:
        walk = walk.fresh()
        typed = ask(_question(step))
        if typed is None:
            raise Ended
        if typed in {SKIP, SKIP_REST}:
            return typed
        try:
            if _answered(walk, step, typed):
                return typed
        except MisuseError as misuse:
            if not at_terminal():
                raise
            say(f"jobkit: {misuse}")


def _question(step: ReleaseStep) -> str:
    if step.shown_by == "trial":
        log = ", log FILE for its log" if step.alone else ""
        return f"{step.name} (p passed, f failed, s stopped, minutes behind it if need be{log}, - skip): "
    return f"{step.name} ({_DONE} or its minutes once it is done, - skip): "


def _answered(walk: Walk, step: ReleaseStep, typed: str) -> bool:
    if not typed:
        return False
    table, entry = _trial(walk, step, typed) if step.shown_by == "trial" else _last(walk, step, typed)
    if "log" in entry:
        with attached(walk.writing, walk.context.job, str(entry["log"])) as file:
            context = with_file(walk.writing, file)
            entry, seen = filled_by_log(context, walk.context.job, {**entry, "log": file.name})
            _put_step(context, walk, step, table, entry, *seen)
    else:
        _put_step(walk.writing, walk, step, table, entry)
    return True


def _put_step(
    writing: Writing, walk: Walk, step: ReleaseStep, table: str, entry: Mapping[str, Value], *lines: str
) -> None:
    edit = partial(append_apart, table=table, entry=dict(entry))
    found = put(writing, walk.context.job.path, [edit], f"{table} {step.name}")
    tell(entry_line(table, entry), *lines, found=found)


def _trial(walk: Walk, step: ReleaseStep, typed: str) -> tuple[str, Mapping[str, Value]]:
    """Read "p", "p 45": the result, and for how long it ran where that is not what the policy asks for.

    "log load.csv" names the log, which tells both.
    """
    word, _, rest = typed.partition(" ")
    if word == "log" and rest:
        return "trial", _entry(walk.context.now, walk.context.by, run=step.run, log=rest.strip())
    result = named(word, RESULTS, "result")
    as_asked = step.minutes if result == "pass" else None
    minutes = _minutes(rest) if rest else as_asked
    return "trial", _entry(walk.context.now, walk.context.by, run=step.run, minutes=minutes, result=result)


def _last(walk: Walk, step: ReleaseStep, typed: str) -> tuple[str, Mapping[str, Value]]:
    did = next((did for word, did in _DID if word in step.name.casefold()), "other")
    minutes = None if typed.casefold() == _DONE else _minutes(typed)
    return "work", _entry(walk.context.now, walk.context.by, minutes=minutes, did=did, what=step.name)


def _entry(at: datetime, by: str | None, **keys: Value | None) -> Mapping[str, Value]:
    return {key: value for key, value in {"at": at, "by": by, **keys}.items() if value is not None}


def _minutes(text: str) -> Decimal:
    try:
        minutes = Decimal(text.strip().removesuffix("min").strip().replace(",", "."))
    except InvalidOperation:
        minutes = Decimal(-1)
    if not minutes.is_finite() or minutes < 0:
        raise MisuseError(f'"{text}" is not a number of minutes', "type a number")
    return minutes
