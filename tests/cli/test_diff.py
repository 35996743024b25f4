"""`jobkit diff`: what changed, as readings and verdicts."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.book.repo import GitRepo, forget_git_settings
from tests.books import BENCH, BOARD, JOB, JOB_PATH, make_book
from tests.conftest import Run
from tests.schema.schemas import fast

BOARD_PATH = "boards/alder-a1.toml"


@pytest.fixture(autouse=True)
def _no_git_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    forget_git_settings(monkeypatch)


@pytest.fixture
def repo(tmp_path: Path) -> GitRepo:
    repo = GitRepo.make(tmp_path / "bench")
    make_book(repo.root)
    repo.commit("Open the book")
    return repo


Diff = Callable[..., Any]


@pytest.fixture
def diff(run: Run, repo: GitRepo) -> Diff:
    def call(*words: str) -> Any:
        ran = run("diff", *words, "--book", repo.root, "--format", "json")
        assert (ran.status, ran.err) == (0, "")
        assert fast("answers/diff").is_valid(ran.data)
        return ran.data

    return call


def told(data: Any) -> list[str]:
    jobs = [
        f"{job['job']} {change['change']}: {change['text']}"
        for job in data["jobs"]
        for change in job["changes"]
    ]
    files = [
        f"{file['path']} {change['change']}: {change['text']}"
        for file in data["files"]
        for change in file["changes"]
    ]
    return jobs + files


def test_nothing_changed(run: Run, repo: GitRepo) -> None:
    assert run("diff", "--book", repo.root).out == "From HEAD to working tree\nNothing changed.\n"


def test_on_a_terminal(run: Run, repo: GitRepo) -> None:
    repo.write(JOB_PATH, JOB.replace('"23.4 Ω"', '"8.2 Ω"'))
    repo.write("bench.toml", BENCH.replace("Test Bench", "Bench of Tests"))
    assert (
        run("diff", "--book", repo.root).out
        == """\
From HEAD to working tree

K26-0001  No picture
changed  VMEM 8.2 Ω out, proof, cold (was VMEM 23.4 Ω in)

bench.toml
changed  bench: name Bench of Tests (was Test Bench)

1 job, 1 other file.
"""
    )


def test_a_row_a_change_as_csv(run: Run, repo: GitRepo) -> None:
    repo.write(JOB_PATH, JOB.replace('"23.4 Ω"', '"8.2 Ω"'))
    rows = run("diff", "--book", repo.root, "--format", "csv").out.split("\r\n")
    assert rows == [
        "file,job,what,change,words",
        f'{JOB_PATH},K26-0001,reading,changed,"VMEM 8.2 Ω out, proof, cold (was VMEM 23.4 Ω in)"',
        "",
    ]


def test_the_working_tree_with_what_is_staged_new_and_gone(diff: Diff, repo: GitRepo) -> None:
    other, third = "jobs/2026/K26-0002.toml", "jobs/2026/K26-0003.toml"
    two = JOB.replace("K26-0001", "K26-0002").replace("c-001", "c-002").replace("No picture", "Dead")
    repo.commit("Another", {other: two, ".gitignore": "private/\n"})
    repo.write(JOB_PATH, JOB.replace("minutes = 75", "minutes = 80"))
    repo.git("add", JOB_PATH)
    (repo.root / other).unlink()
    repo.write(
        third, JOB.replace("K26-0001", "K26-0003").replace("c-001", "c-003").replace("No picture", "Loud")
    )
    repo.write("private/clients.toml", "format = 1\n")
    repo.write("note.txt", "not of the book")
    lines = told(diff())
    assert lines[0] == "K26-0001 changed: clean, 80 min (was 75 min)"
    assert lines[1] == "K26-0002 removed: removed from the book"
    assert lines[2] == "K26-0003 added: booked in: Loud"
    assert {line.split()[0] for line in lines} == {"K26-0001", "K26-0002", "K26-0003"}
    assert told(diff("--staged")) == lines[:1]


def test_between_revisions(diff: Diff, repo: GitRepo) -> None:
    repo.commit("Clean longer", {JOB_PATH: JOB.replace("minutes = 75", "minutes = 80")})
    repo.commit("And longer", {JOB_PATH: JOB.replace("minutes = 75", "minutes = 90")})
    assert told(diff("HEAD~1..HEAD")) == ["K26-0001 changed: clean, 90 min (was 80 min)"]
    assert told(diff("HEAD~2..HEAD~1")) == ["K26-0001 changed: clean, 80 min (was 75 min)"]
    assert told(diff("HEAD~2")) == told(diff("HEAD~2..")) == ["K26-0001 changed: clean, 90 min (was 75 min)"]
    assert told(diff("..HEAD~1")) == ["K26-0001 changed: clean, 80 min (was 90 min)"]
    data = diff("HEAD~2..HEAD~1")
    assert (data["from"], data["to"]) == ("HEAD~2", "HEAD~1")


def test_each_side_is_held_to_its_own_limits(diff: Diff, repo: GitRepo) -> None:
    """The proof reading has a limit of its own, the one on arrival goes by the board file, and no job file changed."""
    repo.commit("A limit for what came", {BOARD_PATH: BOARD.replace("10 Ω .. 60 Ω", "0.3 Ω .. 60 Ω")})
    assert told(diff("HEAD~1..HEAD")) == [
        "K26-0001 changed: VMEM 0.4 Ω in, arrival, cold (was VMEM 0.4 Ω out)",
        f"{BOARD_PATH} changed: point VMEM, limit resistance: limit 0.3 Ω .. 60 Ω (was 10 Ω .. 60 Ω)",
    ]


def test_a_job_that_was_moved(diff: Diff, repo: GitRepo) -> None:
    repo.git("mv", JOB_PATH, "jobs/2026/K26-0009.toml")
    repo.write("jobs/2026/K26-0009.toml", JOB.replace("K26-0001", "K26-0009"))
    repo.git("add", "-A")
    data = diff("--staged")
    assert data["jobs"][0]["was_path"] == JOB_PATH
    assert told(data) == [
        f"K26-0009 changed: moved from {JOB_PATH} to jobs/2026/K26-0009.toml",
        "K26-0009 changed: id K26-0009 (was K26-0001)",
    ]


def test_files_in_the_folder_of_a_job(diff: Diff, repo: GitRepo) -> None:
    folder = JOB_PATH.removesuffix(".toml")
    repo.commit("Logs", {f"{folder}/old.csv": "1", f"{folder}/load.csv": "1"})
    repo.write(f"{folder}/load.csv", "2")
    repo.write(f"{folder}/photos/front.jpg", b"\xff\xd8")
    (repo.root / folder / "old.csv").unlink()
    assert told(diff()) == [
        "K26-0001 changed: load.csv changed",
        "K26-0001 removed: old.csv removed",
        "K26-0001 added: photos/front.jpg added",
    ]


def test_what_is_no_toml_and_what_is_only_layout(diff: Diff, repo: GitRepo) -> None:
    repo.write(JOB_PATH, JOB + "\n# a remark\n")
    repo.write("stock.toml", "format = 1\n")
    assert told(diff()) == [
        "K26-0001 changed: comments, layout or the bench's own keys",
        "stock.toml added: new in the book",
    ]
    repo.write(JOB_PATH, JOB + "<<<<<<< ours\n")
    repo.write("bench.toml", "[bench\n")
    assert told(diff())[:2] == [
        "K26-0001 changed: the file cannot be read as TOML",
        "bench.toml changed: the file cannot be read as TOML",
    ]


def test_a_book_inside_a_larger_repository(run: Run, repo: GitRepo) -> None:
    (repo.root / "book").mkdir()
    repo.git("mv", "bench.toml", "boards", "jobs", "book")
    repo.commit("Make room")
    repo.write(f"book/{JOB_PATH}", JOB.replace("minutes = 75", "minutes = 80"))
    repo.write("jobs/2026/elsewhere.toml", JOB)
    data = run("diff", "--book", repo.root / "book", "--format", "json").data
    assert told(data) == ["K26-0001 changed: clean, 80 min (was 75 min)"]


def test_time_stamps_alone_are_no_change(diff: Diff, repo: GitRepo) -> None:
    (repo.root / JOB_PATH).write_bytes((repo.root / JOB_PATH).read_bytes())
    assert told(diff()) == []


def test_line_ends_that_git_converts_are_no_change(diff: Diff, repo: GitRepo) -> None:
    repo.commit("Line ends", {".gitattributes": "*.toml text eol=crlf\n"})
    repo.write(JOB_PATH, JOB.replace("\n", "\r\n"))
    assert told(diff()) in ([], ["K26-0001 changed: comments, layout or the bench's own keys"])


MISUSES = {
    "three dots": (["diff", "HEAD...main"], "write HEAD..main"),
    "staged and two revisions": (["diff", "HEAD~1..HEAD", "--staged"], "name one revision"),
    "no such revision": (["diff", "nope"], "'nope' names no commit"),
    "no such last revision": (["diff", "HEAD..nope"], "'nope' names no commit"),
    "an option as a revision": (["diff", "HEAD..--all"], "'--all' names no commit"),
}


@pytest.mark.parametrize(("words", "said"), MISUSES.values(), ids=MISUSES)
def test_misuse(run: Run, repo: GitRepo, words: list[str], said: str) -> None:
    ran = run(*words, "--book", repo.root)
    assert (ran.status, ran.out, ran.err.count("\n")) == (2, "", 1)
    assert said in ran.err


def test_no_repository_and_no_commits(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    book = make_book(tmp_path / "new")
    assert "run `git init` there" in run("diff", "--book", book).err
    GitRepo.make(book)
    assert "has no commits yet; commit the book first" in run("diff", "--book", book).err


def test_a_partial_clone_says_how_to_get_the_rest(run: Run, repo: GitRepo, tmp_path: Path) -> None:
    repo.commit("Clean longer", {JOB_PATH: JOB.replace("minutes = 75", "minutes = 80")})
    repo.git("config", "uploadpack.allowFilter", "true")
    partial = repo.clone(tmp_path / "partial", "--filter=blob:none")
    ran = run("diff", "HEAD~1", "--book", partial.root)
    assert (ran.status, "git fetch --refetch --no-filter" in ran.err) == (2, True)


def test_what_the_repository_lost_is_not_shown_as_new(run: Run, repo: GitRepo) -> None:
    repo.commit("Clean longer", {JOB_PATH: JOB.replace("minutes = 75", "minutes = 80")})
    lost = repo.git("rev-parse", f"HEAD~1:{JOB_PATH}").strip()
    (repo.root / ".git/objects" / lost[:2] / lost[2:]).unlink()
    ran = run("diff", "HEAD~1", "--book", repo.root)
    assert (ran.status, ran.out) == (2, "")
    assert f"the repository does not have the content of {JOB_PATH}; run `git fsck`" in ran.err


def test_json_is_text_that_others_can_read(diff: Diff, repo: GitRepo) -> None:
    repo.write("jobs/2026/K26-0002 Ω.toml", JOB)
    assert json.loads(json.dumps(diff()))["jobs"][0]["job"] == "K26-0002 Ω"
