"""Write what was jotted: as a new entry, into one that is there already, or as keys of a table."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from functools import partial
from typing import Any

from jobkit.book.edit import set_key
from jobkit.book.edit.proof import look
from jobkit.book.edit.written import dotted
from jobkit.book.logs.trouble import LogTrouble
from jobkit.book.schema.entry_keys import Key, keys_of
from jobkit.book.toml.outline import KeyPath
from jobkit.book.toml.parse import decode, parse_text
from jobkit.book.write.entry import append_apart, rows_of
from jobkit.book.write.noted import Edit
from jobkit.cli.bench.attaching import attached, with_file
from jobkit.cli.bench.heated_work import heat_lines
from jobkit.cli.bench.invoicing import (
    check_above_zero,
    check_credit,
    check_not_invoiced,
    check_refund,
    held,
    invoice_of,
    numbers,
    twin_lines,
    unnumbered,
)
from jobkit.cli.bench.jot_names import known_to
from jobkit.cli.bench.jotted_pads import pad_lines, with_meter
from jobkit.cli.bench.memory_tests import (
    board_lines,
    design_of,
    log_lines,
    read_log,
    refuse_log,
    refuse_results,
    with_channels,
    with_log,
)
from jobkit.cli.bench.trial_logs import filled_by_log, unchecked_lines
from jobkit.cli.bench.writing import Writing, load_meant, put, tell
from jobkit.cli.call.streams import say
from jobkit.jobs.job import Job
from jobkit.lint.rules.nearest import suggest
from jobkit.pages.bench.confirmations import entry_line, set_lines
from jobkit.pages.cautions import caution_lines
from jobkit.reckon.entry.cost_of_the_day import cost_of_the_day
from jobkit.reckon.entry.jot import dates_of, entry_of
from jobkit.reckon.entry.jot_kinds import Jot
from jobkit.reckon.entry.value_parsing import JotContext, JotError
from jobkit.reckon.progress.near_acts import near_entry

_OVER, _NONE = "over", "none"
_LOOKED_AT = frozenset(("inspect", "clean"))
"""Work that does not begin the repair."""


def jot(
    writing: Writing,
    job: Job,
    row: Jot,
    words: Sequence[str],
    options: Mapping[str, Sequence[str]],
    *,
    as_is: bool = False,
) -> None:
    """Write one entry to a job; raises MisuseError where the words make none."""
    known = known_to(writing, job)
    keys = keys_of(row.path)
    if row.name == "date":
        set_keys(writing, job, row, dates_of(keys, words, known))
    elif row.name == "wait" and [word.casefold() for word in words[:1]] == [_OVER]:
        _end_wait(writing, job, words[1:], known)
    else:
        entry = entry_of(row, keys, words, options, known)
        if row.name == "invoice":
            _invoice(writing, job, row, entry)
            return
        if not entry:
            raise JotError(f"{row.name} needs words", _what_it_takes(row, keys))
        check_above_zero(row.name, entry)
        if row.name == "seen":
            _jot_seen(writing, job, row, entry, as_is=as_is)
        elif row.name == "credit" and job.invoice:
            _credit_note(writing, job, row, entry, as_is=as_is)
        elif row.name == "refund":
            check_refund(job, entry)
            write_entry(writing, job, row, entry, as_is=as_is)
        elif row.name == "work" and "heat" in entry:
            _jot_heated_work(writing, job, row, entry, as_is=as_is)
        elif row.name == "trial" and "log" in entry:
            _jot_logged_trial(writing, job, row, entry, as_is=as_is)
        else:
            write_entry(writing, job, row, entry, as_is=as_is)


def _invoice(writing: Writing, job: Job, row: Jot, entry: Mapping[str, Any]) -> None:
    """Write an invoice with the number that was typed, or issue one with the next."""
    if "number" not in entry:
        _issue(writing, job, row, entry)
        return
    check_not_invoiced(load_meant(writing, job.path))
    with held(writing, entry["number"], entry.get("on") or writing.now.date()):
        job = load_meant(writing, job.path)
        check_not_invoiced(job)
        set_keys(writing, job, row, {**entry, "on": invoice_of(writing, job, entry)})


def _issue(writing: Writing, job: Job, row: Jot, given: Mapping[str, Any]) -> None:
    """Give the job its invoice, or, where it has one, the credits after the invoice their numbers."""
    day = given.get("on") or writing.now.date()
    with numbers(writing, day.year) as free:
        job = load_meant(writing, job.path)
        if job.invoice is None:
            day = invoice_of(writing, job, given)
            set_keys(writing, job, row, {"number": next(free), "on": day})
            return
        new = [(index, one, next(free)) for index, one in unnumbered(job)]
        edits = [
            partial(set_key, path=("price", "credit", index, "number"), value=number)
            for index, _, number in new
        ]
        found = put(writing, job.path, edits, "credit note")
        tell(*(f"{job.id} credit of {one.on}: credit note {number}" for _, one, number in new), found=found)


def _credit_note(writing: Writing, job: Job, row: Jot, entry: dict[str, Any], *, as_is: bool) -> None:
    """Write a credit after the invoice with a number of its own."""
    check_credit(job, entry)
    day = entry.get("on") or writing.now.date()
    if "number" in entry:
        with held(writing, entry["number"], day):
            write_entry(writing, job, row, entry, as_is=as_is)
        return
    with numbers(writing, day.year) as free:
        write_entry(writing, job, row, {**entry, "number": next(free)}, as_is=as_is)


def _jot_seen(writing: Writing, job: Job, row: Jot, entry: dict[str, Any], *, as_is: bool) -> None:
    """Write what was seen, with what a memory log tells, and say where on the board the failing channels are."""
    design = design_of(writing, job)
    if "log" not in entry:
        if not as_is:
            refuse_results(entry, design)
        _write_seen(writing, job, row, with_channels(entry, design), as_is=as_is)
        return
    with attached(writing, job, entry["log"]) as file:
        report = read_log(writing, file.path)
        named = {**entry, "log": file.name}
        if not as_is:
            refuse_log(report, named, design)
        filled = named if isinstance(report, LogTrouble) else with_log(named, report, design)
        lines = [f"    copied to {file.path}"] if file.copied else []
        lines += log_lines(report, filled, design)
        _write_seen(with_file(writing, file), job, row, with_channels(filled, design), *lines, as_is=as_is)


def _write_seen(
    writing: Writing, job: Job, row: Jot, entry: dict[str, Any], *lines: str, as_is: bool
) -> None:
    design = design_of(writing, job)
    checks = [check.name for check in design.checks if check.name] if design else []
    strange = "" if as_is else _strange_check(entry.get("check"), checks)
    write_entry(writing, job, row, entry, *lines, *board_lines(entry, design), as_is=as_is)
    if strange:
        say(f"jobkit: {strange}")


def _jot_logged_trial(writing: Writing, job: Job, row: Jot, entry: dict[str, Any], *, as_is: bool) -> None:
    """Write a trial with what its log tells, and say the verdict."""
    with attached(writing, job, entry["log"]) as file:
        there = with_file(writing, file)
        filled, seen = filled_by_log(there, job, {**entry, "log": file.name})
        copied = [f"    copied to {file.path}"] if file.copied else []
        write_entry(there, job, row, filled, *copied, *seen, as_is=as_is)


def _jot_heated_work(writing: Writing, job: Job, row: Jot, entry: dict[str, Any], *, as_is: bool) -> None:
    """Write a piece of work with its thermocouple log, and say what that shows."""
    with attached(writing, job, entry["heat"]) as file:
        there, named = with_file(writing, file), {**entry, "heat": file.name}
        copied = [f"    copied to {file.path}"] if file.copied else []
        write_entry(there, job, row, named, *copied, *heat_lines(there, job, named, as_is=as_is), as_is=as_is)


def _strange_check(check: str | None, checks: Sequence[str]) -> str:
    """Say that a check is none of the board file's, which may be: it is free words then; "" where it is one.

    Raises JotError where it is much like one of the board file's: then it is mistyped.
    """
    if not check or not checks or check in checks:
        return ""
    strange, mend = (
        f'"{check}" is not a check of the board file',
        suggest(check, checks, "written as free text"),
    )
    if mend.startswith("write"):
        raise JotError(strange, f"{mend}, or use --as-is if the name is right")
    return f"{strange}: {mend}"


def write_entry(
    writing: Writing, job: Job, row: Jot, entry: dict[str, Any], *lines: str, as_is: bool = False
) -> None:
    """Write what was read from the words, and say that and `lines`."""
    if not row.listed:
        set_keys(writing, job, row, entry, as_is=as_is)
        return
    place = _earlier(writing, job, row, entry)
    if place is not None:
        _complete(writing, job, row, place, entry)
        return
    whole = {**_habits(writing, row), **with_meter(writing, job, row.name, entry)}
    if row.name == "used":
        whole |= cost_of_the_day(whole, writing.book.bench)
    also = _also_set(job, row, whole, writing)
    edits: list[Edit] = [partial(append_apart, table=row.path, entry=whole)]
    edits += (partial(set_key, path=path, value=value) for path, value in also.items())
    found = put(writing, job.path, edits, row.name, as_is=as_is)
    tell(
        f"{job.id} {entry_line(row.name, whole)}",
        *lines,
        *pad_lines(row.name, whole, writing.book.bench),
        *twin_lines(job, row.name, whole),
        *unchecked_lines(row.name, whole),
        *_also_lines(also),
        *(f"    {line}" for line in caution_lines(near_entry(job, row.name, whole))),
        found=found,
    )


def set_keys(writing: Writing, job: Job, row: Jot, values: Mapping[str, Any], *, as_is: bool = False) -> None:
    """Set keys of a table of the job; a list grows, any other value is replaced, and what it was is said."""
    before = look(parse_text(decode(writing.book.shelf.read(job.path))), row.path) or {}
    values = {key: _grown(before.get(key), value) for key, value in values.items()}
    edits = [partial(set_key, path=(*row.path, key), value=value) for key, value in values.items()]
    also = _also_set(job, row, values, writing)
    edits += (partial(set_key, path=path, value=value) for path, value in also.items())
    found = put(writing, job.path, edits, f"{row.name} {', '.join(values)}", as_is=as_is)
    lines = (f"{job.id} {line}" for line in set_lines(".".join(row.path), values, before))
    tell(*lines, *_also_lines(also), found=found)


def _grown(there: Any, value: Any) -> Any:
    """Put what is new behind what a list has already; the word `none` alone empties it."""
    if value == [_NONE]:
        return []
    if isinstance(there, list) and isinstance(value, list):
        return [*there, *(one for one in value if one not in there)]
    return value


def _habits(writing: Writing, row: Jot) -> dict[str, Any]:
    """Give what every entry carries: the time, who, and of some sorts the day."""
    names = {key.name for key in keys_of(row.path)}
    habits: dict[str, Any] = {"at": writing.now, "by": writing.by, row.today: writing.now.date()}
    return {key: value for key, value in habits.items() if key in names}


def _also_set(job: Job, row: Jot, entry: Mapping[str, Any], writing: Writing) -> dict[KeyPath, Any]:
    """Tell which days go with an entry.

    The first work begins the repair, a price is quoted or agreed to that day, an outcome ends the repair, and a board
    that came waits no longer for its shipping.
    """
    if row.name == "date" and "received" in entry and job.dates.received is None:
        on_its_way = [wait.path for wait in job.waits if wait.reason == "shipping" and wait.until is None]
        return {(*path, "until"): entry["received"] for path in on_its_way}
    if row.name == "work" and job.dates.started is None and entry.get("did") not in _LOOKED_AT:
        at = entry.get("at")
        return {("dates", "started"): at.date() if isinstance(at, datetime) else writing.now.date()}
    if row.name == "agreement" and job.dates.agreed is None:
        return {("dates", "agreed"): entry["on"]}
    if row.name == "price" and "quoted" in entry and job.dates.quoted is None:
        return {("dates", "quoted"): writing.now.date()}
    if row.name == "outcome" and job.dates.finished is None and job.dates.declined is None:
        return {("dates", _day_of(entry["outcome"])): writing.now.date()}
    return {}


def _day_of(outcome: str) -> str:
    return "declined" if outcome == "declined" else "finished"


def _also_lines(also: Mapping[KeyPath, Any]) -> Iterator[str]:
    for path, value in also.items():
        yield f"    {dotted(path)} {value}"


def _earlier(writing: Writing, job: Job, row: Jot, entry: Mapping[str, Any]) -> int | None:
    """Find the entry that this one completes: the last of the same pad, where no damage is named."""
    if not row.again or row.lacking in entry:
        return None
    text = decode(writing.book.shelf.read(job.path))
    defaults = {key.name: key.default for key in keys_of(row.path)}

    def named(one: Mapping[str, Any]) -> list[str]:
        return [str(one.get(key, defaults[key])).casefold() for key in row.again]

    found = [
        place
        for place, there in enumerate(rows_of(parse_text(text), row.path))
        if named(there) == named(entry)
    ]
    return found[-1] if found else None


def _complete(writing: Writing, job: Job, row: Jot, place: int, entry: dict[str, Any]) -> None:
    read = with_meter(writing, job, row.name, entry)
    new = {key: value for key, value in read.items() if key not in row.again}
    if not new:
        raise JotError(f"this {row.name} is recorded already", "give the keys that changed")
    edits = [partial(set_key, path=(*row.path, place, key), value=value) for key, value in new.items()]
    found = put(writing, job.path, edits, f"{row.name} completed")
    earlier = job.pads[place] if row.name == "pad" else None
    tell(
        f"{job.id} {entry_line(row.name, entry)}",
        *pad_lines(row.name, read, writing.book.bench, earlier),
        found=found,
    )


def _end_wait(writing: Writing, job: Job, words: Sequence[str], known: JotContext) -> None:
    """End the last open wait, today or on the day named."""
    waiting = [place for place, wait in enumerate(job.waits) if wait.until is None]
    if not waiting:
        raise JotError(f"{job.id} has no open wait", "begin a wait, as in `jot wait parts`")
    day = dates_of(keys_of(("wait",)), ("until", *words), known)["until"]
    path = ("wait", waiting[-1], "until")
    found = put(writing, job.path, [partial(set_key, path=path, value=day)], "end of a wait")
    tell(f"{job.id} wait for {job.waits[waiting[-1]].reason} until {day}", found=found)


def _what_it_takes(row: Jot, keys: Sequence[Key]) -> str:
    words = row.words or tuple(key.name for key in keys)
    return f"it takes {', '.join(words)}; see `jobkit jot {row.name} --help`"
