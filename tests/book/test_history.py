"""A job followed through git's log: renames, merges, names that change hands, and what clones lack."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from jobkit.book import git
from jobkit.book.history.before import state_before
from jobkit.book.history.job_history import history, last_path
from jobkit.cli.call.shelves import shelf_of
from jobkit.jobs.history import CommitChanges, JobState
from tests.book.repo import GitRepo

A, B = "jobs/2026/K26-0001.toml", "jobs/2026/K26-0002.toml"


def job(number: int = 1, *entries: str, client: str = "c-001", title: str = "No picture") -> str:
    head = f"""\
format = 1
id = "K26-000{number}"
client = "{client}"
title = "{title}"

[board]
kind = "graphics card"
serial = "A1-{client}"

[intake]
complaint = "{title} since Monday"

[dates]
received = 2026-10-05
"""
    works = [
        f'\n[[work]]\nat = 2026-10-06T1{place}:00:00\ndid = "{did}"\n' for place, did in enumerate(entries)
    ]
    return head + "".join(works)


def other_job(number: int, *entries: str) -> str:
    return job(number, *entries, client="c-777", title="Fans scream").replace("2026-10-05", "2026-10-09")


def follow(repo: GitRepo, path: str = A, revision: str = "HEAD") -> list[CommitChanges]:
    seen = git.open_repo(repo.root)
    return history(seen, git.resolve(seen, revision), path)


def subjects(repo: GitRepo, path: str = A) -> list[str]:
    return [commit_changes.subject for commit_changes in follow(repo, path) if not commit_changes.took_a_side]


def done(state: JobState | None) -> list[str | None] | None:
    return [work.did for work in state.job.work] if state and state.job else None


def test_every_state_is_there_oldest_first(repo: GitRepo) -> None:
    repo.commit("Book in", {A: job(), B: other_job(2)})
    repo.commit("The other", {B: other_job(2, "clean")})
    repo.author = "bo"
    repo.commit("Clean", {A: job(1, "clean")})
    first, second = follow(repo)
    assert (first.subject, first.author, second.subject, second.author) == ("Book in", "ida", "Clean", "bo")
    assert second.when > first.when
    (begun,), (gone_on,) = first.file_changes, second.file_changes
    assert (begun.before, done(begun.after)) == (None, [])
    assert (done(gone_on.before), done(gone_on.after)) == ([], ["clean"])


def test_a_rename_is_followed_whatever_else_changes(repo: GitRepo) -> None:
    repo.commit("Book in", {"jobs/2025/K26-0001.toml": job()})
    repo.git("mv", "jobs/2025/K26-0001.toml", "moved")
    repo.git("rm", "-rq", "--cached", "moved")
    (repo.root / "moved").unlink()
    many = job(1, *["clean", "inspect", "other"] * 3)
    repo.commit("Into the right year, with all of a day", {A: many})
    first, second = follow(repo)
    assert first.subject == "Book in"
    (file_change,) = second.file_changes
    assert file_change.before
    assert file_change.after
    assert (file_change.before.path, file_change.after.path) == ("jobs/2025/K26-0001.toml", A)
    assert (done(file_change.before), len(done(file_change.after) or ())) == ([], 9)


def test_another_job_that_goes_as_one_comes_is_no_rename(repo: GitRepo) -> None:
    """Two short job files are mostly the same lines; git's own look at the lines takes one for the other."""
    repo.commit("Book in the first", {B: other_job(2)})
    (repo.root / B).unlink()
    repo.commit("Book in this one, take the other out", {A: job()})
    assert "R" in repo.git("show", "--format=", "--name-status", "-M20%")
    assert subjects(repo) == ["Book in this one, take the other out"]
    assert subjects(repo, B) == ["Book in the first", "Book in this one, take the other out"]


def test_a_job_that_is_gone_is_followed_to_its_end(repo: GitRepo) -> None:
    repo.commit("Book in", {A: job(), B: other_job(2)})
    (repo.root / A).unlink()
    repo.commit("Take it out")
    repo.commit("Go on", {B: other_job(2, "clean")})
    seen = git.open_repo(repo.root)
    head = git.resolve(seen, "HEAD")
    assert last_path(seen, head, "k26-0001") == A
    assert last_path(seen, head, "K26-0009") is None
    assert last_path(seen, head, "0001") is None
    end = follow(repo)[-1]
    assert (end.subject, end.file_changes[0].after) == ("Take it out", None)


def test_a_job_taken_in_again_has_all_its_past(repo: GitRepo) -> None:
    repo.commit("Book in", {A: job()})
    (repo.root / A).unlink()
    repo.commit("Take it out")
    repo.commit("Take it in again", {A: job(1, "clean")})
    assert subjects(repo) == ["Book in", "Take it out", "Take it in again"]


def test_two_benches_are_followed_on_both_sides_of_a_merge(repo: GitRepo) -> None:
    repo.commit("Book in", {A: job()})
    repo.git("checkout", "-q", "-b", "bo")
    repo.commit("Bo cleans", {A: job(1, "clean")})
    repo.git("checkout", "-q", "main")
    repo.commit("Ida writes elsewhere", {B: other_job(2)})
    repo.git("merge", "-q", "bo", "-m", "Join")
    assert subjects(repo) == ["Book in", "Bo cleans"]


def test_a_merge_by_hand_is_compared_with_each_side(repo: GitRepo) -> None:
    repo.commit("Book in", {A: job()})
    repo.git("checkout", "-q", "-b", "bo")
    repo.commit("Bo", {A: job(1, "clean")})
    repo.git("checkout", "-q", "main")
    repo.commit("Ida", {A: job(1, "inspect")})
    repo.attempt("merge", "bo")
    repo.commit("Both, and one more", {A: job(1, "inspect", "clean", "other")})
    merge = follow(repo)[-1]
    assert merge.subject == "Both, and one more"
    assert [(done(file_change.before), done(file_change.after)) for file_change in merge.file_changes] == [
        (["inspect"], ["inspect", "clean", "other"]),
        (["clean"], ["inspect", "clean", "other"]),
    ]


def test_a_rename_on_one_side_of_a_merge_is_followed_on_the_other(repo: GitRepo) -> None:
    """Git's --follow loses Bo's commit, or Ida's: it walks along one line."""
    old = "jobs/2025/K26-0001.toml"
    repo.commit("Book in", {old: job()})
    repo.git("checkout", "-q", "-b", "bo")
    repo.commit("Bo cleans under the old name", {old: job(1, "clean")})
    repo.git("checkout", "-q", "main")
    repo.git("mv", "jobs/2025", "jobs/2026")
    repo.commit("Ida moves it")
    repo.git("merge", "-q", "bo", "-m", "Join")
    assert (repo.root / A).read_text() == job(1, "clean")
    assert subjects(repo) == ["Book in", "Bo cleans under the old name", "Ida moves it", "Join"]
    join = follow(repo)[-1]
    assert [
        (file_change.before and file_change.before.path, done(file_change.before))
        for file_change in join.file_changes
    ] == [
        (A, []),
        (old, ["clean"]),
    ]


def test_two_jobs_that_took_one_id_are_kept_apart(repo: GitRepo) -> None:
    """Both sides made K26-0002; in the merge one of them was given the next id."""
    c = "jobs/2026/K26-0003.toml"
    repo.commit("Book in another", {A: job()})
    repo.git("checkout", "-q", "-b", "bo")
    repo.commit("Bo books in", {B: other_job(2)})
    repo.commit("Bo cleans", {B: other_job(2, "clean")})
    repo.git("checkout", "-q", "main")
    ours = job(2, client="c-002", title="Dead")
    repo.commit("Ida books in", {B: ours})
    assert repo.attempt("merge", "bo").returncode
    repo.commit("Settle it", {B: ours, c: other_job(3, "clean")})
    repo.commit("Ida goes on", {B: job(2, "inspect", client="c-002", title="Dead")})
    assert subjects(repo, B) == ["Ida books in", "Ida goes on"]
    assert subjects(repo, c) == ["Bo books in", "Bo cleans", "Settle it"]
    settled = follow(repo, c)[-1]
    assert [file_change.before and file_change.before.path for file_change in settled.file_changes] == [
        None,
        B,
    ]


def test_the_files_in_its_folder_belong_to_a_job(repo: GitRepo) -> None:
    repo.commit("Book in", {A: job(), "jobs/2026/K26-0001/old.csv": "1", B: other_job(2)})
    repo.commit("Log", {"jobs/2026/K26-0001/load.csv": "1", "jobs/2026/K26-0002/load.csv": "2"})
    repo.commit("Again", {"jobs/2026/K26-0001/load.csv": "2"})
    (repo.root / "jobs/2026/K26-0001/old.csv").unlink()
    repo.commit("Less", {A: job(1, "clean")})
    repo.git("mv", "jobs/2026", "jobs/2027")
    repo.commit("Move")
    told = [
        (commit_changes.subject, commit_changes.file_changes[0].attached)
        for commit_changes in follow(repo, "jobs/2027/K26-0001.toml")
    ]
    assert told == [
        ("Book in", (("old.csv", "added"),)),
        ("Log", (("load.csv", "added"),)),
        ("Again", (("load.csv", "changed"),)),
        ("Less", (("old.csv", "removed"),)),
        ("Move", ()),
    ]


def test_a_book_that_moved_inside_a_larger_repository(repo: GitRepo) -> None:
    repo.commit("Open", {"bench.toml": "", A: job(), "elsewhere.txt": "1"})
    (repo.root / "book").mkdir()
    repo.git("mv", "bench.toml", "jobs", "book")
    repo.commit("Make room")
    repo.commit("Go on", {f"book/{A}": job(1, "clean"), "elsewhere.txt": "2"})
    seen = git.open_repo(repo.root / "book")
    found = history(seen, git.resolve(seen, "HEAD"), A)
    assert [commit_changes.subject for commit_changes in found] == ["Open", "Make room", "Go on"]


def test_a_state_that_is_no_toml_is_there_without_a_job(repo: GitRepo) -> None:
    repo.commit("Book in", {A: job()})
    repo.commit("Half a merge", {A: "<<<<<<< ours\n"})
    repo.commit("Mended", {A: job(1, "clean")})
    states = [
        file_change.after for commit_changes in follow(repo) for file_change in commit_changes.file_changes
    ]
    assert [state and (done(state), state.missing) for state in states] == [
        ([], False), (None, False), (["clean"], False)
    ]  # fmt: skip


@pytest.mark.parametrize(
    "name",
    [
        "jobs/2026/K26 0001 Ω.toml",
        "jobs/2026/two\nlines.toml",
        "jobs/2026/[K]*.toml",
        "jobs/2026/k26-0001.toml",
    ],
    ids=["space and other letters", "a newline", "wildcards", "small letters"],
)
def test_odd_names(repo: GitRepo, name: str) -> None:
    repo.commit("Book in", {name: job(), B: other_job(2)})
    repo.commit("Clean", {name: job(1, "clean")})
    assert subjects(repo, name) == ["Book in", "Clean"]


def test_names_that_differ_in_case_only_are_two_jobs(repo: GitRepo) -> None:
    small = A.replace("K26", "k26")
    repo.commit("Book in", {A: job()})
    blob = repo.git("hash-object", "-w", str(repo.write("../small", other_job(1)))).strip()
    repo.git("update-index", "--add", "--cacheinfo", f"100644,{blob},{small}")
    repo.git("commit", "-qm", "The other")
    assert (subjects(repo, A), subjects(repo, small)) == (["Book in"], ["The other"])


def test_a_shallow_clone_begins_with_what_was_there(repo: GitRepo, tmp_path: Path) -> None:
    repo.commit("Book in", {A: job()})
    repo.commit("Clean", {A: job(1, "clean")})
    repo.commit("Inspect", {A: job(1, "clean", "inspect")})
    shallow = repo.clone(tmp_path / "shallow", "--depth=2")
    first, second = follow(shallow)
    assert (first.subject, first.file_changes[0].before, done(first.file_changes[0].after)) == (
        "Clean",
        None,
        ["clean"],
    )
    assert second.subject == "Inspect"


def test_a_partial_clone_lacks_states_and_says_so(repo: GitRepo, tmp_path: Path) -> None:
    repo.commit("Book in", {A: job()})
    repo.commit("Clean", {A: job(1, "clean")})
    repo.git("config", "uploadpack.allowFilter", "true")
    partial = repo.clone(tmp_path / "partial", "--filter=blob:none")
    got: list[JobState | None] | str
    try:
        got = [
            file_change.after
            for commit_changes in follow(partial)
            for file_change in commit_changes.file_changes
        ]
    except git.GitError as error:  # git before 2.44 stops at the first that is not there
        got = error.mend.rpartition("with ")[2]
    lost = JobState(A, git.blob_id(job().encode()), None, missing=True)
    there = follow(repo)[-1].file_changes[0].after
    assert got in ([lost, there], "`git fetch --refetch --no-filter`")


def test_detached_and_older_revisions(repo: GitRepo) -> None:
    old = repo.commit("Book in", {A: job()})
    repo.commit("Clean", {A: job(1, "clean")})
    assert [commit_changes.subject for commit_changes in follow(repo, revision=old)] == ["Book in"]
    repo.git("checkout", "-q", "--detach", old)
    assert subjects(repo) == ["Book in"]


def test_a_job_that_was_never_committed_has_no_history(repo: GitRepo) -> None:
    repo.commit("Book in", {A: job()})
    assert follow(repo, B) == []


def test_a_job_with_other_times_alone_has_no_earlier_state(repo: GitRepo) -> None:
    """As in a copy of a book: git takes each file for changed until it has looked."""
    repo.commit("As it is", {"bench.toml": "format = 1\n", A: job(1), B: job(2)})
    repo.write(B, job(2, "[own]"))
    os.utime(repo.root / A, (1, 1))
    assert len(repo.git("diff-files", "--name-only").splitlines()) == 2
    assert [*state_before(repo.root, shelf_of(repo.root)).now] == [B]
