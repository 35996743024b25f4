"""The rules across jobs, run from facts; what a rule found is recalled where nothing that it reads has changed."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from hashlib import sha1

from jobkit.book.cache.store import Cache
from jobkit.book.read.load import OpenBook
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
    answers = _Answers(book.cache, checked) if book.cache and jobs.is_whole else None
    recalled = {rule.made.name: answers.recall(rule) if answers else None for rule in rules}
    placed: dict[str, list[Finding]] = defaultdict(list)
    unplaced = _run([rule for rule in rules if recalled[rule.made.name] is None], book, checked, jobs)
    for finding, has_moved in (one for answer in recalled.values() for one in answer or ()):
        if has_moved:
            unplaced[finding.file].append((RULES[finding.rule], _as_found(finding)))
        else:
            placed[finding.rule].append(finding)
    for path, founds in unplaced.items():
        for finding in read_again(path, founds, book):
            placed[finding.rule].append(finding)
    if answers:
        answers.keep({rule: placed[rule.made.name] for rule in rules})
    return [finding for findings in placed.values() for finding in findings]


def _as_found(finding: Finding) -> Found:
    return Found(finding.place, finding.about, finding.message, finding.mend, finding.level)


def _run(
    rules: Sequence[Across], book: OpenBook, checked: CheckedBook, jobs: JobLookup
) -> dict[str, list[tuple[Rule, Found]]]:
    """Run rules, and give what they found by path; of facts nobody knows where in the text they are written."""
    found: dict[str, list[tuple[Rule, Found]]] = defaultdict(list)
    bench, asking = alone(book.bench), _asking(checked) if rules else {}
    for rule in rules:
        for path in asking.get(rule.made.name, ()) if rule.asks else jobs.sharing_a_name():
            facts = jobs.at(path)
            for one in rule.check(facts, jobs, bench) if facts else ():
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
    """What rules across jobs found in the whole book before, each with a digest of all that it read of any job."""

    def __init__(self, cache: Cache, checked: CheckedBook) -> None:
        self._cache = cache
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
        self._kept[rule.made.name] = text
        return list(self._read(json.loads(text)))

    def _read(self, rows: list[list[object]]) -> Iterator[tuple[Finding, bool]]:
        for (blob, *_), finding in zip(rows, findings_from(row[1:] for row in rows), strict=True):
            yield finding, blob != self._results[finding.file].blob

    def keep(self, findings: Mapping[Across, Sequence[Finding]]) -> None:
        """Keep what rules found, where that is not what is kept."""
        for rule, found in findings.items():
            text = write([(self._results[one.file].blob, *one) for one in found])
            if text != self._kept.get(rule.made.name):
                self._cache.put_answer(rule.made.name, self._question(rule), text)

    def _question(self, rule: Across) -> str:
        """Digest what a rule reads of all jobs, as `CheckResult.reads` has it of each."""
        start = DIGEST * BOOK_CHECKS.index(rule)
        digest = self._asked.copy()
        digest.update("".join([reads[start : start + DIGEST] for reads in self._reads]).encode())
        return digest.hexdigest()
