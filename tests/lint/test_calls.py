"""`jobkit lint` as it is called: options, formats and exit status, in real books."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.book.repo import GitRepo, forget_git_settings
from tests.books import EXAMPLE
from tests.conftest import Run
from tests.lint.laid import BOOK, lay

JOB = "jobs/2026/K26-0001.toml"
TEXT = (BOOK / JOB).read_text("utf-8")
UNPAID = TEXT.replace("paid = 2026-10-10\n", "")
EARLY = TEXT.replace("finished = 2026-10-09", "finished = 2026-10-07")
ON = ("--on", "2026-10-31")


@pytest.fixture
def repo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> GitRepo:
    """Return the sound book, committed, with the current folder in it."""
    forget_git_settings(monkeypatch)
    made = GitRepo.make(lay(tmp_path / "book", {}))
    made.commit("A sound book")
    monkeypatch.chdir(made.root)
    return made


def test_the_example_book_is_clean_apart_from_waivers_with_reasons(run: Run) -> None:
    ran = run("lint", "--book", EXAMPLE, "--on", "2026-11-20", "--strict")
    assert ran.status == 0, ran.out
    assert " warning " not in ran.out


def test_strict_stops_at_a_warning(repo: GitRepo, run: Run) -> None:
    repo.write(JOB, UNPAID)
    assert run("lint", *ON).status == 0
    assert run("lint", *ON, "--strict").status == 1


@pytest.mark.usefixtures("repo")
def test_on_says_which_day_it_is(run: Run) -> None:
    assert "date-future" not in run("lint", *ON).out
    assert "date-future" in run("lint", "--on", "2026-10-08").out
    assert run("lint", "--on", "last week").status == 2


def test_an_unknown_zone_is_a_finding_and_stops_nothing(repo: GitRepo, run: Run) -> None:
    bench = (BOOK / "bench.toml").read_text("utf-8")
    repo.write("bench.toml", bench.replace("Atlantic/Reykjavik", "Atlantic/Nowhere"))
    repo.write(JOB, EARLY)
    ran = run("lint")
    assert ran.status == 1
    assert "zone-unknown" in ran.out
    assert "date-order" in ran.out


def test_staged_looks_at_what_is_staged_and_leaves_old_slips_alone(repo: GitRepo, run: Run) -> None:
    repo.commit("An old slip", {JOB: EARLY})
    repo.write("jobs/2026/K26-0002.toml", (BOOK / "jobs/2026/K26-0002.toml").read_text() + "client = 2\n")
    repo.git("add", "-A")
    ran = run("lint", "--staged", *ON)
    assert ran.status == 1
    assert "K26-0002" in ran.out
    assert "K26-0001" not in ran.out
    assert "1 file:" in ran.out


@pytest.mark.parametrize("name", ["bench.toml", "meters.toml", "stock.toml", "boards/wick-w1.toml"])
def test_staged_settings_put_every_job_to_the_test(repo: GitRepo, run: Run, name: str) -> None:
    repo.commit("An old slip", {JOB: EARLY})
    repo.write(name, (BOOK / name).read_text("utf-8") + "# a remark\n")
    repo.git("add", "-A")
    assert "date-order" in run("lint", "--staged", *ON).out


def test_a_staged_deletion_is_felt_by_those_who_named_the_file(repo: GitRepo, run: Run) -> None:
    repo.git("rm", "-q", "jobs/2026/K26-0001/load.csv")
    assert "file-missing" in run("lint", "--staged", *ON).out
    repo.git("reset", "-q", "--hard")
    repo.git("rm", "-q", JOB)
    assert "comeback-unknown" in run("lint", "--staged", *ON).out


def test_the_hook_lints_what_is_staged(repo: GitRepo, run: Run) -> None:
    repo.write(JOB, EARLY)
    repo.git("add", "-A")
    repo.write(JOB, TEXT)
    assert run("lint", "--staged", *ON).status == 1
    assert run("lint", *ON).status == 0


def test_a_path_narrows_what_is_told(repo: GitRepo, run: Run) -> None:
    repo.write(JOB, EARLY)
    assert run("lint", *ON, "jobs/2026/K26-0002.toml").out == "1 file: no problems found\n"
    assert "date-order" in run("lint", *ON, "jobs").out
    assert "date-order" in run("lint", *ON, JOB, "boards").out


def test_since_names_the_commit(repo: GitRepo, run: Run) -> None:
    repo.commit("Typed the wrong day", {JOB: EARLY})
    ran = run("lint", "--since", "HEAD~1")
    assert ran.status == 1
    assert "by ida: Typed the wrong day\njobs/2026/K26-0001.toml:" in ran.out
    assert ran.out.endswith("1 commit, 7 files: 1 error, 1 warning\n")
    data = run("lint", "--since", "HEAD~1", "--format", "json").data
    assert data["findings"][0]["commit"] == repo.git("rev-parse", "HEAD").strip()
    assert run("lint", "--since", "HEAD~1", "--rev", "HEAD~1").status == 0


def test_github_and_sarif_name_files_from_the_top_of_the_repository(
    tmp_path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    forget_git_settings(monkeypatch)
    repo = GitRepo.make(tmp_path / "all")
    root = lay(tmp_path / "all/my bench", {JOB: EARLY})
    repo.commit("A book in a folder")
    assert run("lint", "--book", root, *ON, "--format", "github").out.startswith(
        "::error file=my bench/jobs/2026/K26-0001.toml,line="
    )
    (result,) = json.loads(run("lint", "--book", root, *ON, "--format", "sarif").out)["runs"][0]["results"]
    place = result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
    assert place == "my%20bench/jobs/2026/K26-0001.toml"
    assert run("lint", "--book", root, *ON).out.startswith("jobs/2026/K26-0001.toml:")


def test_clients_are_checked_where_they_lie_and_never_from_git(repo: GitRepo, run: Run) -> None:
    repo.write(".gitignore", "private/\n")
    repo.write("private/clients.toml", "format = 1\n[client.c-001]\nnmae = 'somebody'\n")
    out = run("lint", *ON).out
    assert "private/clients.toml:3:1: error schema: unknown key" in out
    assert "8 files:" in out
    repo.git("add", "-A")
    assert run("lint", *ON, "--staged").status == 0


def test_a_book_without_git(tmp_path: Path, run: Run) -> None:
    root = lay(tmp_path / "book", {JOB: EARLY})
    for form in ("text", "json", "sarif", "github"):
        assert run("lint", "--book", root, *ON, "--format", form).status == 1
    ran = run("lint", "--book", root, "--since", "HEAD")
    assert ran.status == 2
    assert "git" in ran.err


REFUSED = {
    "two states": (["--staged", "--rev", "HEAD"], "--staged and --rev"),
    "staged history": (["--staged", "--since", "HEAD"], "--staged and --since"),
    "a history of one day": (["--since", "HEAD", "--on", "2026-10-31"], "--on and --since"),
    "no such commit": (["--since", "nowhere"], "'nowhere' names no commit"),
    "no such format": (["--format", "xml"], "choose one of text, json, sarif, github"),
    "no such option": (["--sicne", "HEAD"], "--since"),
}


@pytest.mark.usefixtures("repo")
@pytest.mark.parametrize(("words", "said"), REFUSED.values(), ids=REFUSED)
def test_a_call_that_cannot_be_answered_says_why_in_one_line(run: Run, words: list[str], said: str) -> None:
    ran = run("lint", *words)
    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err
    assert ran.err.count("\n") == 1
