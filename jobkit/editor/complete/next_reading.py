"""The readings that the proof policy still wants, each as an entry with its value left to you."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.book.edit import Value, append_entry
from jobkit.editor.shown.open_book import BookInEditor, Writer
from jobkit.jobs.job import Job
from jobkit.reckon.entry.defaults import default_meter
from jobkit.reckon.entry.reading_entry import BenchContext
from jobkit.reckon.entry.walk import WalkStop, is_read, stops

_MOST = 3


def next_readings(job: Job, book: BookInEditor, *, snippets: bool) -> Iterator[tuple[str, str]]:
    """Yield the next readings of a walk of the proof that are not there, each with its title and its lines."""
    opened = book.book()
    context = BenchContext(job, opened.bench, book.now(opened))
    by = book.writer().by
    lacking = [one for one in stops(context, "proof") if not is_read(one, job, "proof")]
    for stop in lacking[:_MOST]:
        yield (
            f"[[reading]] {stop.point} {stop.kind}, {stop.state}, proof",
            _block(stop, context, by, snippets=snippets),
        )


def _block(stop: WalkStop, context: BenchContext, by: str, *, snippets: bool) -> str:
    text = append_entry("", "reading", _entry(stop, context, by)).lstrip("\n")
    before, _, after = text.partition('""')
    if not snippets:
        return text
    return f'{_escaped(before)}"$1"{_escaped(after)}$0'


def _entry(stop: WalkStop, context: BenchContext, by: str) -> dict[str, Value]:
    entry: dict[str, Value] = {
        **Writer(context.now, by).entry(),
        "stage": "proof",
        "point": stop.point,
        "kind": stop.kind,
        "value": "",
        "state": stop.state,
    }
    meter = default_meter(context.job, stop.kind, None, context.bench.meters)
    further = {"meter": meter, "to": stop.to, "red_on": stop.red_on}
    entry |= {key: value for key, value in further.items() if value}
    if stop.removed:
        entry["removed"] = list(stop.removed)
    return entry


def _escaped(text: str) -> str:
    """Write a text as a snippet has it: LSP 3.17, "Snippet Syntax"."""
    return text.replace("\\", "\\\\").replace("$", "\\$").replace("}", "\\}")
