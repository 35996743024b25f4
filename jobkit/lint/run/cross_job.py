"""The rules across jobs, run from the facts of each: where nothing changed that they read, what they found holds."""

from __future__ import annotations

from collections import defaultdict

from jobkit.book.read.load import OpenBook
from jobkit.jobs.finding import Finding
from jobkit.lint.check.one_file import alone, read_again
from jobkit.lint.check.results import Looked
from jobkit.lint.registry import BOOK_CHECKS, Found, Rule
from jobkit.lint.run.changes import Changes
from jobkit.lint.run.job_lookup import JobsAtHand

ByRule = dict[str, dict[str, list[Finding]]]
"""Findings of the rules across jobs, by rule and path."""


def findings_across(book: OpenBook, looked: Looked, jobs: JobsAtHand) -> ByRule:
    """Run the rules across jobs, by rule and path; of what was found before, what cannot have changed is taken over."""
    bench = alone(book.bench)
    changes = Changes(looked) if jobs.are_whole else None
    askers: dict[str, list[str]] = defaultdict(list)
    for head in looked.heads.values():
        for name in head.asks:
            askers[name].append(head.path)
    shared = [path for path in jobs.sharing_a_name() if path in looked.heads and looked.heads[path].is_read]
    said: dict[str, dict[str, list[tuple[Rule, Found]]]] = defaultdict(dict)
    across: ByRule = {}
    for one in BOOK_CHECKS:
        if one.whole and not jobs.are_whole:
            continue
        asking = askers[one.made.name] if one.asks else shared
        known = changes.taken_over(one) if changes else None
        across[one.made.name] = known or {}
        for path in asking:
            if known is None or changes is None or changes.may_have_moved(one, path):
                facts = jobs.at(path)
                found = [(one.made, what) for what in one.check(facts, jobs, bench)] if facts else []
                if found:
                    said[path][one.made.name] = found
    for path, by_rule in said.items():
        together = [what for found in by_rule.values() for what in found]
        for finding in read_again(path, together, book):
            across[finding.rule].setdefault(path, []).append(finding)
    return across
