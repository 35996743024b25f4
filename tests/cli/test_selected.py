"""The selected job is remembered by what it is: an id may mean another board after a merge."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.at_the_bench import JOB, JOB_PATH, bench_book
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import put
from tests.cli.conftest import AtBench, BenchClock
from tests.conftest import Ran, Run

OTHER = JOB.replace("c-001", "c-002").replace("No picture", "Loud fan").replace("R3-0001", "R3-0002")
NEW = JOB_PATH.replace("0007", "0008")
LOG = '\n[[seen]]\nat = 2026-10-20T10:00:00\ncheck = "memory test"\nlog = "memory.csv"\n'


@pytest.fixture(autouse=True)
def _no_git_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    forget_git_settings(monkeypatch)


def _moved(bench: AtBench) -> None:
    put(bench.root / NEW, JOB.replace("K26-0007", "K26-0008"))
    put(bench.root / JOB_PATH, OTHER)


def test_the_selected_job_is_followed_to_its_new_id(bench: AtBench) -> None:
    _moved(bench)
    ran = bench("jot", "note", "fan is quiet")
    assert ran.status == 0
    assert "the job that was K26-0007 is K26-0008 now" in ran.err
    assert "fan is quiet" in (bench.root / NEW).read_text("utf-8")
    assert bench.text == OTHER
    assert bench.writes("on").startswith("K26-0008  ")  # said once


def test_reading_commands_follow_it_too(bench: AtBench) -> None:
    _moved(bench)
    ran = bench("show")
    assert ran.out.startswith("K26-0008  ")
    assert "K26-0008 is selected in its place" in " ".join(ran.err.split())


def test_the_clock_and_a_walk_go_with_it(bench: AtBench, clock: BenchClock) -> None:
    bench.writes("jot", "start")
    _moved(bench)
    clock.passes(20)
    ran = bench("jot", "stop", "clean", "what", "flux")
    assert ran.status == 0
    assert "minutes = 20" in (bench.root / NEW).read_text("utf-8")
    assert bench.text == OTHER


def test_a_selected_job_that_is_gone_is_not_taken_for_another(bench: AtBench) -> None:
    put(bench.root / JOB_PATH, OTHER)
    ran = bench("jot", "note", "lost")
    assert (ran.status, bench.text) == (2, OTHER)
    assert "the one that was selected is not in the book" in " ".join(ran.err.split())
    assert "no job is selected" in bench("jot", "note", "lost").err
    assert bench("on", "7").status == 0
    assert bench("jot", "note", "found").status == 0


def test_two_boards_of_one_client_are_told_apart_by_their_serials(bench: AtBench) -> None:
    put(bench.root / JOB_PATH, JOB.replace("R3-0001", "R3-0002"))
    put(bench.root / NEW, JOB.replace("K26-0007", "K26-0008"))
    assert bench("on").out.startswith("K26-0008  ")


SMALL = {
    "the title and the client": (("title", "Black screen"), ("client", "c-007")),
    "the serial, in another spelling": (("board", "serial", "r3-0001"),),
    "the serial, mistyped before": (("board", "serial", "R3-0007"),),
    "everything, step by step": (
        ("title", "Black screen"), ("client", "c-007"), ("intake", "complaint", "Black"), ("board", "place", "B3"),
    ),
}  # fmt: skip


@pytest.mark.parametrize("steps", SMALL.values(), ids=SMALL)
def test_what_is_corrected_in_a_job_makes_it_no_other(
    bench: AtBench, steps: tuple[tuple[str, ...], ...]
) -> None:
    for words in steps:
        assert bench("jot", *words).err == ""
    assert bench("on").out.startswith("K26-0007  ")


def test_a_job_in_conflict_is_left_to_be_resolved(bench: AtBench) -> None:
    put(bench.root / JOB_PATH, f"<<<<<<< ours\n{JOB}=======\n{OTHER}>>>>>>> theirs\n")
    ran = bench("jot", "note", "x")
    assert ran.status == 2
    assert "another job" not in ran.err


class Benches:
    """Two clones of a book with one letter: ida has pushed, and bo is about to pull."""

    def __init__(self, folder: Path, run: Run) -> None:
        self._run = run
        self.ida = GitRepo.make(folder / "ida")
        bench_book(self.ida.root)
        (self.ida.root / JOB_PATH).unlink()
        self.ida.commit("Open the book")
        self.bo = self.ida.clone(folder / "bo")

    def at(self, repo: GitRepo, *words: str) -> Ran:
        """Run a command at one of the benches."""
        return self._run(*words, "--book", repo.root)


@pytest.mark.parametrize("pull", ["--no-rebase", "--rebase"])
def test_after_a_pull_the_pushed_job_keeps_its_id_on_both_benches(
    tmp_path: Path, run: Run, clock: BenchClock, pull: str
) -> None:
    del clock
    both = Benches(tmp_path, run)
    log = JOB_PATH.replace(".toml", "/memory.csv")
    both.ida.commit("Book in", {JOB_PATH: OTHER + LOG, log: "channel,written,read\n1L,00,01\n"})
    both.bo.commit("Book in", {JOB_PATH: JOB + LOG, log: "channel,written,read\n2H,00,80\n"})
    assert both.at(both.ida, "on", "7").status == both.at(both.bo, "on", "7").status == 0
    assert both.bo.attempt("pull", "-q", pull, "origin", "main").returncode == 1
    ran = both.at(both.bo, "book-in", "--renumber", str(both.bo.root / JOB_PATH))
    assert ran.status == 0, ran
    assert (both.bo.root / JOB_PATH).read_text("utf-8") == OTHER + LOG
    assert (both.bo.root / NEW).read_text("utf-8") == (JOB + LOG).replace("K26-0007", "K26-0008")
    assert "1L" in (both.bo.root / log).read_text()
    assert "2H" in (both.bo.root / log.replace("0007", "0008")).read_text()
    both.bo.git("add", "-A")
    both.bo.git(*(("rebase", "--continue") if pull == "--rebase" else ("commit", "-q", "-m", "Join")))
    assert "id-" not in both.at(both.bo, "lint", "--on", "2026-10-22").out
    assert both.at(both.bo, "on").out.startswith("K26-0008  No picture")
    both.ida.git("pull", "-q", str(both.bo.root), "main")
    assert both.at(both.ida, "on").out.startswith("K26-0007  Loud fan")
