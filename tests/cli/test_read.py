"""`read`, `on` and `undo`: a second a reading, the verdict at once, and nothing that cannot be undone."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.at_the_bench import JOB, JOB_PATH, METERS, work
from tests.books import put
from tests.cli.conftest import AtBench


def test_a_reading_is_echoed_whole_with_its_verdict(bench: AtBench) -> None:
    """What was understood is said, so that a slip is seen at once."""
    assert bench.writes("read", "vmem", "23.4") == "VMEM 23.4 Ω in (10 .. 60 Ω), arrival, cold, dmm-1\n"
    assert bench.text == JOB + (
        "\n[[reading]]\nat    = 2026-10-22T10:05:00\n"
        'by    = "ida"\nstage = "arrival"\npoint = "VMEM"\nkind  = "resistance"\n'
        'value = "23.4 Ω"\nstate = "cold"\nmeter = "dmm-1"\n'
    )


def test_several_at_once(bench: AtBench) -> None:
    out = bench.writes("read", "vmem", "23,4", "vcore", ".31", "v12", "3k2")
    assert out.splitlines()[0] == "VMEM 23.4 Ω in (10 .. 60 Ω), arrival, cold, dmm-1"
    assert "VCORE 0.31 Ω out (10 .. 60 Ω), arrival, cold, dmm-1" in out
    assert "V12 3.2 kΩ out (10 .. 60 Ω), arrival, cold, dmm-1" in out
    assert bench.text.count("[[reading]]") == 3


@pytest.mark.parametrize(
    ("words", "line"),
    [
        ("pg1 .52v", "PG1 red on ground 0.52 V diode in (0.48 .. 0.62 V), arrival, cold, dmm-1"),
        ("out 1.35V", "OUT 1.35 V in (1.35 V +/- 3 %), arrival, powered, dmm-2"),
        ("vmem ol", "VMEM OL out (10 .. 60 Ω), arrival, cold, dmm-1"),
        ("vmem 23.4 ohm", "VMEM 23.4 Ω in (10 .. 60 Ω), arrival, cold, dmm-1"),
        ("vmem 23 --state warm", "VMEM 23 Ω, no limit, arrival, warm, dmm-1"),
        ("vmem 46m --to v12", "VMEM to V12 46 mΩ, no limit, arrival, cold, dmm-1"),
        ("vmem 23 --limit 20..25ohm", ""),
        ("vmem 23 --limit", ""),
        ("vmem 30 --limit <=25_ohm --unsettled", "VMEM 30 Ω out (<= 25 Ω), arrival, cold, unsettled, dmm-1"),
        ("vmem -0.1", "VMEM −0.1 Ω out (10 .. 60 Ω), arrival, cold, dmm-1"),
        ("vmem 23 --stage work --removed u3", "VMEM without U3 23 Ω, no limit, work, cold, dmm-1"),
        ("vmem 23 --at 9:30 --note slow", "VMEM 23 Ω in (10 .. 60 Ω), arrival, cold, dmm-1"),
        ("vmem 23 --job 7 --by tor", "VMEM 23 Ω in (10 .. 60 Ω), arrival, cold, dmm-1"),
    ],
)
def test_the_first_line_says_it_all(bench: AtBench, words: str, line: str) -> None:
    ran = bench("read", *(word.replace("_", " ") for word in words.split()))
    assert ran.out.split("\n")[0] == line
    assert (ran.status == 0) is bool(line)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("vmen 3", '"vmen" is not a point of rowan-r3; write "VMEM", or use --as-is if the name is right'),
        ("v 3", "type more of it"),
        ("vmem 1,234", 'may be a decimal point or a thousands separator; write "1.234" or "1234"'),
        ("vmem", "vmem has no value"),
        ("vmem abc", 'vmem: "abc" is not a value'),
        ("out 3", "a bare number at OUT could be more than one thing"),
        ("vmem 3 --meter dmm-9", '"dmm-9" is not a meter of meters.toml; write "dmm-1"'),
        ("vmem 3 --job 99", 'there is no job "99"'),
        ("vmem 3 --at 25:00", '"25:00" is not a time'),
        ("vmem 3 --at 11:00", '"11:00" is in the future'),
        ("vmem 3 --limit 5_V", '"5 V" is not a limit'),
        ("vmem 3 vcore 1,234", "may be a decimal point"),
    ],
)
def test_a_slip_is_one_line_and_nothing_is_written(bench: AtBench, words: str, said: str) -> None:
    ran = bench("read", *(word.replace("_", " ") for word in words.split()))
    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err
    assert ran.err.count("\n") == 1
    assert bench.text == JOB


def test_an_out_proof_reading_is_written_and_said_loudly(bench: AtBench) -> None:
    ran = bench("read", "vmem", "4", "--stage", "proof")
    assert ran.status == 0
    assert ran.out.startswith("VMEM 4 Ω out (10 .. 60 Ω), proof, cold, dmm-1\n")
    assert ran.err == "jobkit: OUT: VMEM reads 4 Ω: do not release K26-0007 on this reading\n"
    assert 'value = "4 Ω"' in bench.text


def test_uncertainty_leads_and_rule_stand_below_where_the_meter_is_known(bench: AtBench) -> None:
    """23.4 Ω, ± (0.5 % + 8 counts of 0.01 Ω), leads 0.12 Ω; U as `units.accuracy` reckons it, checked there."""
    put(bench.root / "bench.toml", (bench.root / "bench.toml").read_text() + '[decision]\nrule = "guarded"\n')
    accurate = 'upto = "220 Ω"\npercent = 0.5\ncounts = 8\nstep = "0.01 Ω"\nlead = "0.12 Ω"\n'
    put(bench.root / "meters.toml", METERS.replace('upto = "22 MΩ"\n', accurate, 1))
    first, second, _ = bench.writes("read", "vmem", "23.4").split("\n")
    assert first == "VMEM 23.4 Ω in (10 .. 60 Ω), arrival, cold, dmm-1"
    assert (
        second
        == "    23.28 Ω after subtracting 0.12 Ω lead resistance, U 0.25 Ω (k = 2), margin +13.3 Ω, guarded"
    )
    near = bench.writes("read", "vmem", "10.1")
    assert "VMEM 10.1 Ω near (10 .. 60 Ω)" in near
    assert "no more than U" in near


def test_the_meter_told_is_remembered(bench: AtBench) -> None:
    bench.writes("read", "vmem", "23", "--meter", "dmm-2")
    assert bench.writes("read", "v12", "23").endswith("dmm-2\n")


def test_the_same_reading_twice_in_a_second_is_two_entries(bench: AtBench) -> None:
    for _ in range(2):
        bench.writes("read", "vmem", "23.4")
    assert "at    = 2026-10-22T10:05:01" in bench.text


def test_without_a_chosen_job_the_way_is_said(
    bench: AtBench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "another"))
    ran = bench("read", "vmem", "3")
    assert (
        ran.err
        == "jobkit: no job is selected; select one: `jobkit on 47` (`jobkit queue` lists the open jobs)\n"
    )


def test_on_says_which_job_is_chosen_and_who_works(bench: AtBench) -> None:
    assert bench.writes("on") == "K26-0007  No picture: booked in, rowan-r3, by ida\n"
    ran = bench("on", "8")
    assert (ran.status, ran.out) == (2, "")


def test_who_works_is_remembered(bench: AtBench, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("JOBKIT_BY")
    bench.writes("on", "--by", "tor")
    bench.writes("read", "vmem", "23")
    assert 'by    = "tor"' in bench.text


def test_names_that_no_file_knows_are_written_where_that_is_meant(bench: AtBench) -> None:
    ran = bench("read", "newpoint", "23", "--as-is", "--kind", "resistance")
    assert ran.status == 0
    assert 'point = "newpoint"' in bench.text
    assert "point-unknown" in ran.err


def test_lint_speaks_of_what_the_entry_gives_rise_to(bench: AtBench) -> None:
    """A board powered after soldering with no resistance taken: written, because it happened, and said."""
    put(bench.root / JOB_PATH, JOB + "\n" + work("fit", "U3"))
    ran = bench("read", "out", "1.35V")
    assert ran.status == 0
    assert "jobkit: error resistance-before-power" in ran.err
    assert "1.35 V" in bench.text


def test_a_broken_job_file_is_left_alone(bench: AtBench) -> None:
    put(bench.root / JOB_PATH, JOB + "[[reading]\n")
    ran = bench("read", "vmem", "3")
    assert ran.status == 2
    assert f"{JOB_PATH} line 17" in ran.err
    assert bench.text == JOB + "[[reading]\n"


def test_a_half_broken_job_takes_entries_all_the_same(bench: AtBench) -> None:
    put(bench.root / JOB_PATH, JOB.replace('client = "c-001"', "client = 3"))
    assert bench("read", "vmem", "23").status == 0
    assert 'value = "23 Ω"' in bench.text


def test_undo_takes_back_one_after_the_other(bench: AtBench) -> None:
    bench.writes("read", "vmem", "23.4", "vcore", "20")
    between = bench.text
    bench.writes("read", "v12", "30")
    assert bench.writes("undo") == f"undone from {JOB_PATH}: reading of V12, 30 Ω\n"
    assert bench.text == between
    bench.writes("undo")
    assert bench.text == JOB
    ran = bench("undo")
    assert (ran.status, ran.out) == (2, "")
    assert "nothing left to undo" in ran.err


def test_undo_leaves_what_was_changed_since(bench: AtBench) -> None:
    bench.writes("read", "v5", "20")
    bench.writes("read", "vmem", "23.4")
    changed = bench.text.replace("23.4", "23.5")
    put(bench.root / JOB_PATH, changed)
    ran = bench("undo")
    assert ran.status == 2
    assert f"reading of VMEM, 23.4 Ω in {JOB_PATH}: the entry was changed after it was written" in ran.err
    assert bench.text == changed
    assert bench.writes("undo", "--skip") == f"left in {JOB_PATH}: reading of VMEM, 23.4 Ω\n"
    bench.writes("undo")
    assert "23.5" in bench.text
    assert "V5" not in bench.text


def test_remarks_by_hand_between_two_entries_stay(bench: AtBench) -> None:
    bench.writes("read", "vmem", "23.4")
    put(bench.root / JOB_PATH, bench.text + "\n# mind the left end\n[own]\nx = 1\n")
    bench.writes("read", "v12", "30")
    bench.writes("undo")
    bench.writes("undo")
    assert bench.text == JOB + "\n# mind the left end\n[own]\nx = 1\n"


def test_two_processes_at_once_on_one_job_both_get_through(
    bench: AtBench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PYTHONUTF8", "1")
    words = [sys.executable, "-m", "jobkit", "--book", str(bench.root), "read"]
    started = [
        subprocess.Popen([*words, point, str(number)], stdout=subprocess.DEVNULL)
        for number, point in enumerate(["vmem", "v12", "v5", "v3v3"], start=20)
    ]
    assert [one.wait(60) for one in started] == [0, 0, 0, 0]
    assert all(f'value = "{number} Ω"' in bench.text for number in range(20, 24))
    for _ in started:
        bench.writes("undo", "--yes")  # they go by the clock of this machine
    assert bench.text == JOB


def test_of_many_undos_at_once_each_takes_back_one(bench: AtBench, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PYTHONUTF8", "1")
    points = ("vmem", "v12", "v5", "v3v3")
    for point in points:
        bench.writes("read", point, "20")
    words = [sys.executable, "-m", "jobkit", "--book", str(bench.root), "undo", "--yes"]
    started = [
        subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) for _ in range(6)
    ]
    said = sorted("".join(one.communicate(timeout=60)) for one in started)
    lost = "jobkit: nothing left to undo; change the file in an editor\n"
    back = sorted(f"undone from {JOB_PATH}: reading of {point.upper()}, 20 Ω\n" for point in points)
    assert said == [lost, lost, *back]
    assert bench.text == JOB


def test_a_killed_reading_leaves_the_old_file_or_the_new_one(bench: AtBench) -> None:
    """A few kills only: tests/book/test_disk.py does it by the hundred, one level below."""
    words = [sys.executable, "-m", "jobkit", "--book", str(bench.root), "read", "vmem"]
    for number in range(6):
        before = bench.text
        process = subprocess.Popen([*words, str(20 + number)], stdout=subprocess.DEVNULL)
        try:
            process.wait(0.08 + 0.02 * number)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait(30)
        assert bench.text == before or (
            bench.text.startswith(before) and bench.text.endswith('meter = "dmm-1"\n')
        )
    assert bench("read", "vmem", "30").status == 0


def test_where_the_session_cannot_be_written_the_entry_is_all_the_same(
    bench: AtBench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "file"))
    ran = bench("read", "vmem", "23.4", "--job", "7")
    assert ran.status == 0
    assert "23.4" in bench.text
    assert "jobkit: `undo` will not know of this" in ran.err
    assert ran.err.count("\n") == 1
