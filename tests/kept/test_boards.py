"""What is kept of a board and its design is what all jobs together say."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from itertools import cycle
from pathlib import Path

import pytest

from jobkit.book import git
from jobkit.book.cache.store import Cache
from jobkit.book.read.facts import all_facts
from jobkit.book.read.load import OpenBook, load_jobs, open_for_few
from jobkit.book.shelf.opening import Tree
from jobkit.book.shelf.tree import GitTree
from jobkit.cli.call.boards import stays_of, usual_for
from jobkit.jobs.asof import facts_as_of, job_as_of
from jobkit.jobs.job import Job
from jobkit.jobs.manner import manner
from jobkit.jobs.serial import is_same_serial
from jobkit.reckon.readings.against_usual import against, against_usual
from tests.book.repo import GitRepo, forget_git_settings
from tests.kept.test_same_answers import opened

DAYS = [date(2026, 9, 10), date(2026, 10, 20), date(2026, 11, 20), date(2027, 6, 1)]


@pytest.fixture
def repo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> GitRepo:
    forget_git_settings(monkeypatch)
    return opened(tmp_path)


def kept(repo: GitRepo, cache: Cache) -> OpenBook:
    return open_for_few(GitTree(repo.root, git.WorktreeQuery(git.open_repo(repo.root))), cache)


def jobs_of(book: OpenBook) -> list[Job]:
    return [loaded.job for loaded in load_jobs(book.shelf, book.job_paths) if loaded.job]


def same(repo: GitRepo, cache: Cache, days: Sequence[date] = DAYS) -> int:
    """Compare what is kept with what all jobs say, of every job on these days; count the readings compared."""
    book, plain = kept(repo, cache), open_for_few(Tree(repo.root))
    compared = 0
    for on in days:
        facts = facts_as_of(all_facts(plain), on)
        for whole in jobs_of(plain):
            job = job_as_of(whole, on)
            is_, ought = (
                against(job, usual_for(book, job, on), book.bench),
                against_usual(job, facts, book.bench),
            )
            assert is_.keys() == ought.keys()
            for place, one in ought.items():
                known = is_[place]
                assert known.stands == one.stands
                # The figures: readings are told without their jobs, and a one-sided bound is of no use to a comparison.
                assert known.usual._replace(bound=None)[6:] == one.usual._replace(bound=None)[6:]
                assert [len(some) for some in known.usual[1:5]] == [len(some) for some in one.usual[1:5]]
                compared += 1
            serial = job.board.serial or ""
            assert stays_of(book, serial, on) == [one for one in facts if is_same_serial(one.serial, serial)]
    return compared


def test_what_is_usual_is_what_all_jobs_say(repo: GitRepo) -> None:
    cache = Cache()
    assert same(repo, cache) > 100
    proved = next(
        path
        for path in sorted(repo.root.glob("jobs/2026/*.toml"))
        if 'stage = "proof"' in path.read_text("utf-8")
    )
    text = proved.read_text("utf-8")
    changes: tuple[Callable[[], object], ...] = (
        lambda: proved.write_text(text.replace('stage = "proof"', 'stage = "work"', 1), "utf-8"),
        lambda: proved.write_text(text + "\n# seen\n", "utf-8"),
        lambda: repo.git("add", "-A"),
        proved.unlink,
        lambda: repo.git("checkout", "-q", "HEAD", "--", "."),
        lambda: proved.with_name("K26-0997.toml").write_text(text.replace(proved.stem, "K26-0997"), "utf-8"),
    )
    for change, day in zip(changes, cycle(DAYS)):  # another day after each change
        change()
        same(repo, cache, [day])


def test_a_tally_is_counted_once(repo: GitRepo, monkeypatch: pytest.MonkeyPatch) -> None:
    cache = Cache()
    job = next(one for one in jobs_of(open_for_few(Tree(repo.root))) if one.board.design and one.readings)
    usual_for(kept(repo, cache), job, DAYS[2])
    usual_for(kept(repo, cache), job, DAYS[2])  # the first went through all jobs, this one counts
    monkeypatch.setattr(
        "jobkit.reckon.readings.tally.Tally.add",
        lambda _tally, jobs: pytest.fail("counted") if jobs else None,
    )
    assert usual_for(kept(repo, cache), job, DAYS[2])(manner(job.readings[0])) is not None
    path = repo.root / job.path
    path.write_text(path.read_text("utf-8") + "\n# seen\n", "utf-8")
    if not job.dates.finished:
        usual_for(kept(repo, cache), job, DAYS[2])
