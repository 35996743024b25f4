"""`undo`: it takes back what this hand wrote last, says what, and asks before it reaches further."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.at_the_bench import JOB, JOB_PATH, reading
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import put
from tests.cli.conftest import AtBench
from tests.cli.terminal import Terminal
from tests.faults.steps import KILL, Ended, Fault, call
from tests.long_run import share

STOCK = 'format = 1\n\n[item.stage]\nwhat = "power stage"\ncounted = 14\ncounted_on = 2026-09-30\n'
UNTIDY = f"{JOB}\n{reading('work', value='20.50 ohm')}"
SECOND = "jobs/2026/K26-0009.toml"
BOOK_IN = ("book-in", "--client", "c-2", "--title", "x", "--kind", "graphics card", "--complaint", "y")


def tree(root: Path) -> dict[str, str]:
    """Read every file of a book but what git has."""
    files = (path for path in sorted(root.rglob("*")) if path.is_file() and ".git" not in path.parts)
    return {path.relative_to(root).as_posix(): path.read_text("utf-8") for path in files}


@pytest.fixture
def repo(bench: AtBench, monkeypatch: pytest.MonkeyPatch) -> GitRepo:
    """Put the book of the bench into git, committed."""
    forget_git_settings(monkeypatch)
    made = GitRepo.make(bench.root)
    made.commit()
    bench.writes("on", "7")
    return made


WRITINGS: dict[str, tuple[tuple[str, ...], dict[str, str], str]] = {
    "read": (("read", "v12", "30"), {}, f"from {JOB_PATH}: reading of V12, 30 Ω"),
    "jot": (("jot", "work", "fit", "u3", "new"), {}, f"from {JOB_PATH}: work"),
    "stock count": (
        ("stock", "count", "stage", "9"),
        {"stock.toml": STOCK},
        "from stock.toml: count of stage",
    ),
    "stock receive": (
        ("stock", "receive", "stage", "9"),
        {"stock.toml": STOCK},
        "from stock.toml: delivery of stage",
    ),
    "tidy": (
        ("tidy", "7", "9"),
        {JOB_PATH: UNTIDY, SECOND: UNTIDY.replace("0007", "0009")},
        f"from {JOB_PATH}, {SECOND}: tidy",
    ),
    "upgrade": (
        ("upgrade",),
        {"meters.toml": "format = 0\n", "schema/job.schema.json": "{}\n"},
        "from 7 files: upgrade",
    ),
    "new-design": (
        ("new-design", "birch-b1", "--kind", "graphics card"),
        {},
        "from boards/birch-b1.toml: board file of birch-b1",
    ),
    "book-in": (BOOK_IN, {}, "from jobs/2026/K26-0008.toml: K26-0008 booked in"),
}


@pytest.mark.parametrize(("words", "files", "said"), WRITINGS.values(), ids=WRITINGS)
def test_every_writing_command_is_taken_back_and_not_what_was_before_it(
    bench: AtBench, words: tuple[str, ...], files: dict[str, str], said: str
) -> None:
    for path, text in files.items():
        put(bench.root / path, text)
    bench.writes("read", "vmem", "23.4")
    before = tree(bench.root)
    assert bench(*words).status == 0
    assert tree(bench.root) != before
    assert bench.writes("undo") == f"undone {said}\n"
    assert tree(bench.root) == before
    assert "reading of VMEM" in bench.writes("undo")


def test_causes_learned_from_jobs_are_taken_back(bench: AtBench) -> None:
    job = JOB.replace("0007", "0010").replace("title", 'outcome = "repaired"\ntitle')
    job = job.replace("19\n", "19\nfinished = 2026-10-21\n") + '\n[cause]\npart = "U3"\nfault = "worn out"\n'
    put(bench.root / "jobs/2026/K26-0010.toml", job)
    bench.writes("read", "vmem", "23.4")
    before = tree(bench.root)
    assert bench("suspects", "--learn", "rowan", "--on", "2026-10-22").status == 0
    assert tree(bench.root) != before
    assert bench.writes("undo") == "undone from boards/rowan-r3.toml: causes of rowan-r3\n"
    assert tree(bench.root) == before


def test_limits_learned_from_good_boards_are_taken_back(bench: AtBench) -> None:
    for number in range(10, 15):
        job = JOB.replace("0007", f"00{number}").replace("title", 'outcome = "repaired"\ntitle')
        job = job.replace("19\n", "19\nfinished = 2026-10-21\n")
        job += reading("proof", "PG1", f"0.5{number} V", kind="diode", red_on="ground")
        put(bench.root / f"jobs/2026/K26-00{number}.toml", job)
    bench.writes("read", "vmem", "23.4")
    before = tree(bench.root)
    assert bench("usual", "rowan", "--write", "--on", "2026-10-22").status == 0
    assert tree(bench.root) != before
    assert bench.writes("undo") == "undone from boards/rowan-r3.toml: limits of rowan-r3\n"
    assert tree(bench.root) == before


def test_a_call_that_changed_nothing_is_not_on_the_list(bench: AtBench) -> None:
    bench.writes("read", "vmem", "23.4")
    assert bench("tidy", "7").status == 0
    assert "reading of VMEM" in bench.writes("undo")


def test_of_a_tidy_of_two_files_all_or_nothing_is_taken_back(bench: AtBench) -> None:
    for path, text in ((JOB_PATH, UNTIDY), (SECOND, UNTIDY.replace("0007", "0009"))):
        put(bench.root / path, text)
    bench("tidy")
    put(bench.root / SECOND, (bench.root / SECOND).read_text("utf-8").replace("20.50 Ω", "21 Ω"))
    changed = tree(bench.root)
    ran = bench("undo")
    assert ran.status == 2
    assert f"tidy in {SECOND}: the entry was changed after it was written" in ran.err
    assert tree(bench.root) == changed


# Killed on the way: the note is there before the writing is.


def _call(bench: AtBench, *words: str, fault: Fault | None = None) -> Ended:
    return call([*words, "--book", bench.root], bench.root, fault, at=bench.clock.time)


def test_wherever_a_writing_is_killed_undo_takes_back_that_one_or_says_that_it_never_came_about(
    bench: AtBench,
) -> None:
    bench.writes("read", "vmem", "23.4")
    between = bench.text
    steps = _call(bench, "read", "v12", "30").steps
    bench.writes("undo")
    outcomes = set()
    for number in share(range(1, steps + 1), 2):
        assert _call(bench, "read", "v12", "30", fault=Fault(KILL, number)).status == -9
        written = bench.text != between
        ran = bench("undo")
        if written:
            assert ran.out == f"undone from {JOB_PATH}: reading of V12, 30 Ω\n"
            outcomes.add("undone")
        elif "V12" in ran.out:
            assert (
                ran.out == f"reading of V12, 30 Ω did not get into the file: {JOB_PATH}; nothing is changed\n"
            )
            assert ran.err == (
                f"written before it: reading of VMEM, 23.4 Ω in {JOB_PATH}; `jobkit undo` undoes that\n"
            )
            outcomes.add("never came about")
        else:
            assert ran.out == f"undone from {JOB_PATH}: reading of VMEM, 23.4 Ω\n"
            outcomes.add("was not even begun")
            bench.writes("read", "vmem", "23.4")
        assert (ran.status, bench.text) == (0, between)
    assert outcomes == {"undone", "never came about", "was not even begun"}


def test_wherever_an_undo_is_killed_the_next_one_goes_on_where_it_was(bench: AtBench) -> None:
    bench.writes("read", "vmem", "23.4")
    put(bench.root / JOB_PATH, bench.text + "\n# by hand\n")
    between = bench.text
    bench.writes("read", "v12", "30")
    put(bench.root / JOB_PATH, bench.text + "\n# more by hand\n")
    full, back = bench.text, between + "\n# more by hand\n"
    state = bench.root.parent / "state"
    kept = shutil.copytree(state, bench.root.parent / "kept")
    steps = _call(bench, "undo").steps
    for number in share(range(1, steps + 1), 2):
        shutil.rmtree(state)
        shutil.copytree(kept, state)
        put(bench.root / JOB_PATH, full)
        assert _call(bench, "undo", fault=Fault(KILL, number)).status == -9
        assert bench.text in {full, back}
        was_written = bench.text == back
        ran = bench("undo")
        if was_written and "VMEM" in ran.out:  # it was killed when all had been done
            assert bench.text == JOB + "\n# by hand\n" + "\n# more by hand\n"
            continue
        assert bench.text == back
        said = "was undone before" if was_written else "undone from"
        assert said in ran.out


# It asks before it reaches further.


def _reaches(bench: AtBench, said: str) -> None:
    """Be refused without a terminal, with the reason, and get through with --yes."""
    before = bench.text
    ran = bench("undo")
    assert (ran.status, ran.out) == (2, "")
    assert ran.err == (
        f"jobkit: reading of VMEM, 23.4 Ω in {JOB_PATH} {said}; "
        "`jobkit undo --yes` undoes it anyway, `jobkit undo --skip` leaves it and goes on to the one before\n"
    )
    assert bench.text == before
    assert bench.writes("undo", "--yes") == f"undone from {JOB_PATH}: reading of VMEM, 23.4 Ω\n"


def test_what_is_committed_is_not_taken_back_unasked(bench: AtBench, repo: GitRepo) -> None:
    bench.writes("read", "vmem", "23.4")
    repo.commit()
    _reaches(bench, "is committed")
    assert bench.text == JOB


def test_what_was_written_after_the_commit_is_taken_back_at_once(bench: AtBench, repo: GitRepo) -> None:
    bench.writes("read", "vmem", "23.4")
    repo.commit()
    bench.writes("read", "vmem", "23.4")
    assert bench.writes("undo") == f"undone from {JOB_PATH}: reading of VMEM, 23.4 Ω\n"
    _reaches(bench, "is committed")


def test_a_commit_of_other_lines_of_the_file_is_no_reason_to_ask(bench: AtBench, repo: GitRepo) -> None:
    put(bench.root / JOB_PATH, "# by hand\n" + JOB)
    repo.commit()
    bench.writes("read", "vmem", "23.4")
    repo.git("commit", "-q", "--allow-empty", "-m", "Something else")
    bench.writes("undo")


def test_line_ends_that_git_converts_do_not_hide_a_commit(bench: AtBench, repo: GitRepo) -> None:
    repo.git("config", "core.autocrlf", "true")
    put(bench.root / JOB_PATH, JOB.replace("\n", "\r\n"))
    bench.writes("read", "vmem", "23.4")
    assert '23.4 Ω"\r\n' in (bench.root / JOB_PATH).read_bytes().decode()
    repo.commit()
    assert "is committed" in bench("undo").err


def test_a_board_booked_in_and_committed_stays(bench: AtBench, repo: GitRepo) -> None:
    bench.writes(*BOOK_IN)
    repo.commit()
    ran = bench("undo")
    assert (ran.status, (bench.root / "jobs/2026/K26-0008.toml").exists()) == (2, True)
    assert "K26-0008 booked in in jobs/2026/K26-0008.toml is committed" in ran.err


def test_what_was_written_on_another_day_is_not_taken_back_unasked(bench: AtBench) -> None:
    bench.writes("read", "vmem", "23.4", "--at", "2026-10-20T10:00")
    bench.clock.passes(24 * 60)
    _reaches(bench, "was written on 2026-10-22")


def test_a_job_that_was_sent_is_not_reached_into_unasked(bench: AtBench) -> None:
    bench.writes("read", "vmem", "23.4")
    bench("jot", "sent")
    assert bench.writes("undo") == f"undone from {JOB_PATH}: date sent\n"  # that does not reach into it
    put(bench.root / JOB_PATH, bench.text.replace("[dates]\n", "[dates]\nsent = 2026-10-22\n"))
    _reaches(bench, "belongs to a job that was sent on 2026-10-22")


def test_all_reasons_are_said_at_once(bench: AtBench, repo: GitRepo) -> None:
    bench.writes("read", "vmem", "23.4")
    put(bench.root / JOB_PATH, bench.text.replace("[dates]\n", "[dates]\nsent = 2026-10-22\n"))
    repo.commit()
    bench.clock.passes(24 * 60)
    _reaches(
        bench,
        "was written on 2026-10-22 and is committed and belongs to a job that was sent on 2026-10-22",
    )


@pytest.mark.parametrize(("typed", "said"), [("", "left as it is"), ("y", "undone from")])
def test_at_a_terminal_it_asks_and_enter_means_no(
    bench: AtBench, repo: GitRepo, typed: str, said: str
) -> None:
    bench.writes("read", "vmem", "23.4")
    repo.commit()
    with Terminal(["undo", "--book", str(bench.root)], bench.root) as there:
        there.sees("is committed; take it back all the same? (y, Enter no): ")
        there.types(typed)
        there.sees(said)
        assert there.ends() == 0
    assert ("23.4" in bench.text) == (not typed)


def test_forgetting_gets_past_what_is_committed(bench: AtBench, repo: GitRepo) -> None:
    bench.writes("read", "vmem", "23.4")
    repo.commit()
    assert bench.writes("undo", "--skip") == f"left in {JOB_PATH}: reading of VMEM, 23.4 Ω\n"
    assert "23.4" in bench.text
    assert "nothing left to undo" in bench("undo").err


# Two hands at one bench.


def test_undo_takes_back_what_this_hand_wrote(bench: AtBench, monkeypatch: pytest.MonkeyPatch) -> None:
    bench.writes("read", "vmem", "23.4")
    monkeypatch.setenv("JOBKIT_BY", "tor")
    bench.writes("read", "v12", "30")
    monkeypatch.setenv("JOBKIT_BY", "ida")
    assert "reading of VMEM" in bench.writes("undo")
    assert bench("undo").err == (
        "jobkit: nothing that ida wrote here is left to undo; tor wrote last; "
        "`jobkit undo --by tor` undoes that\n"
    )
    assert "reading of V12" in bench.writes("undo", "--by", "tor")
    assert bench.text == JOB


def test_what_one_hand_wrote_for_another_is_its_own(bench: AtBench) -> None:
    bench.writes("read", "vmem", "23.4")
    bench.writes("jot", "work", "clean", "--by", "tor")
    assert "undone from" in bench.writes("undo")
    assert "tor" not in bench.text


def test_without_a_name_in_the_environment_the_hand_is_who_was_named_last(
    bench: AtBench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("JOBKIT_BY")
    bench.writes("read", "vmem", "23.4", "--by", "ida")
    bench.writes("read", "v12", "30", "--by", "tor")
    assert "reading of V12" in bench.writes("undo")
    bench.writes("on", "--by", "ida")
    assert "reading of VMEM" in bench.writes("undo")


# What else a call changed.


def test_undoing_the_stop_of_the_clock_starts_it_again(bench: AtBench) -> None:
    bench.writes("jot", "start")
    bench.clock.passes(20)
    bench.writes("jot", "stop", "clean")
    assert bench.writes("undo") == f"undone from {JOB_PATH}: work\nthe clock runs again for K26-0007\n"
    bench.clock.passes(20)
    assert "minutes 40" in bench.writes("jot", "stop", "clean")


def test_undoing_the_start_of_the_clock_stops_it(bench: AtBench) -> None:
    bench.writes("read", "vmem", "23.4")
    bench.writes("jot", "start")
    assert bench.writes("undo") == "undone: K26-0007 clock started at 10:05\nthe clock is stopped\n"
    assert "no clock is running" in bench("jot", "stop", "clean").err
    assert "reading of VMEM" in bench.writes("undo")


def test_a_clock_that_runs_by_now_is_left_alone(bench: AtBench) -> None:
    bench.writes("jot", "start")
    bench.writes("jot", "stop", "clean")
    bench.writes("jot", "start")
    bench.writes("undo", "--skip")
    ran = bench("undo")
    assert ran.out == f"undone from {JOB_PATH}: work\n"
    assert ran.err == "jobkit: the clock for K26-0007 is not started again: one runs for K26-0007\n"


def test_undoing_a_booking_chooses_the_job_from_before(bench: AtBench) -> None:
    bench.writes(*BOOK_IN)
    bench.writes("undo")
    assert bench.writes("on").startswith("K26-0007")


def test_two_jobs_told_apart_are_put_back_in_one_file(bench: AtBench) -> None:
    both = f"<<<<<<< ours\n{JOB}=======\n{JOB.replace('c-001', 'c-002')}>>>>>>> theirs\n"
    put(bench.root / JOB_PATH, both)
    assert bench("book-in", "--renumber", str(bench.root / JOB_PATH)).status == 0
    assert (bench.root / "jobs/2026/K26-0008.toml").exists()
    ran = bench("undo")
    assert (ran.status, bench.text) == (0, both)
    assert ran.out == f"undone from jobs/2026/K26-0008.toml, {JOB_PATH}: K26-0007 renumbered\n"


def test_attachments_that_moved_leave_a_renumbering_to_git(bench: AtBench) -> None:
    with_log = JOB + '[[seen]]\nat = 2026-10-20T10:00:00\ncheck = "x"\nlog = "m.csv"\n'
    put(bench.root / JOB_PATH, f"<<<<<<< ours\n{JOB}=======\n{with_log}>>>>>>> theirs\n")
    put(bench.root / "jobs/2026/K26-0007/m.csv", "channel\n")
    assert bench("book-in", "--renumber", str(bench.root / JOB_PATH)).status == 0
    after = tree(bench.root)
    ran = bench("undo")
    assert ran.status == 2
    assert "K26-0007 renumbered: undo cannot take this back, because files were moved" in ran.err
    assert tree(bench.root) == after
