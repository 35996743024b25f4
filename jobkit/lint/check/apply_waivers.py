"""What becomes of findings: the waived ones go, the others get the level that the bench has set, and are sorted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from jobkit.book.read.load import OpenBook
from jobkit.jobs.finding import Finding, in_order
from jobkit.jobs.settings import Lint
from jobkit.lint.check.check_cache import CheckResult
from jobkit.lint.check.one_file import read_again
from jobkit.lint.check.waived import unwaived
from jobkit.lint.registry import LAST_CHECKS
from jobkit.lint.rules.catalogue import all_rules


def apply_waivers_and_levels(
    book: OpenBook, findings: list[Finding], results: Iterable[CheckResult]
) -> list[Finding]:
    """Leave out what is waived and what the bench has switched off, move levels as it has set them, and sort."""
    unwaived = _unwaived(findings, [result for result in results if result.waived], book)
    return in_order(_moved(unwaived, book.bench.settings.lint))


def _unwaived(findings: list[Finding], waiving: list[CheckResult], book: OpenBook) -> Iterator[Finding]:
    """Leave out what is waived, and add what there is to say of the waivers."""
    by_file: dict[str, list[Finding]] = {result.path: [] for result in waiving}
    for finding in findings:
        if finding.file in by_file:
            by_file[finding.file].append(finding)
        else:
            yield finding
    for result in waiving:
        found = by_file[result.path]
        yield from unwaived(result, found)
        last = [(made, one) for made, check in LAST_CHECKS for one in check(result, found)]
        yield from read_again(result.path, last, book) if last else ()


def _moved(findings: Iterable[Finding], habit: Lint) -> Iterator[Finding]:
    """Move rules to the level the bench has set; those that cannot be waived stay where they are."""
    levels = (
        dict.fromkeys(habit.note, "note")
        | dict.fromkeys(habit.warn, "warning")
        | dict.fromkeys(habit.error, "error")
        | dict.fromkeys(habit.off, "")
    )
    fixed = [made.name for made in all_rules().values() if not made.waivable]
    for name in fixed:
        levels.pop(name, None)
    for finding in findings:
        level = levels.get(finding.rule, finding.level)
        if level:
            yield finding._replace(level=level)
