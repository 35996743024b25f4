"""What a rule across jobs says it reads is all that it reads: else a change elsewhere would pass unnoticed."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from jobkit.book.read.facts import all_facts
from jobkit.book.read.load import OpenBook
from jobkit.jobs.bench import Bench
from jobkit.jobs.contents import NoContents
from jobkit.jobs.facts import Facts
from jobkit.lint.registry import BOOK_CHECKS, Across
from jobkit.lint.rules.catalogue import all_rules
from tests.lint.broken_books import Broken, broken_books
from tests.lint.laid import lay, opened


class Jobs:
    """All jobs of a book, as rules ask for them."""

    is_whole = True

    def __init__(self, facts: tuple[Facts, ...]) -> None:
        self._facts = facts

    def named(self, job_id: str) -> tuple[Facts, ...]:
        return tuple(one for one in self._facts if Path(one.path).stem == job_id)

    def mentioning(self, word: str, since: str = "") -> tuple[Facts, ...]:
        raise AssertionError((word, since))

    def of_board(self, serial: str) -> tuple[Facts, ...]:
        raise AssertionError(serial)

    def all(self) -> tuple[Facts, ...]:
        return self._facts

    def whole(self) -> tuple[Facts, ...]:
        return self._facts

    def once(self, look: Any, bench: Bench) -> Any:
        return look(self._facts, bench)


def scrambled(facts: Facts, kept: tuple[str, ...]) -> Facts:
    """Put something else into every field that is not kept; the path tells which job it is, and stays."""
    changed = {name: _other(value) for name, value in facts._asdict().items() if name not in {*kept, "path"}}
    return facts._replace(**changed)


def _other(value: Any) -> Any:
    if isinstance(value, bool):
        return True
    return "2019-01-01" if isinstance(value, str) else ()


def answers(rule: Across, facts: tuple[Facts, ...], bench: Bench) -> list[Any]:
    jobs = Jobs(facts)
    bench = bench if rule.opens else bench._replace(contents=NoContents())
    asked = [one for one in facts if rule.asks is None or rule.asks(one, bench)]
    return [(one.path, found) for one in asked for found in rule.check(one, jobs, bench)]


Laid = tuple[Broken, OpenBook, tuple[Facts, ...]]


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> list[Laid]:
    """Open every broken book, with what its jobs say."""
    all_rules()
    folder = tmp_path_factory.mktemp("broken")
    laid = [
        (broken, opened(lay(folder / str(number), broken.files)))
        for number, broken in enumerate(broken_books())
    ]
    return [(broken, book, all_facts(book)) for broken, book in laid]


def test_no_rule_across_jobs_reads_more_than_it_says(books: list[Laid]) -> None:
    found = dict.fromkeys((rule.made.name for rule in BOOK_CHECKS), 0)
    for broken, book, facts in books:
        for rule in BOOK_CHECKS:
            before = answers(rule, facts, book.bench)
            found[rule.made.name] += len(before)
            other = tuple(scrambled(one, rule.reads) for one in facts)
            assert answers(rule, other, book.bench) == before, (rule.made.name, broken)
    assert all(found.values()), found


def test_no_rule_across_jobs_looks_at_the_day_or_the_files(books: list[Laid]) -> None:
    for _, book, facts in books:
        bare = Bench(book.bench.settings, book.bench.meters, book.bench.stock, book.bench.designs)
        bare = bare._replace(contents=book.bench.contents)
        for rule in BOOK_CHECKS:
            assert answers(rule, facts, bare) == answers(rule, facts, book.bench), rule.made.name


def test_a_rule_without_a_question_says_nothing(books: list[Laid]) -> None:
    """`asks` lets by every job that the rule would speak of."""
    for _, book, facts in books:
        for rule in BOOK_CHECKS:
            for one in facts:
                if rule.asks and not rule.asks(one, book.bench):
                    assert not list(rule.check(one, Jobs(facts), book.bench)), rule.made.name
