"""A few jobs changed since the last lint are checked again, and all else is taken over: the answer is a fresh one."""

from __future__ import annotations

import os
import random
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from jobkit.book.read import facts as book_facts
from jobkit.book.shelf.opening import Tree
from jobkit.cli.check import checking
from jobkit.hook import main as hook
from tests.book.repo import GitRepo, forget_git_settings
from tests.conftest import Run
from tests.kept import changes
from tests.kept.changes import Upheaval
from tests.kept.test_same_answers import opened, without_remarks

SEEDS = int(os.environ.get("JOBKIT_TEST_SEEDS", "2"))
STEPS = 3 * int(os.environ.get("JOBKIT_TEST_STEPS", "6"))

LINT = ("lint", "--format", "json", "--on", "2026-11-20")

AT_THE_BENCH = (
    *(changes.edit_a_word, changes.edit_a_word, changes.edit_a_word),
    *(changes.add_an_entry, changes.add_an_entry, changes.edit_without_a_trace),
    *(changes.touch_with_old_times, changes.undo_by_checkout, changes.add_all, changes.commit),
)


@pytest.fixture(autouse=True)
def _no_git_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    forget_git_settings(monkeypatch)


@pytest.fixture
def repo(tmp_path: Path, run: Run) -> GitRepo:
    made = opened(tmp_path)
    run("--book", made.root, *LINT)
    return made


@pytest.fixture
def anew(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Note each time that all jobs are gone through."""
    noted: list[str] = []
    check = checking.check

    def noting(*args: object) -> object:
        noted.append("anew")
        return check(*args)  # type: ignore[arg-type]

    monkeypatch.setattr(checking, "check", noting)
    return noted


def same(repo: GitRepo, run: Run, *what: object) -> None:
    """Hold the answer to one without anything kept."""
    words = ("--book", repo.root, *LINT)
    assert without_remarks(run(*words)) == without_remarks(run("--no-cache", *words)), what


@pytest.mark.parametrize("seed", range(SEEDS))
def test_an_hour_at_the_bench(
    seed: int, repo: GitRepo, run: Run, anew: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    if seed % 2:
        monkeypatch.setattr(book_facts, "_SMALL", 0)
    up = Upheaval(repo, seed)
    happened: list[str] = []
    spared = 0
    for step in range(STEPS):
        happened.append(up.one_of(AT_THE_BENCH))
        if up.dice.random() < 0.1:
            happened.append(up.next())
        anew.clear()
        same(repo, run, seed, step, happened)
        spared += len(anew) == 1  # for the one without anything kept
    assert spared, happened


def job(repo: GitRepo, name: str) -> Path:
    return repo.root / f"jobs/2026/{name}.toml"


def add(text: str) -> Callable[[str], str]:
    return lambda was: f"{was}\n{text}\n"


REMARK = add("# seen")
WORK = add('[[work]]\nat = 2026-11-18T10:00:00\nminutes = 5\ndid = "inspect"\n')
DONOR = add('[[used]]\nat = 2026-11-01T10:00:00\npart = "U6"\nfrom = "K26-0016"\n')
SLIP = add('[[reading]]\nat = 2026-11-18T10:00:00\npoint = "V12"\nkind = "resistance"\nvalue = "9 kg"\n')
FUTURE = add('[[work]]\nat = 2031-11-18T10:00:00\nminutes = 5\ndid = "inspect"\n')
NO_FILE = add('[[seen]]\nat = 2026-11-18T10:00:00\ncheck = "smell"\nlog = "nowhere.csv"\n')
WAIVED = add('[[waive]]\nrule = "date-future"\nwhy = "seen"\n')

OTHERS_ARE_LEFT = {
    "a remark": (REMARK,),
    "work": (WORK,),
    "a slip": (SLIP,),
    "a slip, taken back": (SLIP, lambda was: was[: was.rindex("\n\n[[reading]]")]),
    "the future": (FUTURE,),
    "a file that is not there": (NO_FILE,),
    "a finding, then waived": (FUTURE, WAIVED),
}


@pytest.mark.parametrize("steps", OTHERS_ARE_LEFT.values(), ids=OTHERS_ARE_LEFT)
@pytest.mark.parametrize("name", ["K26-0051", "K26-0018"], ids=["here", "sent"])
def test_only_what_changed_is_checked(
    steps: tuple[Callable[[str], str], ...], name: str, repo: GitRepo, run: Run, anew: list[str]
) -> None:
    path = job(repo, name)
    for step in steps:
        path.write_text(step(path.read_text("utf-8")), "utf-8")
        anew.clear()
        same(repo, run)
        assert anew == ["anew"]  # without anything kept


def test_what_others_lean_on_has_all_gone_through(repo: GitRepo, run: Run, anew: list[str]) -> None:
    path = job(repo, "K26-0051")
    path.write_text(DONOR(path.read_text("utf-8")), "utf-8")
    same(repo, run)
    assert anew == ["anew", "anew"]


def test_the_hook_knows_what_was_checked_again(
    repo: GitRepo,
    run: Run,
    anew: list[str],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    path = next(
        path
        for path in sorted(repo.root.glob("jobs/2026/*.toml"))
        if "\nsent" not in path.read_text("utf-8") and path.stem not in run("--book", repo.root, *LINT).out
    )
    path.write_text(REMARK(path.read_text("utf-8")), "utf-8")
    anew.clear()
    run("--book", repo.root, "lint", "--on", "2026-11-20")
    run("--book", repo.root, *LINT)
    assert anew == []
    repo.git("add", "-A")
    monkeypatch.chdir(repo.root)
    monkeypatch.setattr("jobkit.cli.check.linting.run", lambda *_: pytest.fail("the rules were asked"))
    capsys.readouterr()
    assert hook([]) == 0
    assert capsys.readouterr().out == "1 file: nothing found\n"


def stage(repo: GitRepo) -> None:
    repo.git("add", "-A")


def commit(repo: GitRepo) -> None:
    repo.git("commit", "-q", "-a", "-m", "so far")


def edit(repo: GitRepo) -> None:
    for name in ("K26-0051", "K26-0018"):
        path = job(repo, name)
        path.write_text(REMARK(path.read_text("utf-8")), "utf-8")


def uncommit(repo: GitRepo) -> None:
    repo.git("reset", "-q", "--soft", "HEAD~1")


def unstage(repo: GitRepo) -> None:
    repo.git("reset", "-q")


def take_back(repo: GitRepo) -> None:
    repo.git("checkout", "-q", "HEAD", "--", ".")


IN_GIT: dict[str, tuple[Callable[[GitRepo], None], ...]] = {
    "staged": (stage,),
    "staged, and unstaged": (stage, unstage),
    "committed": (commit,),
    "staged, then committed": (stage, commit),
    "committed, edited, staged": (commit, edit, stage),
    "committed, and back": (commit, uncommit),
    "committed, back, unstaged": (commit, uncommit, unstage),
    "taken back": (take_back,),
    "staged, and taken back": (stage, take_back),
}


@pytest.mark.parametrize("seen", [True, False], ids=["linted before", "not linted before"])
@pytest.mark.parametrize("steps", IN_GIT.values(), ids=IN_GIT)
@pytest.mark.parametrize("name", ["K26-0051", "K26-0018"], ids=["here", "sent"])
def test_what_git_is_told_of_a_job_moves_no_other(
    name: str,
    steps: tuple[Callable[[GitRepo], None], ...],
    seen: bool,  # noqa: FBT001 - a parameter of a test
    repo: GitRepo,
    run: Run,
    anew: list[str],
) -> None:
    """A sent job is unsealed by a commit, and sealed again when that is taken back."""
    path = job(repo, name)
    path.write_text(WORK(path.read_text("utf-8")), "utf-8")
    for step in steps:
        if seen:
            same(repo, run)
        step(repo)
        seen = True
    anew.clear()
    same(repo, run)
    assert anew == ["anew"]  # without anything kept


def test_a_commit_of_others_is_told_too(repo: GitRepo, run: Run, anew: list[str]) -> None:
    """As after a pull: what came was neither edited nor staged here."""
    for name in ("K26-0051", "K26-0018"):
        job(repo, name).write_text(WORK(job(repo, name).read_text("utf-8")), "utf-8")
    commit(repo)
    same(repo, run)
    assert anew == ["anew"]
    repo.write("jobs/2026/K26-0051/new.csv", "a")
    stage(repo)
    commit(repo)
    anew.clear()
    same(repo, run)
    assert anew == ["anew", "anew"]  # another file has come


def test_many_changes_at_once_have_all_gone_through(repo: GitRepo, run: Run, anew: list[str]) -> None:
    dice = random.Random(1)  # noqa: S311 - a dice, not a key
    for path in dice.sample(sorted(repo.root.glob("jobs/2026/*.toml")), 25):
        path.write_text(REMARK(path.read_text("utf-8")), "utf-8")
    same(repo, run)
    assert anew == ["anew", "anew"]


def test_what_is_saved_during_a_first_lint_is_not_taken_for_what_was_read(
    repo: GitRepo, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = job(repo, "K26-0051")
    path.write_text(SLIP(path.read_text("utf-8")), "utf-8")
    shutil.rmtree(repo.root / ".git/jobkit")
    check = checking.check

    def saving(*args: object) -> object:
        found = check(*args)  # type: ignore[arg-type]
        path.write_text(path.read_text("utf-8").replace("9 kg", "9 kΩ"), "utf-8")
        return found

    monkeypatch.setattr(checking, "check", saving)
    run("--book", repo.root, *LINT)
    monkeypatch.setattr(checking, "check", check)
    same(repo, run)


def test_a_file_that_git_hides_among_others_is_told_when_it_comes(repo: GitRepo, run: Run) -> None:
    """A name with a dot at its front, in a folder of which git knows nothing."""
    path = job(repo, "K26-0051")
    path.write_text(
        add('[[seen]]\nat = 2026-11-18T10:00:00\ncheck = "smell"\nlog = ".x.csv"\n')(path.read_text("utf-8"))
    )
    (path.with_suffix("") / "deep").mkdir(parents=True, exist_ok=True)
    (path.with_suffix("") / "deep/other.csv").write_text("x")
    same(repo, run)
    (path.with_suffix("") / ".x.csv").write_text("x")
    same(repo, run)


def test_what_is_changed_and_put_back_during_a_lint_is_not_taken_for_what_is_there(
    repo: GitRepo, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = job(repo, "K26-0051")
    shutil.rmtree(repo.root / ".git/jobkit")
    read = Tree.read

    def reading(shelf: Tree, name: str) -> bytes:
        content = read(shelf, name)
        return SLIP(content.decode()).encode() if name.endswith(path.name) else content

    monkeypatch.setattr(Tree, "read", reading)
    run("--book", repo.root, *LINT)
    monkeypatch.setattr(Tree, "read", read)
    same(repo, run)
