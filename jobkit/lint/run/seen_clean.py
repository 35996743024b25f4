"""What is staged, where all of it was checked before and found clean: told without loading a rule.

Whatever is not plainly so is left to the rules.
"""

from __future__ import annotations

from collections.abc import Callable

from jobkit.book import git
from jobkit.book.cache.facts_row import unpack
from jobkit.book.cache.store import Cache, Key
from jobkit.book.shelf.file_kinds import is_private
from jobkit.book.shelf.opening import Index, kind_of
from jobkit.jobs.facts import Facts
from jobkit.jobs.job_folder import attachment_path
from jobkit.lint.check.check_cache import ZONE, CheckResult, RulesDigests
from jobkit.lint.run.dependents import is_leaned_on, may_have_been_sent


def is_looked_at(path: str) -> bool:
    """Tell whether any rule looks at a file."""
    return kind_of(path) != "other" or path.startswith("schema/") or is_private(path)


def is_clean(shelf: Index, cache: Cache, has_begun: Callable[[str, str], bool]) -> bool:
    """Tell whether a check of what is staged would find nothing; False where only the rules can tell.

    `has_begun` tells whether a day has begun in a time zone. Raises GitError.
    """
    looked_at = [one for one in shelf.changes if is_looked_at(one.path)]
    if not all(kind_of(one.path) == "job" for one in looked_at):
        return False
    digests = RulesDigests(shelf.blobs(shelf.own_paths()).items())
    zone = cache.answer(ZONE, digests.whole) or ""
    now = [(one.path, one.blob) for one in looked_at]
    results = {one.path: one for one in map(CheckResult._make, cache.checks(now))}
    if not all(path in results and _is_clean(results[path], shelf, digests) for path, _ in now):
        return False
    if not all(has_begun(one.last_done, zone) for one in results.values()):
        return False
    changed = [one for one in looked_at if one.was]
    facts = _facts(cache, [key for one in changed for key in ((one.path, one.was), (one.path, one.blob))])
    return not any(_binds(one, facts) for one in changed)


def _is_clean(result: CheckResult, shelf: Index, digests: RulesDigests) -> bool:
    """Tell whether no rule has anything to say of a job, whatever the others are."""
    name = result.path.rpartition("/")[2].removesuffix(".toml")
    return (
        result.is_read
        and result.rules_digest == digests.of(result.design)
        and not (result.found or result.waived or result.asking)
        and len(shelf.jobs_named(name)) == 1
        and all(shelf.is_listed(attachment_path(result.path, one)) for one in result.attachments)
    )


def _facts(cache: Cache, keys: list[Key]) -> dict[Key, Facts | None]:
    return {(path, blob): unpack(row) for path, blob, *row in cache.facts(keys)}


def _binds(one: git.StagedFile, facts: dict[Key, Facts | None]) -> bool:
    """Tell whether a job may be bound to what it was in a commit: it had been sent, or others lean on it."""
    was, now = facts.get((one.path, one.was)), facts.get((one.path, one.blob))
    return was is None or now is None or may_have_been_sent(was, now) or is_leaned_on(was, now)
