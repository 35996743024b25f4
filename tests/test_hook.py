"""The hook as git runs it, in every way in which a commit is made."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from jobkit.book.setup.wiring import wire
from jobkit.hook import main
from tests import books
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import BENCH, BOARD, JOB_PATH, make_book
from tests.conftest import Run

# Not sent yet: what is sent may only be changed with a word, and tests of that rule stand elsewhere.
JOB = books.JOB.replace("sent = 2026-10-12\n", "")
SLIP = JOB.replace('"23.4 Ω"', '"23.4 kg"')
FOUND = '"kg" is not a unit of resistance'
OTHER_PATH = "jobs/2026/K26-0002.toml"
OTHER = JOB.replace("K26-0001", "K26-0002")


@pytest.fixture(autouse=True)
def _no_git_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    forget_git_settings(monkeypatch)


@pytest.fixture
def bench(tmp_path: Path) -> GitRepo:
    repo = GitRepo.make(tmp_path / "bench")
    make_book(repo.root, {JOB_PATH: JOB, OTHER_PATH: OTHER})
    repo.commit("Open the book")
    wire(repo.root, sys.executable)
    return repo


def said(ended: subprocess.CompletedProcess[str]) -> str:
    return ended.stdout + ended.stderr


def stops(bench: GitRepo, *words: str) -> str:
    """Commit, see it stopped by the slip, and return what was said."""
    before = bench.git("rev-parse", "HEAD")
    ended = bench.attempt("commit", "-m", "Slip", *words)
    assert (ended.returncode, FOUND in said(ended)) == (1, True), said(ended)
    assert bench.git("rev-parse", "HEAD") == before
    return said(ended)


def passes(bench: GitRepo, *words: str) -> str:
    ended = bench.attempt("commit", "-m", "Go on", *words)
    assert ended.returncode == 0, said(ended)
    return said(ended)


class TestWaysToCommit:
    def test_staged(self, bench: GitRepo) -> None:
        bench.write(JOB_PATH, SLIP)
        bench.git("add", "-A")
        told = stops(bench)
        assert f"{JOB_PATH}:" in told
        assert "commit stopped: fix this and stage it" in told

    def test_partly_staged(self, bench: GitRepo) -> None:
        """What is committed is checked, not what lies in the folder; and that is left as it lies."""
        bench.write(JOB_PATH, SLIP)
        bench.git("add", JOB_PATH)
        bench.write(JOB_PATH, JOB)
        stops(bench)
        assert (bench.root / JOB_PATH).read_text() == JOB
        sound = JOB.replace("minutes = 75", "minutes = 80")
        bench.write(JOB_PATH, sound)
        bench.git("add", JOB_PATH)
        bench.write(JOB_PATH, SLIP)
        bench.write("untracked.txt", "x")
        passes(bench)
        assert (bench.root / JOB_PATH).read_text() == SLIP
        assert bench.git("show", f"HEAD:{JOB_PATH}") == sound

    def test_all(self, bench: GitRepo) -> None:
        bench.write(JOB_PATH, SLIP)
        stops(bench, "-a")

    def test_one_path(self, bench: GitRepo) -> None:
        """Git makes an index of its own for such a commit."""
        bench.write(JOB_PATH, SLIP)
        bench.write(OTHER_PATH, OTHER.replace("minutes = 75", "minutes = 80"))
        passes(bench, OTHER_PATH)
        stops(bench, JOB_PATH)
        stops(bench, "--include", JOB_PATH)

    def test_from_a_folder_below(self, bench: GitRepo) -> None:
        bench.write(JOB_PATH, SLIP)
        below = GitRepo(bench.root / "jobs/2026")
        assert below.attempt("commit", "-am", "Slip").returncode == 1

    def test_in_a_linked_worktree(self, bench: GitRepo, tmp_path: Path) -> None:
        bench.git("worktree", "add", "-q", str(tmp_path / "linked"))
        linked = GitRepo(tmp_path / "linked")
        linked.write(JOB_PATH, SLIP)
        stops(linked, "-a")
        stops(linked, JOB_PATH)

    def test_amend(self, bench: GitRepo) -> None:
        bench.write(JOB_PATH, SLIP)
        bench.git("add", "-A")
        stops(bench, "--amend")

    def test_the_first_commit(self, tmp_path: Path) -> None:
        repo = GitRepo.make(tmp_path / "new")
        make_book(repo.root, {JOB_PATH: SLIP})
        wire(repo.root, sys.executable)
        repo.git("add", "-A")
        assert repo.attempt("commit", "-m", "Open").returncode == 1
        repo.write(JOB_PATH, JOB)
        passes(repo, "-a")

    def test_a_merge_settled_by_hand(self, bench: GitRepo) -> None:
        """Both sides changed one thing; the markers are found, and the settled merge passes."""
        bench.git("checkout", "-q", "-b", "bo")
        bench.write(JOB_PATH, JOB.replace("minutes = 75", "minutes = 80"))
        passes(bench, "-a")
        bench.git("checkout", "-q", "main")
        bench.write(JOB_PATH, JOB.replace("minutes = 75", "minutes = 90"))
        passes(bench, "-a")
        assert bench.attempt("merge", "bo").returncode == 1
        bench.git("add", "-A")
        ended = bench.attempt("commit", "-m", "Join")
        assert (ended.returncode, "unfinished merge" in said(ended)) == (1, True)
        bench.write(JOB_PATH, JOB.replace("minutes = 75", "minutes = 85"))
        passes(bench, "-a")
        assert len(bench.git("rev-list", "--parents", "-1", "HEAD").split()) == 3

    def test_a_merge_that_git_makes_by_itself_is_not_held_up(self, bench: GitRepo) -> None:
        bench.git("checkout", "-q", "-b", "bo")
        bench.write(JOB_PATH, SLIP)
        bench.git("commit", "-qam", "Slip", "--no-verify")
        bench.git("checkout", "-q", "main")
        bench.write(OTHER_PATH, OTHER.replace("minutes = 75", "minutes = 90"))
        passes(bench, "-a")
        bench.git("merge", "-q", "bo", "-m", "Join")


class TestWhatIsChecked:
    def test_nothing_of_the_book(self, bench: GitRepo) -> None:
        """Errors that are there already stop nobody who has nothing to do with them; lint is not even loaded."""
        bench.write(JOB_PATH, SLIP)
        bench.git("commit", "-qam", "Slip", "--no-verify")
        bench.write("note.txt", "x")
        bench.git("add", "note.txt")
        assert "no problems found" not in passes(bench)
        assert "no problems found" not in passes(bench, "--allow-empty")

    def test_only_what_is_staged(self, bench: GitRepo) -> None:
        bench.write(JOB_PATH, SLIP)
        bench.git("commit", "-qam", "Slip", "--no-verify")
        bench.write(OTHER_PATH, OTHER.replace("minutes = 75", "minutes = 80"))
        passes(bench, "-a")

    @pytest.mark.parametrize("path", ["bench.toml", "boards/alder-a1.toml"])
    def test_a_file_that_all_jobs_hang_on(self, bench: GitRepo, path: str) -> None:
        bench.write(JOB_PATH, SLIP)
        bench.git("commit", "-qam", "Slip", "--no-verify")
        text = {"bench.toml": BENCH, "boards/alder-a1.toml": BOARD}[path]
        bench.write(path, text + "# a remark\n")
        stops(bench, "-a")

    def test_a_limit_that_makes_a_sent_board_fail(self, bench: GitRepo) -> None:
        """The limit is that of the board file, and no job is touched."""
        by_board = books.JOB.replace('\nlimit = "10 Ω .. 60 Ω"', "")
        bench.write(JOB_PATH, by_board)
        bench.git("commit", "-qam", "Sent", "--no-verify")
        bench.write("boards/alder-a1.toml", BOARD.replace("10 Ω ..", "30 Ω .."))
        ended = bench.attempt("commit", "-am", "A higher limit")
        assert (ended.returncode, said(ended).count("error reading-outside")) == (1, 1), said(ended)

    def test_what_was_sent_changes_only_with_a_word(self, bench: GitRepo) -> None:
        bench.write(JOB_PATH, books.JOB)
        passes(bench, "-a")
        changed = books.JOB.replace("minutes = 75", "minutes = 80")
        bench.write(JOB_PATH, changed)
        ended = bench.attempt("commit", "-am", "Correct it")
        assert (ended.returncode, "error sealed" in said(ended)) == (1, True)
        bench.write(
            JOB_PATH, changed + '\n[[amended]]\nat = 2026-10-14T09:00:00\nby = "ida"\nwhy = "typed wrongly"\n'
        )
        passes(bench, "-a")

    def test_a_job_that_others_name_is_gone(self, bench: GitRepo) -> None:
        later = OTHER.replace("2026-10", "2026-11") + '\n[comeback]\nof = "K26-0001"\n'
        bench.write(OTHER_PATH, later)
        bench.git("commit", "-qam", "A comeback", "--no-verify")
        (bench.root / JOB_PATH).unlink()
        ended = bench.attempt("commit", "-am", "Away with it")
        assert (ended.returncode, "comeback-unknown" in said(ended)) == (1, True), said(ended)

    def test_a_job_that_others_lean_on_changes(self, bench: GitRepo) -> None:
        """The board of the first job gets another serial number, and its comeback is not touched."""
        serial = 'kind = "graphics card"\nserial = "A1-7"'
        later = OTHER.replace("2026-10", "2026-11").replace('kind = "graphics card"', serial)
        bench.write(OTHER_PATH, later + '\n[comeback]\nof = "K26-0001"\n')
        bench.write(JOB_PATH, JOB.replace('kind = "graphics card"', serial))
        bench.git("commit", "-qam", "A comeback", "--no-verify")
        bench.write(JOB_PATH, JOB.replace('kind = "graphics card"', serial.replace("A1-7", "A1-8")))
        ended = bench.attempt("commit", "-am", "Another serial")
        assert (ended.returncode, f"{OTHER_PATH}:" in said(ended)) == (1, True), said(ended)
        assert "comeback-serial" in said(ended)

    def test_a_job_under_a_new_name(self, bench: GitRepo) -> None:
        bench.git("mv", JOB_PATH, "jobs/2026/K26-0009.toml")
        ended = bench.attempt("commit", "-m", "Renumber")
        assert (ended.returncode, "id-mismatch" in said(ended)) == (1, True)
        bench.write("jobs/2026/K26-0009.toml", JOB.replace("K26-0001", "K26-0009"))
        passes(bench, "-a")

    def test_a_job_is_taken_out(self, bench: GitRepo) -> None:
        bench.git("rm", "-q", OTHER_PATH)
        passes(bench)

    def test_a_name_with_anything_in_it(self, bench: GitRepo) -> None:
        bench.write("jobs/2026/K26-0003 Ω\n$(x).toml", SLIP)
        bench.git("add", "-A")
        stops(bench)


class TestChained:
    def test_an_earlier_hook_runs_first_and_may_refuse(self, tmp_path: Path) -> None:
        repo = GitRepo.make(tmp_path / "chained")
        make_book(repo.root)
        earlier = repo.write(
            ".git/hooks/pre-commit", f'#!/bin/sh\necho "was here" >> "{tmp_path}/seen"\n[ ! -f stop ]\n'
        )
        earlier.chmod(0o755)
        assert wire(repo.root, sys.executable).chained
        repo.git("add", "-A")
        passes(repo)
        repo.write(JOB_PATH, SLIP)
        stops(repo, "-a")
        assert (tmp_path / "seen").read_text() == "was here\n" * 2
        repo.write("stop", "")
        ended = repo.attempt("commit", "-am", "Stopped")
        assert (ended.returncode, FOUND in said(ended)) == (1, False)

    def test_what_an_earlier_hook_stages_is_checked(self, tmp_path: Path) -> None:
        repo = GitRepo.make(tmp_path / "chained")
        make_book(repo.root)
        script = f"#!/bin/sh\nsed -i 's/23.4 Ω/23.4 kg/' {JOB_PATH}\ngit add {JOB_PATH}\n"
        repo.write(".git/hooks/pre-commit", script).chmod(0o755)
        wire(repo.root, sys.executable)
        repo.git("add", "-A")
        ended = repo.attempt("commit", "-m", "Open")
        assert (ended.returncode, FOUND in said(ended)) == (1, True)

    def test_one_that_is_switched_off_stays_off(self, tmp_path: Path) -> None:
        repo = GitRepo.make(tmp_path / "chained")
        make_book(repo.root)
        repo.write(".git/hooks/pre-commit", "#!/bin/sh\nexit 1\n").chmod(0o644)
        wire(repo.root, sys.executable)
        repo.git("add", "-A")
        passes(repo)


class TestBooks:
    def test_two_books_in_a_larger_repository(self, tmp_path: Path) -> None:
        repo = GitRepo.make(tmp_path / "large")
        for name in ("north", "a book"):
            make_book(repo.root / name)
            wire(repo.root / name, sys.executable)
        repo.write("jobs/2026/elsewhere.toml", SLIP)
        repo.git("add", "-A")
        passes(repo)
        for name in ("north", "a book"):
            repo.write(f"{name}/{JOB_PATH}", SLIP)
            stops(repo, "-a")
            repo.git("checkout", "-q", ".")

    def test_a_branch_without_the_book(self, bench: GitRepo) -> None:
        bench.git("checkout", "-q", "--orphan", "notes")
        bench.git("rm", "-rqf", ".")
        bench.write("note.txt", "x")
        bench.git("add", "note.txt")
        passes(bench)

    def test_the_whole_book_is_moved(self, bench: GitRepo) -> None:
        (bench.root / "book").mkdir()
        bench.git("mv", "bench.toml", "boards", "jobs", "book")
        passes(bench)


def call(*words: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    plain = {name: value for name, value in os.environ.items() if not name.startswith("GIT_")}
    return subprocess.run(
        [sys.executable, "-m", "jobkit.hook", *words],
        cwd=cwd,
        env=plain,
        capture_output=True,
        text=True,
        check=False,
    )


def test_called_by_a_framework(bench: GitRepo, tmp_path: Path) -> None:
    """From the top, or with the book named; warnings stop it only where asked."""
    bench.write(JOB_PATH, SLIP)
    bench.git("add", "-A")
    assert call(cwd=bench.root).returncode == 1
    assert call("--book", str(bench.root), cwd=tmp_path).returncode == 1
    assert call("--wired", ".", cwd=bench.root).returncode == 33
    assert call("--wired", "nowhere/", cwd=bench.root).returncode == 0
    ended = call("--nonsense", cwd=bench.root)
    assert (ended.returncode, ended.stderr.count("\n")) == (2, 1)
    assert call("--wired", ".", cwd=tmp_path).returncode == 0
    ended = call(cwd=tmp_path)
    assert (ended.returncode, "jobkit init" in ended.stderr) == (2, True)


def test_strict(bench: GitRepo) -> None:
    bench.write(
        JOB_PATH,
        JOB.replace('stage = "arrival"', 'stage = "work"')
        .replace("sent = 2026-10-12\n", "")
        .replace('"23.4 Ω"', '"8.2 Ω"'),
    )
    bench.git("add", "-A")
    assert call(cwd=bench.root).returncode == 0
    assert call("--strict", cwd=bench.root).returncode == 1


def test_a_private_file_alone_is_stopped(bench: GitRepo) -> None:
    """What git holds it keeps for good; this one is not a file of the book's, and looked at all the same."""
    bench.write("private/addresses.csv", "somebody")
    bench.git("add", "-f", "private/addresses.csv")
    ended = call(cwd=bench.root)
    assert (ended.returncode, "private-tracked" in said(ended)) == (1, True)


@pytest.mark.parametrize(
    "path", ["clients.toml", "Private/list.txt", "old/clients.toml.bak", "clients copy.toml"]
)
def test_a_copy_of_the_clients_is_stopped(bench: GitRepo, path: str) -> None:
    bench.write(path, "[client.c-001]\n")
    bench.git("add", "-f", path)
    ended = call(cwd=bench.root)
    assert (ended.returncode, "private-tracked" in said(ended)) == (1, True)


@pytest.mark.parametrize("linted", [False, True], ids=["never linted", "linted before"])
def test_a_mail_address_in_an_attachment_is_stopped(bench: GitRepo, run: Run, linted: bool) -> None:  # noqa: FBT001
    path = f"{JOB_PATH.removesuffix('.toml')}/letter.txt"
    if linted:
        run("lint", "--book", bench.root)
    bench.write(path, "Dear bench,\nplease answer to mara@example.org.\n")
    bench.git("add", path)
    ended = call(cwd=bench.root)
    assert (ended.returncode, "personal-attachment" in said(ended)) == (1, True)
    assert "line 2 of" in said(ended)
    assert "mara" not in said(ended)


def test_a_picture_with_an_at_sign_is_not_a_letter(bench: GitRepo) -> None:
    path = bench.root / f"{JOB_PATH.removesuffix('.toml')}/site.png"
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(b"\x89PNG\0mara@example.org")
    bench.git("add", "-A")
    assert call(cwd=bench.root).returncode == 0


def test_a_fault_of_jobkit_has_a_status_of_its_own(
    bench: GitRepo, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    bench.write(JOB_PATH, SLIP)
    bench.git("add", "-A")
    monkeypatch.chdir(bench.root)
    monkeypatch.setattr("jobkit.cli.check.linting.run", lambda *_: 1 / 0)
    assert (main([]), main(["--wired", "."])) == (3, 35)
    monkeypatch.setattr("jobkit.cli.check.linting.run", lambda *_: (_ for _ in ()).throw(KeyboardInterrupt))
    assert (main([]), main(["--wired", "."])) == (130, 36)
    assert "internal error" in capsys.readouterr().err


def test_with_nothing_staged_lint_is_not_loaded(bench: GitRepo) -> None:
    code = "import sys; from jobkit.hook import main; main([]); print(*sys.modules)"
    ended = subprocess.run(
        [sys.executable, "-c", code], cwd=bench.root, capture_output=True, text=True, check=True
    )
    loaded = set(ended.stdout.split())
    assert (
        not {"jobkit.lint.run.whole_book", "jobkit.book.read.load", "rtoml", "jsonschema_rs", "typer"}
        & loaded
    )


class TestFramework:
    """The pre-commit framework names bench.toml where it is staged, and where all files are meant."""

    def test_all_files_check_the_whole_book(
        self, bench: GitRepo, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
    ) -> None:
        monkeypatch.chdir(bench.root)
        bench.write(JOB_PATH, SLIP)
        bench.git("commit", "-qa", "--no-verify", "-m", "Past the hook")
        assert main([]) == 0  # nothing is staged
        assert main(["bench.toml"]) == 1
        assert FOUND in capfd.readouterr().out
        bench.write(OTHER_PATH, OTHER.replace("[[work]]", '[[work]]\nminutes = 5\ndid = "clean"\n[[work]]'))
        bench.git("add", OTHER_PATH)
        assert main(["bench.toml"]) == 1  # one clean job is staged
        assert main([]) == 0

    def test_a_commit_of_bench_toml_is_judged_by_what_is_staged(
        self, bench: GitRepo, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.chdir(bench.root)
        bench.write("bench.toml", BENCH + "# other words\n")
        bench.git("add", "-A")
        bench.write(JOB_PATH, SLIP)
        assert main(["bench.toml"]) == 0

    def test_another_book_is_left_alone(self, bench: GitRepo, monkeypatch: pytest.MonkeyPatch) -> None:
        make_book(bench.root / "other", {JOB_PATH: SLIP})
        bench.git("add", "-A")
        bench.git("commit", "-q", "--no-verify", "-m", "Another book")
        monkeypatch.chdir(bench.root)
        assert main(["--book", ".", "other/bench.toml", "bench.toml"]) == 0
        assert main(["--book", "other", "other/bench.toml", "bench.toml"]) == 1

    def test_its_settings_name_bench_toml_and_no_other_file(self) -> None:
        settings = (Path(__file__).parent.parent / ".pre-commit-hooks.yaml").read_text("utf-8")
        (pattern,) = re.findall("^  files: (.+)$", settings, re.MULTILINE)
        assert [
            bool(re.search(pattern, name)) for name in ("bench.toml", "a/bench.toml", "a-bench.toml")
        ] == [
            True,
            True,
            False,
        ]
        assert "  pass_filenames: true\n" in settings
        assert "  always_run: true\n" in settings
