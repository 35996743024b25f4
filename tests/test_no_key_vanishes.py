"""What the schema of a job knows is known everywhere: no key is written that changes, seals, `jot` or the
exported tables pass over.

Each key of each table is given another value, one at a time.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from jobkit.book.read.job import read_job
from jobkit.book.schema.entry_keys import Key, every_key, keys_of
from jobkit.jobs.bench import Bench, RepositoryState
from jobkit.jobs.job import Job
from jobkit.jobs.sorts import ROWS
from jobkit.lint.rules.sealed import sealed
from jobkit.pages.bench.job import JobView, job_page
from jobkit.pages.bench.readings import ReadingsView
from jobkit.pages.blocks import Page
from jobkit.pages.tables.export import rows_of
from jobkit.reckon.changes.job_changes import JobVersion, changes
from jobkit.reckon.entry.jot_kinds import JOTS
from jobkit.reckon.progress.status import Status
from jobkit.reckon.readings.limits import judge_reading
from tests.schema.filled import filled

PATH = "jobs/2026/K26-0047.toml"
JOB = read_job(PATH, filled("job")).job

KEYS = [(path, key) for path, key in every_key("job") if key.form not in {"", "const", "table", "tables"}]
IDS = [".".join(path) for path, _ in KEYS]
SEALED = {row.path for row in ROWS if row.sealed}

TEXTS = {"IS": "NO", "K26-0012": "stock", "meter-overdue": "reading-near"}
"""Other texts for keys with a grammar of their own."""

OTHERS: dict[str, Callable[[Any], Any]] = {
    "text": lambda text: "K26-R-9999" if text.startswith("K26-R-") else TEXTS.get(text, f"{text}x"),
    "texts": lambda texts: [*texts, "another"],
    "flag": lambda flag: not flag,
    "number": lambda number: number + 1,
    "numbers": lambda number: number + 1,
    "photos": lambda photos: [*photos, "another.jpg"],
    "quantities": lambda texts: [*texts, f"9 {texts[0].partition(' ')[2]}"],
    "quantity": lambda text: f"9 {text.partition(' ')[2]}",
    "money": lambda _: "9.99 EUR",
    "unit price": lambda _: "0.0099 EUR",
    "percentage": lambda _: "99 %",
    "duration": lambda _: "P9Y",
    "job": lambda _: "K26-9999",
    "day": lambda _: "2031-05-04",
    "moment": lambda _: "2031-05-04T10:00:00",
    "limit": lambda _: "<= 9 V",
}
"""Another value of each form."""


def changed(path: tuple[str, ...], key: Key) -> Job:
    """Read the job with another value in one place."""
    doc = filled("job")
    table: Any = doc
    for name in path[:-1]:
        table = table[name][0] if isinstance(table[name], list) else table[name]
    table[path[-1]] = _other(table[path[-1]], key)
    if path == ("reading", "kind"):  # it settles the unit of others
        table.update(kind="voltage", value="43 V", range="48 V", again=["44 V"])
    job, troubles = read_job(PATH, doc)
    assert troubles == ()
    return job


def _other(value: Any, key: Key) -> Any:
    if key.choices:
        return next(one for one in key.choices if one not in {value, "bake"})
    if key.form == "pairs":
        return {name: OTHERS[key.of](one) for name, one in value.items()}
    return OTHERS[key.form](value)


@pytest.mark.parametrize(("path", "key"), KEYS, ids=IDS)
def test_a_change_of_any_key_is_told(path: tuple[str, ...], key: Key) -> None:
    before, after = JobVersion(JOB, Bench()), JobVersion(changed(path, key), Bench())
    assert changes(before, after) != ()
    assert changes(after, before) != ()


@pytest.mark.parametrize(("path", "key"), KEYS, ids=IDS)
def test_a_change_of_any_key_breaks_the_seal_of_its_table(path: tuple[str, ...], key: Key) -> None:
    bench = Bench(repository=RepositoryState(before={PATH: JOB}))
    found = list(sealed(changed(path, key), bench))
    if path == ("dates", "sent"):  # the day of sending is sealed too
        assert [one.about for one in found] == ["sent"]
    else:
        assert [one.about for one in found] == ([path[0]] if path[:-1] in SEALED else [])


@pytest.mark.parametrize(("path", "key"), KEYS, ids=IDS)
def test_any_key_can_be_jotted(path: tuple[str, ...], key: Key) -> None:
    """Time and hand are given by options of their own; readings have their own command, and an id is for good."""
    rows = [row for row in JOTS.values() if row.path == path[:-1] and (not row.only or key.name in row.only)]
    assert key in keys_of(path[:-1])
    assert len(rows) == (path[0] != "reading" and path != ("id",))


@pytest.mark.parametrize(("path", "key"), KEYS, ids=IDS)
def test_a_change_of_any_key_is_exported(path: tuple[str, ...], key: Key) -> None:
    assert list(rows_of(changed(path, key), Bench())) != list(rows_of(JOB, Bench()))


def page_of(job: Job) -> Page:
    """Show a job, with its readings judged by its own limits alone."""
    judged = [judge_reading(one, Bench(), None) for one in job.readings]
    return job_page(JobView(job, Status("done"), ReadingsView(judged), (), (), 0)).page


IN_THE_HEAD = ("wait.", "price.line.", "price.payment.", "price.credit.", "price.discount.", "price.refund.")
"""Entries that the head of the page lists with their own days, without the moment and hand of writing."""

SHOWN = [
    (path, key)
    for path, key in KEYS
    if not (".".join(path).startswith(IN_THE_HEAD) and path[-1] in {"at", "by"})
]


@pytest.mark.parametrize(("path", "key"), SHOWN, ids=[".".join(path) for path, _ in SHOWN])
def test_a_change_of_any_key_is_shown(path: tuple[str, ...], key: Key) -> None:
    assert page_of(changed(path, key)) != page_of(JOB)
