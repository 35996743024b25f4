"""A few jobs changed since the last lint are read again and no others; the answer is that of a fresh look."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

import pytest

from jobkit.book.read import rows
from jobkit.book.read.load import Loaded, load_jobs
from jobkit.book.shelf.opening import Shelf, Tree
from jobkit.hook import main as hook
from tests.book.repo import GitRepo, forget_git_settings
from tests.conftest import Run
from tests.kept.part_of_example import part_of_example
from tests.kept.test_same_answers import without_remarks

LINT = ("lint", "--format", "json", "--on", "2026-11-20")


@pytest.fixture(autouse=True)
def _no_git_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    forget_git_settings(monkeypatch)


@pytest.fixture
def repo(tmp_path: Path, run: Run) -> GitRepo:
    made = GitRepo.make(part_of_example(tmp_path / "book"))
    made.commit("Some jobs of the example")
    run("--book", made.root, *LINT)
    return made


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Note each job that is read because its content is not known."""
    noted: list[str] = []

    def noting(shelf: Shelf, paths: Iterable[str]) -> Iterator[Loaded]:
        wanted = list(paths)
        noted.extend(wanted)
        return load_jobs(shelf, wanted)

    monkeypatch.setattr(rows, "load_jobs", noting)
    return noted


def same(repo: GitRepo, run: Run, read: list[str] | None = None) -> list[str]:
    """Compare the answer with one without the store; give the names of the jobs that it read."""
    words = ("--book", repo.root, *LINT)
    noted = [] if read is None else read
    noted.clear()
    answer = without_remarks(run(*words))
    seen = [Path(path).stem for path in noted]
    assert answer == without_remarks(run("--no-cache", *words))
    return seen


def job(repo: GitRepo, name: str) -> Path:
    return repo.root / f"jobs/2026/{name}.toml"


def change(repo: GitRepo, name: str, how: Callable[[str], str]) -> None:
    path = job(repo, name)
    path.write_text(how(path.read_text("utf-8")), "utf-8")


def add(text: str) -> Callable[[str], str]:
    return lambda was: f"{was}\n{text}\n"


REMARK = add("# seen")
WORK = add('[[work]]\nat = 2026-11-18T10:00:00\nminutes = 5\ndid = "inspect"\n')
DONOR = add('[[used]]\nat = 2026-11-01T10:00:00\npart = "U6"\nfrom = "K26-0016"\n')
SLIP = add('[[reading]]\nat = 2026-11-18T10:00:00\npoint = "V12"\nkind = "resistance"\nvalue = "9 kg"\n')
FUTURE = add('[[work]]\nat = 2031-11-18T10:00:00\nminutes = 5\ndid = "inspect"\n')
NO_FILE = add('[[seen]]\nat = 2026-11-18T10:00:00\ncheck = "smell"\nlog = "nowhere.csv"\n')
WAIVED = add('[[waive]]\nrule = "date-future"\nwhy = "seen"\n')

CHANGES = {
    "a remark": (REMARK,),
    "work": (WORK,),
    "a part off a donor": (DONOR,),
    "a part off a donor, then lines above": (DONOR, lambda was: f"# seen\n{was}"),
    "a slip": (SLIP,),
    "a slip, taken back": (SLIP, lambda was: was[: was.rindex("\n\n[[reading]]")]),
    "the future": (FUTURE,),
    "a file that is not there": (NO_FILE,),
    "a finding, then waived": (FUTURE, WAIVED),
}


@pytest.mark.parametrize("steps", CHANGES.values(), ids=CHANGES)
@pytest.mark.parametrize("name", ["K26-0051", "K26-0018"], ids=["here", "sent"])
def test_only_what_changed_is_read(
    steps: tuple[Callable[[str], str], ...], name: str, repo: GitRepo, run: Run, read: list[str]
) -> None:
    for step in steps:
        change(repo, name, step)
        seen = same(repo, run, read)
        assert set(seen) <= {name}  # a content that was seen before is not even read
        assert same(repo, run, read) == []


def test_a_content_that_comes_back_is_known(repo: GitRepo, run: Run, read: list[str]) -> None:
    """As after a look at another branch."""
    before = job(repo, "K26-0051").read_text("utf-8")
    change(repo, "K26-0051", REMARK)
    assert same(repo, run, read) == ["K26-0051"]
    job(repo, "K26-0051").write_text(before, "utf-8")
    assert same(repo, run, read) == []


def test_the_hook_knows_what_lint_has_seen(
    repo: GitRepo, run: Run, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    found = run("--book", repo.root, *LINT).out
    clean = (path for path in sorted(repo.root.glob("jobs/2026/*.toml")) if path.stem not in found)
    # Not one that may have been sent before, nor one that took parts: of those the other jobs are asked.
    asked = ("\nsent", "\nfinished", "\noutcome", "\n[[used]]")
    path = next(path for path in clean if not any(word in path.read_text("utf-8") for word in asked))
    change(repo, path.stem, REMARK)
    run("--book", repo.root, "lint", "--on", "2026-11-20")
    repo.git("add", "-A")
    monkeypatch.chdir(repo.root)
    monkeypatch.setattr("jobkit.cli.check.linting.run", lambda *_: pytest.fail("the rules were asked"))
    capsys.readouterr()
    assert hook([]) == 0
    assert capsys.readouterr().out == "1 file: no problems found\n"


def stage(repo: GitRepo) -> None:
    repo.git("add", "-A")


def commit(repo: GitRepo) -> None:
    repo.git("commit", "-q", "-a", "-m", "so far")


def edit(repo: GitRepo) -> None:
    for name in ("K26-0051", "K26-0018"):
        change(repo, name, REMARK)


def uncommit(repo: GitRepo) -> None:
    repo.git("reset", "-q", "--soft", "HEAD~1")


def unstage(repo: GitRepo) -> None:
    repo.git("reset", "-q")


def take_back(repo: GitRepo) -> None:
    repo.git("checkout", "-q", "HEAD", "--", ".")


IN_GIT: dict[str, tuple[Callable[[GitRepo], None], ...]] = {
    "staged, and unstaged": (stage, unstage),
    "staged, then committed": (stage, commit),
    "committed, edited, staged": (commit, edit, stage),
    "committed, back, unstaged": (commit, uncommit, unstage),
    "staged, and taken back": (stage, take_back),
}


@pytest.mark.parametrize("steps", IN_GIT.values(), ids=IN_GIT)
@pytest.mark.parametrize("name", ["K26-0051", "K26-0018"], ids=["here", "sent"])
def test_what_git_is_told_changes_what_is_sealed(
    name: str, steps: tuple[Callable[[GitRepo], None], ...], repo: GitRepo, run: Run
) -> None:
    """A sent job is unsealed by a commit, and sealed again when that is taken back."""
    change(repo, name, WORK)
    for step in steps:
        same(repo, run)
        step(repo)
    same(repo, run)


@pytest.mark.parametrize("when", ["before", "after"])
def test_what_is_saved_during_a_lint_is_not_taken_for_what_was_read(
    when: str, repo: GitRepo, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    change(repo, "K26-0051", REMARK)
    reading = Tree.read

    def saving(shelf: Tree, name: str) -> bytes:
        content = reading(shelf, name)
        if not name.endswith("K26-0051.toml"):
            return content
        if when == "after":
            change(repo, "K26-0051", SLIP)
            return content
        return SLIP(content.decode()).encode()  # it was put back meanwhile

    monkeypatch.setattr(Tree, "read", saving)
    run("--book", repo.root, *LINT)
    monkeypatch.setattr(Tree, "read", reading)
    same(repo, run)


def test_a_file_that_git_hides_among_others_is_seen_when_it_comes(repo: GitRepo, run: Run) -> None:
    """A name with a dot at its front, in a folder of which git knows nothing."""
    change(repo, "K26-0051", add('[[seen]]\nat = 2026-11-18T10:00:00\ncheck = "smell"\nlog = ".x.csv"\n'))
    folder = job(repo, "K26-0051").with_suffix("")
    (folder / "deep").mkdir(parents=True, exist_ok=True)
    (folder / "deep/other.csv").write_text("x")
    same(repo, run)
    (folder / ".x.csv").write_text("x")
    same(repo, run)


def test_a_log_that_changes_has_its_job_checked_again(repo: GitRepo, run: Run, read: list[str]) -> None:
    """The findings of rules about logs are kept by what the logs hold."""
    log = next(path for path in sorted(repo.root.glob("jobs/*/*/load*.csv")) if opened_by(path))
    assert same(repo, run, read) == []
    text = log.read_text("utf-8")
    log.write_text("\n".join(text.splitlines()[:20]) + "\n", "utf-8")
    assert same(repo, run, read) == [log.parent.name]
    assert same(repo, run, read) == []
    log.unlink()
    assert same(repo, run, read) == [log.parent.name]
    log.write_text(text, "utf-8")
    assert set(same(repo, run, read)) <= {log.parent.name}
    repo.git("add", "-A")
    assert same(repo, run, read) == []


def opened_by(log: Path) -> bool:
    """Tell whether a trial with limits names a log."""
    text = log.parent.with_suffix(".toml").read_text("utf-8")
    return f'"{log.name}"' in text and "limit" in text[text.index("[[trial]]") :]
