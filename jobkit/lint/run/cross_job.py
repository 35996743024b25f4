"""The rules across jobs, run from facts; what a rule found is recalled where nothing that it reads has changed."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from hashlib import sha1

from jobkit.book.read.load import OpenBook
from jobkit.book.shelf.contents import ShelfContents
from jobkit.jobs.contents import Contents
from jobkit.jobs.finding import Finding
from jobkit.lint.check.check_cache import DIGEST, findings_from, write
from jobkit.lint.check.check_or_recall import CheckedBook
from jobkit.lint.check.one_file import alone, read_again
from jobkit.lint.registry import BOOK_CHECKS, RULES, Across, Found, Rule
from jobkit.lint.run.job_lookup import JobLookup

_UNREAD = "-" * DIGEST


def findings_across(book: OpenBook, checked: CheckedBook, jobs: JobLookup) -> list[Finding]:
    """Run the rules across jobs; in a check of the whole book, what they found before is recalled where it holds."""
    rules = [rule for rule in BOOK_CHECKS if jobs.is_whole or not rule.whole]
    answers = _Answers(book, checked) if book.cache and jobs.is_whole else None
    recalled = {rule.made.name: answers.recall(rule) if answers else None for rule in rules}
    placed: dict[str, list[Finding]] = defaultdict(list)
    contents = ShelfContents(book.shelf)
    fresh = [rule for rule in rules if recalled[rule.made.name] is None]
    unplaced = _run(fresh, book, checked, jobs, contents)
    for finding, has_moved in (one for answer in recalled.values() for one in answer or ()):
        if has_moved:
            unplaced[finding.file].append((RULES[finding.rule], _as_found(finding)))
        else:
            placed[finding.rule].append(finding)
    for path, founds in unplaced.items():
        for finding in read_again(path, founds, book):
            placed[finding.rule].append(finding)
    if answers:
        answers.keep({rule: placed[rule.made.name] for rule in rules}, contents.opened)
    return [finding for findings in placed.values() for finding in findings]


def in_place(across: Sequence[Finding], alone: Iterable[Finding]) -> list[Finding]:
    """Put findings in the light of other jobs in the place of what the same rule says of the same subject alone."""
    known = {(one.rule, one.file, one.about) for one in across}
    return [*(one for one in alone if (one.rule, one.file, one.about) not in known), *across]


def _as_found(finding: Finding) -> Found:
    return Found(finding.place, finding.about, finding.message, finding.mend, finding.level)


def _run(
    rules: Sequence[Across], book: OpenBook, checked: CheckedBook, jobs: JobLookup, contents: Contents
) -> dict[str, list[tuple[Rule, Found]]]:
    """Run rules, and give what they found by path; of facts nobody knows where in the text they are written."""
    found: dict[str, list[tuple[Rule, Found]]] = defaultdict(list)
    bench, asking = alone(book.bench), _asking(checked) if rules else {}
    for rule in rules:
        known = bench._replace(contents=contents) if rule.opens else bench
        for path in asking.get(rule.made.name, ()) if rule.asks else jobs.sharing_a_name():
            facts = jobs.at(path)
            for one in rule.check(facts, jobs, known) if facts else ():
                found[path].append((rule.made, one))
    return found


def _asking(checked: CheckedBook) -> Mapping[str, list[str]]:
    """Name the jobs about which each rule has anything to ask."""
    asking: dict[str, list[str]] = defaultdict(list)
    for path, result in checked.results.items():
        for name in result.asks:
            asking[name].append(path)
    return asking


class _Answers:
    """What rules across jobs found in the whole book before, each with a digest of all that it read of any job.

    A rule that opens files is kept with git's ids of their contents.
    """

    def __init__(self, book: OpenBook, checked: CheckedBook) -> None:
        assert book.cache
        self._cache, self._shelf = book.cache, book.shelf
        self._results = checked.results
        self._asked = sha1("\0".join((checked.own, *checked.results)).encode("utf-8", "surrogateescape"))  # noqa: S324
        unread = _UNREAD * len(BOOK_CHECKS)
        self._reads = [one.reads or unread for one in checked.results.values()]
        self._kept: dict[str, str] = {}

    def recall(self, rule: Across) -> list[tuple[Finding, bool]] | None:
        """Give what a rule found, each with whether its job's text is another by now; None where it has to be run."""
        text = self._cache.answer(rule.made.name, self._question(rule))
        if text is None:
            return None
        opened, rows = json.loads(text)
        if opened and not self._are_unchanged(opened):
            return None
        self._kept[rule.made.name] = text
        return list(self._read(rows))

    def _are_unchanged(self, opened: Mapping[str, str]) -> bool:
        now = self._shelf.blobs(opened)
        return all(now.get(path, "") == blob for path, blob in opened.items())

    def _read(self, rows: list[list[object]]) -> Iterator[tuple[Finding, bool]]:
        for (blob, *_), finding in zip(rows, findings_from(row[1:] for row in rows), strict=True):
            yield finding, blob != self._results[finding.file].blob

    def keep(self, findings: Mapping[Across, Sequence[Finding]], opened: Mapping[str, str]) -> None:
        """Keep what rules found, where that is not what is kept; `opened` are the files that they opened."""
        for rule, found in findings.items():
            if rule.opens and rule.made.name in self._kept:
                continue  # the files that it opened are not known: it did not run
            rows = [(self._results[one.file].blob, *one) for one in found]
            text = write((opened if rule.opens else {}, rows))
            if text != self._kept.get(rule.made.name):
                self._cache.put_answer(rule.made.name, self._question(rule), text)

    def _question(self, rule: Across) -> str:
        """Digest what a rule reads of all jobs, as `CheckResult.reads` has it of each."""
        start = DIGEST * BOOK_CHECKS.index(rule)
        digest = self._asked.copy()
        digest.update("".join([reads[start : start + DIGEST] for reads in self._reads]).encode())
        return digest.hexdigest()
