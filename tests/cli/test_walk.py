"""`walk`: from a pipe and at a terminal; each value is on the disk before the next is asked."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tests.at_the_bench import JOB, JOB_PATH, bench_book, reading, work
from tests.books import put
from tests.cli.conftest import AtBench, BenchClock
from tests.cli.terminal import Terminal

COLD = ["VCORE", "VMEM", "VMEM2", "V12", "V5", "V3V3", "V1V8", "V0V8", "PG1", "PG2", "PG3", "PG4"]


def _points(out: str) -> list[str]:
    return [line.split()[0] for line in out.splitlines() if not line.startswith(" ")]


def test_a_meters_lines_go_to_the_points_in_turn(bench: AtBench) -> None:
    ran = bench("walk", pipe="+2.3400E+01 OHM\r\n\r\n20\n9.9E37\n3k2\n" + "20\n" * 4 + ".5V\n" * 4)
    assert ran.status == 0
    assert _points(ran.out) == COLD
    assert ran.out.startswith("VCORE 23.400 Ω in (10 .. 60 Ω), arrival, cold, dmm-1\nVMEM 20 Ω in")
    assert "VMEM2 OL out (10 .. 60 Ω), arrival, cold, dmm-1" in ran.out
    assert ran.err == "arrival: 12 of 12 readings taken\n"


def test_a_walk_broken_off_goes_on_where_it_was(bench: AtBench) -> None:
    first = bench("walk", pipe="20\n20\n-\n20\n")
    assert _points(first.out) == ["VCORE", "VMEM", "V12"]
    assert first.err == "arrival: 3 of 12 readings taken; `jobkit walk arrival` continues with the rest\n"
    second = bench("walk", pipe="21\n")
    assert _points(second.out) == ["VMEM2"]


def test_from_a_pipe_a_line_that_cannot_be_read_ends_the_walk(bench: AtBench) -> None:
    """The values behind it would go to the wrong points."""
    ran = bench("walk", pipe="20\nERROR\n30\n")
    assert ran.status == 2
    assert _points(ran.out) == ["VCORE"]
    assert '"ERROR" is not a number' in ran.err
    assert bench.text.count("[[reading]]") == 1


@pytest.mark.parametrize(
    ("typed", "values"),
    [
        pytest.param("20\n21\nb\n22\n", ["20 Ω", "22 Ω"], id="back and another value: in place of the first"),
        pytest.param("20\n21\nb\n-\n", ["20 Ω", "21 Ω"], id="back and on: the first stays"),
        pytest.param("b\n20\n", ["20 Ω"], id="back at the first point"),
        pytest.param("o\n20\n", ["OL", "20 Ω"], id="open"),
        pytest.param("-\n20\n", ["20 Ω"], id="skipped"),
        pytest.param("20\n--\n", ["20 Ω"], id="the rest skipped"),
        pytest.param("?\n20\n", ["20 Ω"], id="asked where"),
    ],
)
def test_keys(bench: AtBench, typed: str, values: list[str]) -> None:
    assert bench("walk", pipe=typed).status == 0
    written = [
        line.partition('"')[2].rstrip('"') for line in bench.text.split("\n") if line.startswith("value")
    ]
    assert written == values


def test_a_value_gone_back_to_is_taken_back_like_any_other(bench: AtBench) -> None:
    bench("walk", pipe="20\nb\n22\n")
    bench.writes("undo")
    assert 'value = "20 Ω"' in bench.text
    bench.writes("undo")
    assert bench.text == JOB


def put_five_good_boards(bench: AtBench) -> None:
    for number in range(1, 6):
        job = JOB.replace("0007", f"010{number}").replace("R3-0001", f"R3-{number}")
        done = job.replace("title", 'outcome = "repaired"\ntitle').replace(
            "2026-10-19", "2026-10-19\nfinished = 2026-10-20"
        )
        put(bench.root / f"jobs/2026/K26-010{number}.toml", done + reading("proof", "VCORE", f"2{number} Ω"))


def test_help_says_where_the_probe_goes_and_what_is_usual(bench: AtBench) -> None:
    put_five_good_boards(bench)
    ran = bench("walk", pipe="?\n23\n-\n?\n90\n")
    assert "VCORE: coil of VCORE" in ran.err
    assert "on rail" not in ran.err.split("VMEM2")[0]
    assert "limit: 10 Ω .. 60 Ω" in ran.err
    assert "usual" in ran.err
    assert "(5 boards)" in ran.err
    assert "no usual reading is known here yet" in ran.err
    assert "(5 boards): this board is usual" in ran.out


def test_a_warm_board_is_held_to_nothing_that_cold_ones_read(bench: AtBench) -> None:
    put_five_good_boards(bench)
    put(bench.root / JOB_PATH, JOB + "\n" + work("fit", "U3", "2026-10-22T10:00:00"))
    ran = bench("walk", "proof", pipe="?\n90\n")
    assert "limit: none" in ran.err
    assert "the board is still warm" in ran.err
    assert ran.out == "VCORE 90 Ω, no limit, proof, warm, dmm-1\n"


def test_a_board_that_cools_down_on_the_way_is_read_cold(bench: AtBench, clock: BenchClock) -> None:
    put(bench.root / JOB_PATH, JOB + "\n" + work("fit", "U3", "2026-10-22T10:00:00"))
    assert bench("walk", "proof", pipe="20\n").out.startswith("VCORE 20 Ω, no limit, proof, warm")
    clock.passes(30)
    assert bench("walk", "proof", pipe="20\n").out.startswith("VCORE 20 Ω in (10 .. 60 Ω), proof, cold")


def test_read_says_until_when_the_board_is_warm(bench: AtBench, clock: BenchClock) -> None:
    put(bench.root / JOB_PATH, JOB + "\n" + work("fit", "U3", "2026-10-22T10:00:00"))
    assert bench.writes("read", "vmem", "20").endswith(
        "    warm until 10:30, 25:00 left; then read it cold\n"
    )
    clock.passes(25)
    assert "warm" not in bench.writes("read", "vmem", "20")


def test_proof_goes_by_the_policy_first_and_says_what_power_needs(bench: AtBench) -> None:
    put(bench.root / JOB_PATH, JOB + "\n" + work("fit", "U3"))
    ran = bench("walk", pipe="20\n5\n20\n--\n1.35\np\np 45\ny\n10\nn\n")
    assert _points(ran.out) == ["VCORE", "VMEM", "V12"]
    assert "jobkit: OUT: VMEM reads 5 Ω: do not release K26-0007 on this reading" in ran.err
    assert "jobkit: NO POWER YET: VMEM resistance, cold: outside its limit" in ran.err
    assert "what needs power is left out" in ran.err
    assert "still to prove before shipping: VMEM resistance, cold (outside its limit)" in ran.err
    assert '"powered"' not in bench.text
    assert "[[trial]]" not in bench.text
    assert "finished" not in bench.text


def test_without_cold_readings_no_trial_is_asked_for(tmp_path: Path, session: dict[str, str]) -> None:
    book = bench_book(tmp_path / "book")
    put(book / JOB_PATH, JOB + "\n" + work("fit", "U3", "2026-10-20T10:00:00"))
    with Terminal(["walk", "proof", "--job", "7"], book, session) as there:
        there.sees("VCORE, cold resistance")
        there.types("--")
        there.sees("NO POWER YET: VCORE resistance, cold: not read")
        there.sees("what needs power is left out")
        there.sees("final clean (")
        assert "picture (" not in there.shown
        there.presses("\x04")
        assert there.ends() == 0


def test_once_all_is_proved_the_job_is_finished(bench: AtBench) -> None:
    put(bench.root / JOB_PATH, JOB + "\n" + work("fit", "U3"))
    ran = bench("walk", "proof", pipe="20\n" * 3 + "--\n--\np\np\ny\n10\nrep\n")
    assert ran.status == 0, ran
    assert "trial: run picture, result pass" in ran.out
    assert "trial: run load run, minutes 30, result pass" in ran.out
    assert "work: did clean, what final clean" in ran.out
    assert "work: minutes 10, did inspect, what final inspection" in ran.out
    assert ran.out.endswith("outcome repaired\nfinished 2026-10-22\n")
    assert "all required proofs are done" in ran.err
    assert 'outcome = "repaired"' in bench.text
    assert "finished = 2026-10-22" in bench.text


def test_no_fault_found_asks_for_more(bench: AtBench) -> None:
    ran = bench("walk", "proof", pipe="20\n" * 3 + "--\n--\np\np\ny\ny\nno\n")
    assert "no-fault-found still needs: warm restart; continue with `jobkit walk proof`" in ran.err
    assert "finished" not in bench.text
    again = bench("walk", "proof", pipe="--\n--\np\nno\n")
    assert again.out.endswith("outcome no-fault-found\nfinished 2026-10-22\n")


def test_readings_after_a_walk_of_the_proof_was_begun_are_proof(bench: AtBench) -> None:
    put(bench.root / JOB_PATH, JOB + "\n" + work("fit", "U3"))
    assert "work, cold" in bench.writes("read", "vmem", "20")
    bench("walk", "proof", pipe="")
    assert "proof, cold" in bench.writes("read", "vmem", "20")


def test_a_walk_of_the_proof_is_over_once_something_was_soldered(bench: AtBench, clock: BenchClock) -> None:
    put(bench.root / JOB_PATH, JOB + "\n" + work("fit", "U3"))
    bench("walk", "proof", pipe="")
    clock.passes(60)
    bench.writes("jot", "work", "swap", "u4")
    assert "work, warm" in bench.writes("read", "vmem", "20")


def test_a_walk_is_not_remembered_for_a_file_made_anew(bench: AtBench) -> None:
    put(bench.root / JOB_PATH, JOB + "\n" + work("fit", "U3"))
    bench("walk", "proof", pipe="")
    put(bench.root / JOB_PATH, JOB)
    assert "arrival, cold" in bench.writes("read", "vmem", "20")


def test_a_walk_is_not_remembered_for_a_job_booked_in_anew(bench: AtBench) -> None:
    bench("walk", "proof", pipe="")
    (bench.root / JOB_PATH).unlink()
    put(bench.root / "jobs/2026/K26-0006.toml", JOB.replace("0007", "0006"))
    what = ("--client", "c-001", "--kind", "graphics card", "--design", "rowan-r3")
    ran = bench("book-in", *what, "--title", "No picture", "--complaint", "No picture since Monday")
    assert (ran.status, "the job that was K26-0007 is K26-0006 now" in ran.err) == (0, True)
    assert (bench.root / JOB_PATH).exists()
    assert "arrival, cold" in bench.writes("read", "vmem", "20")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("walk", "home"), '"home" is not a walk; there are arrival, proof'),
        (("walk", "--meter", "dmm-9"), "dmm-9"),
        (("walk", "--job", "99"), 'there is no job "99"'),
    ],
)
def test_a_slip_is_one_line(bench: AtBench, words: tuple[str, ...], said: str) -> None:
    ran = bench(*words, pipe="20\n")
    assert said in ran.err
    assert (ran.status, ran.out) == (2, "")
    assert bench.text == JOB


def test_a_board_without_design_has_no_points_to_walk(bench: AtBench) -> None:
    put(bench.root / JOB_PATH, JOB.replace('design = "rowan-r3"\n', ""))
    ran = bench("walk", "arrival")
    assert (
        ran.err
        == "jobkit: K26-0007 has no points to walk: the job has no design; take readings with `jobkit read`\n"
    )


@pytest.fixture
def session(tmp_path: Path) -> dict[str, str]:
    """Give the environment of a person at a terminal."""
    return {"XDG_STATE_HOME": str(tmp_path / "state"), "JOBKIT_BY": "ida"}


def test_at_a_terminal_a_slip_is_said_and_asked_again(tmp_path: Path, session: dict[str, str]) -> None:
    book = bench_book(tmp_path / "book")
    with Terminal(["walk", "--job", "7"], book, session) as there:
        there.sees("1/12 VCORE, cold resistance (10 .. 60 Ω): ")
        there.types("1,234")
        there.sees('write "1.234" or')
        there.sees("1/12 VCORE")
        there.types("quit")
        there.sees('"quit" is not a value')
        there.sees("Ctrl-D stops")
        there.sees("1/12 VCORE")
        there.types("")  # Enter alone loses nothing
        there.sees("1/12 VCORE")
        there.types("23.4")
        there.sees("VCORE 23.4 Ω in (10 .. 60 Ω), arrival, cold, dmm-1")
        there.sees("2/12 VMEM")
        assert 'value = "23.4 Ω"' in (book / JOB_PATH).read_text("utf-8")
        there.presses("\x04")
        assert there.ends() == 0
    assert "arrival: 1 of 12 readings taken; `jobkit walk arrival` continues" in there.shown


def test_the_cooling_time_is_counted_down(tmp_path: Path, session: dict[str, str]) -> None:
    book = bench_book(tmp_path / "book")
    begun = (
        datetime.now(UTC).replace(tzinfo=None, microsecond=0) - timedelta(minutes=30) + timedelta(seconds=6)
    )
    put(book / JOB_PATH, JOB + "\n" + work("fit", "U3", begun.isoformat()))
    with Terminal(["walk", "proof", "--job", "7"], book, session) as there:
        there.sees("the board is warm until")
        there.sees("w waits until it is cold")
        there.sees("1/12 VCORE, warm resistance [warm until")
        there.types("w")
        there.sees("0:02 left; Enter continues now")
        there.sees("cold since")
        there.sees("1/12 VCORE, cold resistance (10 .. 60 Ω): ")
        there.presses("\x04")
        assert there.ends() == 0


def test_enter_ends_the_countdown(tmp_path: Path, session: dict[str, str]) -> None:
    book = bench_book(tmp_path / "book")
    begun = datetime.now(UTC).replace(tzinfo=None, microsecond=0) - timedelta(minutes=2)
    put(book / JOB_PATH, JOB + "\n" + work("fit", "U3", begun.isoformat()))
    with Terminal(["walk", "proof", "--job", "7"], book, session) as there:
        there.sees("1/12")
        there.types("w")
        there.sees("Enter continues now")
        there.types("")
        there.sees("1/12 VCORE, warm resistance")
        there.presses("\x04")
        assert there.ends() == 0


def test_interrupted_it_ends_as_interrupted_and_what_was_typed_is_there(
    tmp_path: Path, session: dict[str, str]
) -> None:
    book = bench_book(tmp_path / "book")
    with Terminal(["walk", "--job", "7"], book, session) as there:
        there.sees("1/12")
        there.types("23.4")
        there.sees("2/12")
        there.presses("\x03")
        assert there.ends() == 130
    assert (book / JOB_PATH).read_text("utf-8").count("[[reading]]") == 1
    assert "Traceback" not in there.shown


def test_without_a_proof_policy_nothing_is_said_to_be_proved(bench: AtBench) -> None:
    settings = (bench.root / "bench.toml").read_text("utf-8")
    put(bench.root / "bench.toml", settings.replace('"graphics card"', '"sound card"'))
    ran = bench("walk", "proof", pipe="20\n")
    assert "bench.toml requires no checks of this board" in ran.err
    assert "all required proofs are done" not in ran.err
