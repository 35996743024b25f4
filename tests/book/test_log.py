"""The log of a repository, against what git itself says of the same history."""

from __future__ import annotations

from collections.abc import Generator
from pathlib import Path

import pytest

from jobkit.book import git
from jobkit.book.git.log import CommitStep, Touched, steps
from tests.book.repo import GitRepo
from tests.book.test_git import ODD_NAMES


def log(repo: GitRepo, revision: str = "HEAD") -> list[CommitStep]:
    seen = git.open_repo(repo.root)
    return list(steps(seen, git.resolve(seen, revision)))


def blob(text: str) -> str:
    return git.blob_id(text.encode())


def test_each_commit_tells_who_when_why_and_what(repo: GitRepo) -> None:
    repo.author = "Ída Ω"
    first = repo.commit("Open the book", {"a": "1", "b": "1"})
    second = repo.commit("Measure\n\n:100644 is not a record\nbut the second line", {"a": "2"})
    (repo.root / "b").unlink()
    third = repo.commit("  Go on  ")
    steps_ = log(repo)
    assert [step.commit for step in steps_] == [third, second, first]
    assert [step.parent for step in steps_] == [second, first, ""]
    assert [step.subject for step in steps_] == ["Go on", "Measure", "Open the book"]
    assert {step.author for step in steps_} == {"Ída Ω"}
    assert [str(step.when) for step in steps_] == repo.git("log", "--format=%at").split()
    assert [list(step.touched()) for step in steps_] == [
        [Touched("b", blob("1"), "")],
        [Touched("a", blob("1"), blob("2"))],
        [Touched("a", "", blob("1")), Touched("b", "", blob("1"))],
    ]


@pytest.mark.parametrize("hashing", ["sha1", "sha256"])
def test_names_come_back_whatever_they_hold(tmp_path: Path, hashing: str) -> None:
    repo = GitRepo.make(tmp_path / "odd", f"--object-format={hashing}")
    for name in ODD_NAMES:
        repo.write(name, name.encode(errors="surrogateescape"))
    repo.commit()
    (step,) = log(repo)
    assert {one.path for one in step.touched()} == {*ODD_NAMES}
    assert all(
        one.blob == git.blob_id(one.path.encode(errors="surrogateescape"), hashing) for one in step.touched()
    )


def test_a_merge_comes_once_for_each_parent_that_it_differs_from(repo: GitRepo) -> None:
    repo.commit("Base", {"a": "1", "b": "1"})
    repo.git("checkout", "-q", "-b", "side")
    side = repo.commit("Side", {"a": "2"})
    repo.git("checkout", "-q", "main")
    main = repo.commit("Main", {"b": "2"})
    repo.git("merge", "-q", "side", "-m", "Both")
    both = log(repo)[:2]
    assert [(step.parent, step.parents) for step in both] == [(main, (main, side)), (side, (main, side))]
    assert [list(step.touched()) for step in both] == [
        [Touched("a", blob("1"), blob("2"))],
        [Touched("b", blob("1"), blob("2"))],
    ]


def test_commits_that_change_nothing_are_there_too(repo: GitRepo) -> None:
    first = repo.commit("Nothing yet")
    repo.commit("Fill", {"a": "1"})
    repo.git("checkout", "-q", "-b", "side", first)
    repo.commit("Nothing either")
    repo.git("checkout", "-q", "main")
    repo.git("merge", "-q", "side", "-m", "Joined")
    joined, *others = log(repo)
    assert len(others) == 3
    assert joined.subject == "Joined"
    assert [step.paths for step in others if step.subject.startswith("Nothing")] == [[], []]


def test_a_merge_that_differs_from_no_parent_still_names_them(repo: GitRepo) -> None:
    repo.commit("Fill", {"a": "1"})
    repo.git("checkout", "-q", "-b", "side")
    side = repo.commit("Nothing")
    repo.git("checkout", "-q", "main")
    main = repo.commit("Nothing here")
    repo.git("merge", "-q", "side", "-m", "Joined")
    joined = log(repo)[0]
    assert (joined.parent, joined.parents, joined.paths) == ("", (main, side), [])


def test_children_come_before_parents_whatever_the_clocks_said(repo: GitRepo) -> None:
    repo.commit("First", {"a": "1"})
    late = {f"GIT_{role}_DATE": "2020-01-01T00:00:00 +0000" for role in ("AUTHOR", "COMMITTER")}
    repo.write("a", "2")
    repo.git("commit", "-qam", "Clock set back", env=late)
    repo.commit("Third", {"a": "3"})
    assert [step.subject for step in log(repo)] == ["Third", "Clock set back", "First"]


def test_links_and_other_repositories_are_no_plain_files(repo: GitRepo) -> None:
    repo.commit("Fill", {"a": "1", "b": "1"})
    (repo.root / "a").unlink()
    (repo.root / "a").symlink_to("b")
    head = repo.git("rev-parse", "HEAD").strip()
    repo.git("add", "a")
    repo.git("update-index", "--add", "--cacheinfo", f"160000,{head},sub")
    repo.git("commit", "-qm", "Link")
    assert list(log(repo)[0].touched()) == [Touched("a", blob("1"), ""), Touched("sub", "", "")]


@pytest.mark.parametrize(
    "setting",
    [
        "log.showRoot=false",
        "log.showSignature=true",
        "log.diffMerges=first-parent",
        "log.decorate=full",
        "log.follow=true",
        "log.abbrevCommit=true",
        "log.mailmap=true",
        "format.pretty=oneline",
        "format.notes=true",
        "color.ui=always",
        "color.diff=always",
        "core.abbrev=4",
        "core.quotePath=true",
        "diff.renames=copies",
        "diff.relative=true",
        "diff.noprefix=true",
        "diff.ignoreSubmodules=all",
        "diff.orderFile=orders",
        "i18n.logOutputEncoding=latin1",
        "core.attributesFile=evil",
        "diff.external=false",
        "gpg.program=false",
    ],
)
def test_settings_do_not_change_the_answer(repo: GitRepo, setting: str) -> None:
    repo.commit("Füll", {"b/x": "1", "a/y": "1", "orders": "b/*\n"})
    repo.git("notes", "add", "-m", ":100644 100644 a note")
    repo.git("mv", "a/y", "a/z")
    repo.commit("Move")
    repo.git("checkout", "-q", "-b", "side", "HEAD~1")
    repo.commit("Side", {"b/x": "2"})
    repo.git("merge", "-q", "main", "-m", "Both")
    before = [(step.commit, step.parent, step.subject, *step.touched()) for step in log(repo)]
    repo.git("config", *setting.split("=", 1))
    assert [(step.commit, step.parent, step.subject, *step.touched()) for step in log(repo)] == before


def test_a_message_in_another_encoding_is_read(repo: GitRepo) -> None:
    repo.git("config", "i18n.commitEncoding", "latin1")
    message = repo.write("../message", "Gemessen für Ída".encode("latin1"))
    repo.git("commit", "-q", "--allow-empty", "-F", str(message))
    assert log(repo)[0].subject == "Gemessen für Ída"


def test_a_shallow_clone_ends_where_it_begins(repo: GitRepo, tmp_path: Path) -> None:
    repo.commit("First", {"a": "1"})
    repo.commit("Second", {"a": "2"})
    (step,) = log(repo.clone(tmp_path / "shallow", "--depth=1"))
    assert list(step.touched()) == [Touched("a", "", blob("2"))]


def test_a_clone_without_trees_says_how_to_get_them(repo: GitRepo, tmp_path: Path) -> None:
    repo.commit("First", {"a": "1"})
    repo.commit("Second", {"a": "2"})
    repo.git("config", "uploadpack.allowFilter", "true")
    bare = repo.clone(tmp_path / "bare", "--filter=tree:0", "--no-checkout")
    with pytest.raises(git.GitError) as caught:
        log(bare)
    assert "git fetch --refetch --no-filter" in caught.value.mend


def test_listening_may_stop_early(repo: GitRepo) -> None:
    for number in range(3):
        repo.commit(f"Number {number}", {str(place): f"{number} {place}" for place in range(500)})
    seen = git.open_repo(repo.root)
    listening = steps(seen, git.resolve(seen, "HEAD"))
    assert next(listening).subject == "Number 2"
    assert isinstance(listening, Generator)
    listening.close()


def test_more_than_one_piece_of_log_is_put_together(repo: GitRepo) -> None:
    """A megabyte is read at a time; names and records are cut anywhere."""
    names = [f"{'long-name-' * 15}{number}" for number in range(6000)]
    repo.commit("Many", dict.fromkeys(names, "1"))
    repo.commit("All of them", dict.fromkeys(names, "2"))
    second, first = log(repo)
    assert {one.path for one in first.touched()} == {one.path for one in second.touched()} == {*names}
    assert {(one.was, one.blob) for one in second.touched()} == {(blob("1"), blob("2"))}
