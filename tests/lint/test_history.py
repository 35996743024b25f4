"""`lint --since`: which commit brought which finding, in real repositories."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from jobkit.book import git
from jobkit.book.read.load import Loaded
from jobkit.jobs.bench import Bench
from jobkit.jobs.contents import Contents
from jobkit.jobs.settings import Settings
from jobkit.lint.check import check_or_recall
from jobkit.lint.check.one_file import Checked, check_job
from jobkit.lint.run.history import lint_since
from jobkit.lint.run.report import Report
from tests.book.repo import GitRepo, forget_git_settings
from tests.lint.laid import BOOK, lay

JOB = "jobs/2026/K26-0001.toml"
TEXT = (BOOK / JOB).read_text("utf-8")
EARLY = TEXT.replace("finished = 2026-10-09", "finished = 2026-10-07")
UNPAID = TEXT.replace("paid = 2026-10-10\n", "")


@pytest.fixture
def repo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> GitRepo:
    """Return the sound book, committed; commits are of September 2026, so days are told by `day_of`."""
    forget_git_settings(monkeypatch)
    made = GitRepo.make(lay(tmp_path / "book", {}))
    made.commit("A sound book")
    return made


def day_of(_seconds: int, _settings: Settings) -> date:
    return date(2026, 10, 31)


def audit(repo: GitRepo, since: str, until: str = "HEAD") -> Report:
    return lint_since(repo.root, since, until, day_of)


def brought(report: Report) -> list[tuple[str, str]]:
    subjects = {commit.id: commit.subject for commit in report.commits}
    return [(subjects[one.commit], one.rule) for one in report.findings]


def test_each_finding_comes_with_the_commit_that_brought_it(repo: GitRepo) -> None:
    start = repo.git("rev-parse", "HEAD").strip()
    repo.commit("Typed the wrong day", {JOB: EARLY})
    repo.commit("A remark", {JOB: "# a remark moves every line\n" + EARLY})
    repo.commit("Right again", {JOB: TEXT})
    repo.commit("Sent unpaid", {JOB: UNPAID, "jobs/2026/K26-0002/photo.txt": "x"})
    report = audit(repo, start)
    assert brought(report) == [("Typed the wrong day", "date-order"), ("Sent unpaid", "sent-unpaid")]
    assert [commit.subject for commit in report.commits] == [
        "Typed the wrong day",
        "A remark",
        "Right again",
        "Sent unpaid",
    ]
    assert {commit.author for commit in report.commits} == {"ida"}


def test_what_was_there_before_is_not_told(repo: GitRepo) -> None:
    repo.commit("Typed the wrong day", {JOB: EARLY})
    repo.commit("Nothing new", {JOB: EARLY + "# a remark\n"})
    assert brought(audit(repo, "HEAD~1")) == []


def test_a_finding_that_comes_a_second_time_is_told_twice(repo: GitRepo) -> None:
    for text in (EARLY, TEXT, EARLY):
        repo.commit("Change", {JOB: text})
    assert [rule for _, rule in brought(audit(repo, "HEAD~3"))] == ["date-order", "date-order"]


def test_settings_are_those_of_each_commit(repo: GitRepo) -> None:
    bench = (BOOK / "bench.toml").read_text("utf-8")
    repo.commit("Off", {"bench.toml": bench.replace("off = []", 'off = ["sent-unpaid"]'), JOB: UNPAID})
    repo.commit("On", {"bench.toml": bench})
    assert brought(audit(repo, "HEAD~2")) == [("On", "sent-unpaid")]


def test_a_merge_brings_only_what_no_parent_had(repo: GitRepo) -> None:
    start = repo.git("rev-parse", "HEAD").strip()
    serial = 'serial = "W1-0019-5521"'
    three = "jobs/2026/K26-0003.toml"
    repo.git("checkout", "-q", "-b", "second")
    repo.commit(
        "Their slip",
        {"jobs/2026/K26-0002.toml": (BOOK / "jobs/2026/K26-0002.toml").read_text() + "paid = 2026-11-30\n"},
    )
    repo.commit("Another serial", {three: (BOOK / three).read_text("utf-8").replace(serial, "")})
    repo.git("checkout", "-q", "main")
    repo.commit("Our slip", {JOB: UNPAID})
    repo.git("merge", "-q", "--no-commit", "second")
    repo.commit("Merge", {three: (BOOK / three).read_text("utf-8").replace(serial, 'serial = "X"')})
    found = brought(audit(repo, start))
    assert sorted(found) == [
        ("Merge", "comeback-serial"),
        ("Our slip", "sent-unpaid"),
        ("Their slip", "date-future"),
    ]


def test_the_first_commit_is_audited_from_an_unrelated_one(repo: GitRepo) -> None:
    """Every commit that REV does not reach is checked, those without parents too."""
    repo.git("checkout", "-q", "--orphan", "other")
    repo.commit("Another beginning", {JOB: UNPAID})
    assert brought(audit(repo, "main", "other")) == [("Another beginning", "sent-unpaid")]


def test_commits_outside_the_book_are_passed_by(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    forget_git_settings(monkeypatch)
    repo = GitRepo.make(tmp_path / "all")
    root = lay(tmp_path / "all/bench", {})
    repo.commit("A book in a folder")
    repo.commit("Something else", {"other/notes.txt": "x"})
    repo.commit("A slip", {f"bench/{JOB}": EARLY})
    report = lint_since(root, "HEAD~2", "HEAD", day_of)
    assert [commit.subject for commit in report.commits] == ["A slip"]
    assert [one.file for one in report.findings] == [JOB]


def test_the_future_is_what_lay_ahead_of_the_commit(repo: GitRepo) -> None:
    """The book is dated October, the commits September: a reading of October was ahead of its commit."""
    repo.commit("Typed ahead", {JOB: TEXT + "# a remark\n"})

    def day_at(seconds: int, _settings: Settings) -> date:
        return datetime.fromtimestamp(seconds, UTC).date()

    one = "jobs/2026/K26-0002.toml"
    text = (BOOK / one).read_text("utf-8").replace("2026-10-14", "2026-09-21")
    repo.commit("Booked in that day", {one: text})
    repo.commit("Quoted tomorrow", {one: text + "quoted = 2026-09-22\n"})
    report = lint_since(repo.root, "HEAD~2", "HEAD", day_at)
    assert brought(report) == [("Quoted tomorrow", "date-future")]


def test_a_name_that_is_no_commit_is_refused(repo: GitRepo) -> None:
    with pytest.raises(git.UnknownRevisionError):
        audit(repo, "no-such")


def test_files_are_read_once_however_many_commits_there_are(
    repo: GitRepo, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ten commits that change one job of three: three files are checked at first, then one a commit."""
    checked: list[str] = []
    once = check_job

    def counted(loaded: Loaded, bench: Bench, contents: Contents) -> Checked:
        checked.append(loaded.path)
        return once(loaded, bench, contents)

    monkeypatch.setattr(check_or_recall, "check_job", counted)
    for number in range(10):
        repo.commit("A remark", {JOB: f"{TEXT}# {number}\n"})
    audit(repo, "HEAD~10")
    assert len(checked) == 3 + 10


def test_a_file_counts_once_however_many_commits_it_was_checked_in(repo: GitRepo) -> None:
    another = "jobs/2026/K26-0077.toml"
    for number in range(3):
        repo.commit("A remark", {JOB: f"{TEXT}# {number}\n"})
    repo.commit("Another", {another: TEXT.replace("K26-0001", "K26-0077")})
    repo.git("rm", "-q", another)
    repo.commit("Away again")
    assert audit(repo, "HEAD~2").files == audit(repo, "HEAD~3").files == audit(repo, "HEAD~5").files == 8
