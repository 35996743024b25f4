"""The driver as git calls it: merge, rebase and cherry-pick in real repositories, and what happens without it."""

import os
import shlex
import subprocess
import sys
from itertools import count, islice
from pathlib import Path

import pytest
import rtoml

from jobkit.book.merge import Merged, driver_command
from jobkit.book.merge.markers import sides
from tests.book.merge_edits import outcome, recognisable
from tests.book.repo import GitRepo
from tests.book.test_merge import CAUSE, EARLY, JOB, LATE, PAD
from tests.book.test_merge_random import Case, case_of, keeps_the_line_rule
from tests.long_run import LONG

pytestmark = pytest.mark.slow

PACKAGE = str(Path(__file__).parents[2])
JOB_PATH = "jobs/2026/K26-0047.toml"
FILES = int(os.environ.get("JOBKIT_TEST_FILES", "200" if LONG else "10"))
"""Files that both benches changed: git starts the driver for each."""


def wired(repo: GitRepo, python: str = sys.executable) -> GitRepo:
    repo.git("config", "merge.jobkit.name", "files of a book")
    repo.git("config", "merge.jobkit.driver", driver_command(python))
    repo.write(".git/info/attributes", "*.toml merge=jobkit\n")
    return repo


@pytest.fixture
def bench(repo: GitRepo, monkeypatch: pytest.MonkeyPatch) -> GitRepo:
    monkeypatch.setenv("PYTHONPATH", PACKAGE)
    return wired(repo)


def cases_by_path(first_seed: int, *, may_collide: bool) -> dict[str, Case]:
    """Return many files, each with two edits that stand for two benches."""
    cases = (case_of(seed) for seed in count(first_seed) if seed % 4)
    wanted = (case for case in cases if is_plain(case) and (may_collide or not collides(case)))
    return {f"jobs/2026/K26-{number:04}.toml": case for number, case in enumerate(islice(wanted, FILES))}


def is_plain(case: Case) -> bool:
    base, ours, theirs = case.docs
    return base not in (ours, theirs) and recognisable(base, ours) and recognisable(base, theirs)


def collides(case: Case) -> bool:
    return outcome(*case.docs, case.style).collides


def branch_out(bench: GitRepo, cases: dict[str, Case]) -> None:
    """Leave main with our edits and the branch side with theirs."""
    bench.commit("Base", {path: case.base for path, case in cases.items()})
    bench.git("checkout", "-q", "-b", "side")
    bench.commit("Theirs", {path: case.theirs for path, case in cases.items()})
    bench.git("checkout", "-q", "main")
    bench.commit("Ours", {path: case.ours for path, case in cases.items()})


def unmerged(bench: GitRepo) -> set[str]:
    return set(bench.git("diff", "--name-only", "--diff-filter=U", "-z").split("\0")) - {""}


def check_files(bench: GitRepo, cases: dict[str, Case], added: str = "") -> None:
    conflicts = {path for path, case in cases.items() if collides(case)}
    assert unmerged(bench) == conflicts
    for path, case in cases.items():
        merged = Merged((bench.root / path).read_bytes().decode(), clean=path not in conflicts)
        keeps_the_line_rule(case.base, case.ours, case.theirs + in_style(added, case), merged)
        if merged.clean:
            rtoml.loads(merged.text)


def in_style(text: str, case: Case) -> str:
    return text.replace("\n", case.style.newline)


def test_merge_keeps_all_and_stops_where_both_changed_one_thing(bench: GitRepo) -> None:
    cases = cases_by_path(10_000, may_collide=True)
    branch_out(bench, cases)
    assert bench.attempt("merge", "-q", "side").returncode == 1
    check_files(bench, cases)


def test_cherry_pick_takes_one_change_of_many(bench: GitRepo) -> None:
    cases = cases_by_path(20_000, may_collide=True)
    branch_out(bench, cases)
    # The picked commit stands on one that main never saw, so its base holds a file that main lacks.
    bench.git("checkout", "-q", "side~1", "-b", "detour")
    bench.commit("Detour", {"jobs/2026/K26-9999.toml": JOB})
    bench.git("cherry-pick", "side")
    bench.git("checkout", "-q", "main")
    assert bench.attempt("cherry-pick", "detour").returncode == 1
    check_files(bench, cases)
    assert not (bench.root / "jobs/2026/K26-9999.toml").exists()


def test_rebase_of_two_commits(bench: GitRepo) -> None:
    cases = cases_by_path(30_000, may_collide=False)
    branch_out(bench, cases)
    bench.git("checkout", "-q", "side")
    note = '\n\n[[amended]]\nat = 2026-12-01T10:00:00\nwhy = "typing mistake"\n'
    later = {path: case.theirs.rstrip() + in_style(note, case) for path, case in cases.items()}
    bench.commit("Theirs, another day", later)
    bench.git("rebase", "-q", "main")
    check_files(bench, cases, added=note)


def test_two_benches_take_one_id(bench: GitRepo) -> None:
    other = JOB.replace("c-031", "c-099")
    bench.commit("Base", {"bench.toml": "format = 1\n"})
    bench.git("checkout", "-q", "-b", "side")
    bench.commit("Theirs", {JOB_PATH: other})
    bench.git("checkout", "-q", "main")
    bench.commit("Ours", {JOB_PATH: JOB})
    assert bench.attempt("merge", "-q", "side").returncode == 1
    assert sides((bench.root / JOB_PATH).read_text()) == (JOB, other)


def test_markers_are_as_long_as_git_asks(bench: GitRepo) -> None:
    bench.write(".git/info/attributes", "*.toml merge=jobkit conflict-marker-size=11\n")
    both_change(bench, JOB.replace("c-031", "c-1"), JOB.replace("c-031", "c-2"))
    assert bench.attempt("merge", "-q", "side").returncode == 1
    shown = f'{"<" * 11} ours\nclient  = "c-1"\n{"=" * 11}\nclient  = "c-2"\n{">" * 11} theirs\n'
    assert shown in (bench.root / JOB_PATH).read_text()


def test_a_renamed_job_is_merged_too(bench: GitRepo) -> None:
    both_change(bench, JOB + EARLY, JOB + LATE)
    bench.git("mv", JOB_PATH, "jobs/2026/K26-0048.toml")
    bench.commit("Renumber")
    bench.git("merge", "-q", "side")
    assert (bench.root / "jobs/2026/K26-0048.toml").read_text() == JOB + EARLY + LATE


def test_nothing_in_the_repository_is_imported(bench: GitRepo) -> None:
    trap = f"open({str(bench.root.parent / 'sprung')!r}, 'w')\n"
    bench.commit("Trap", dict.fromkeys(("re.py", "jobkit/__init__.py", "jobkit/book/merge.py"), trap))
    both_change(bench, JOB + EARLY, JOB + LATE)
    bench.git("merge", "-q", "side")
    assert (bench.root / JOB_PATH).read_text() == JOB + EARLY + LATE
    assert not (bench.root.parent / "sprung").exists()


def both_change(bench: GitRepo, ours: str, theirs: str, path: str = JOB_PATH) -> None:
    bench.commit("Base", {path: JOB})
    bench.git("checkout", "-q", "-b", "side")
    bench.commit("Theirs", {path: theirs})
    bench.git("checkout", "-q", "main")
    bench.commit("Ours", {path: ours})


def test_the_driver_starts_without_what_it_does_not_need() -> None:
    slow = "{'typer', 'jsonschema', 'jsonschema_rs', 'tomlkit', 'scipy', 'jobkit.book.schema.gate'}"
    words = [
        sys.executable,
        "-c",
        f"import sys, jobkit.book.merge; sys.exit(bool({slow} & set(sys.modules)))",
    ]
    assert subprocess.run(words, cwd=PACKAGE, check=False).returncode == 0


class TestWithoutTheInterpreter:
    """The interpreter that `wire` wrote down is gone, or breaks: the PATH's is tried, then git merges lines."""

    @staticmethod
    def script(folder: Path, name: str, text: str) -> str:
        folder.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(f"#!/bin/sh\n{text}\n")
        (folder / name).chmod(0o755)
        return str(folder / name)

    @pytest.fixture
    def no_python(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        """Put pythons that lack jobkit in front of the PATH."""
        for name in ("python3", "python"):
            self.script(tmp_path / "bin", name, 'echo "No module named jobkit" >&2; exit 1')
        monkeypatch.setenv("PATH", f"{tmp_path / 'bin'}:/usr/bin:/bin")

    @pytest.mark.parametrize("broken", ["missing", "no jobkit", "killed", "usage", "not executable"])
    @pytest.mark.usefixtures("no_python")
    def test_git_merges_the_lines(self, repo: GitRepo, tmp_path: Path, broken: str) -> None:
        texts = {
            "missing": "",
            "no jobkit": "exit 1",
            "killed": "kill -9 $$",
            "usage": "exit 2",
            "not executable": "",
        }
        python = self.script(tmp_path / "it's 100% {gone}", "python", texts[broken])
        if broken == "missing":
            Path(python).unlink()
        if broken == "not executable":
            Path(python).chmod(0o644)
        both_change(wired(repo, python), JOB + EARLY, JOB + LATE)
        merging = repo.attempt("merge", "-q", "side")
        assert merging.returncode == 1
        assert f"jobkit cannot be run, so git merges {JOB_PATH} line by line" in merging.stderr
        text = (repo.root / JOB_PATH).read_text()
        keeps_the_line_rule(JOB, JOB + EARLY, JOB + LATE, Merged(text, clean=False))
        assert unmerged(repo) == {JOB_PATH}

    @pytest.mark.usefixtures("no_python")
    def test_no_name_of_a_file_is_run(self, repo: GitRepo, tmp_path: Path) -> None:
        path = "jobs/2026/$(touch sprung)`touch sprung`;touch sprung;'\"touch sprung.toml"
        both_change(wired(repo, "/gone/python"), JOB + EARLY, JOB + LATE, path)
        assert repo.attempt("merge", "-q", "side").returncode == 1
        assert not list(tmp_path.rglob("sprung"))

    @pytest.mark.usefixtures("no_python")
    def test_lines_that_do_not_touch_are_merged(self, repo: GitRepo) -> None:
        ours, theirs = JOB.replace("c-031", "c-1"), JOB + PAD
        both_change(wired(repo, "/gone/python"), ours, theirs)
        repo.git("merge", "-q", "side")
        assert (repo.root / JOB_PATH).read_text() == ours + PAD

    def test_the_path_is_tried(self, repo: GitRepo, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setenv("PYTHONPATH", PACKAGE)
        self.script(tmp_path / "bin", "python3", f'exec {shlex.quote(sys.executable)} "$@"')
        monkeypatch.setenv("PATH", f"{tmp_path / 'bin'}:/usr/bin:/bin")
        both_change(wired(repo, "/gone/python"), JOB + EARLY, JOB + LATE)
        repo.git("merge", "-q", "side")
        assert (repo.root / JOB_PATH).read_text() == JOB + EARLY + LATE

    def test_a_kill_while_writing_costs_nothing(
        self, repo: GitRepo, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """The driver dies between its temporary file and the rename: the lines are merged from whole versions."""
        monkeypatch.setenv("PYTHONPATH", PACKAGE)
        kill = "import os, pathlib; pathlib.Path.replace = lambda *_: os.kill(os.getpid(), 9)"
        start = f"{kill}; import runpy; runpy.run_module('jobkit.book.merge', run_name='__main__')"
        for name in ("python", "python3"):
            words = f'shift 3; exec {shlex.quote(sys.executable)} -c {shlex.quote(start)} "$@"'
            self.script(tmp_path / "bin", name, words)
        monkeypatch.setenv("PATH", f"{tmp_path / 'bin'}:/usr/bin:/bin")
        both_change(wired(repo, str(tmp_path / "bin/python")), JOB + EARLY, JOB + LATE + CAUSE)
        merging = repo.attempt("merge", "-q", "side")
        assert merging.returncode == 1
        text = (repo.root / JOB_PATH).read_text()
        keeps_the_line_rule(JOB, JOB + EARLY, JOB + LATE + CAUSE, Merged(text, clean=False))
        assert repo.git("status", "--porcelain") == f"UU {JOB_PATH}\n"

    def test_a_path_with_spaces_and_newlines(self, bench: GitRepo) -> None:
        path = "jobs/2026/it's a\n%A job.toml"
        both_change(bench, JOB + EARLY, JOB + LATE, path)
        bench.git("merge", "-q", "side")
        assert (bench.root / path).read_text() == JOB + EARLY + LATE

    def test_the_interpreters_name_may_be_odd(
        self, repo: GitRepo, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setenv("PYTHONPATH", PACKAGE)
        python = self.script(
            tmp_path / "it's 100% $HOME %A", "my python", f'exec {shlex.quote(sys.executable)} "$@"'
        )
        monkeypatch.setenv("PATH", "/usr/bin:/bin")
        both_change(wired(repo, python), JOB + EARLY, JOB + LATE)
        merging = repo.attempt("merge", "-q", "side")
        assert (merging.returncode, merging.stderr) == (0, "")
        assert (repo.root / JOB_PATH).read_text() == JOB + EARLY + LATE
