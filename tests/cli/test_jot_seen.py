"""`jot seen`: where failing channels are on the board, said at once, and what a memory log fills in."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.at_the_bench import BOARD, JOB_PATH
from tests.books import put
from tests.cli.conftest import AtBench

MEMORY = "".join(
    f'[[memory]]\npart = "U{number}"\nchannels = ["{number}L", "{number}H"]\nplace = "right column, {number - 2}"\n'
    for number in range(3, 7)
)
FOLDER = JOB_PATH.removesuffix(".toml")
LOG = "channel,written,read\n4L,FFFF,FF7F\n4L,0000,0000\n4H,FFFF,FFFF\n3L,FFFF,FFFF\n"


@pytest.fixture
def memory(bench: AtBench) -> AtBench:
    """Give the board of the bench four packages of memory in a column, all on one rail."""
    board = BOARD.replace('feeds = ["U3"]', 'feeds = ["U3", "U4", "U5", "U6"]') + MEMORY
    put(bench.root / "boards/rowan-r3.toml", board)
    return bench


def a_log(folder: Path, text: str = LOG, name: str = "memory.csv") -> Path:
    put(folder / name, text)
    return folder / name


def test_failing_channels_are_told_where_they_are(memory: AtBench) -> None:
    out = memory.writes("jot", "seen", "memory test", "failed", "4L,4H", "passed", "rest")
    assert out.splitlines()[1:] == [
        "    both channels of U4, right column, second from top; its rail VMEM also feeds U3, U5 and U6, which passed"
    ]
    assert 'failed = ["4L", "4H"]' in memory.text
    assert 'passed = ["3L", "3H", "5L", "5H", "6L", "6H"]' in memory.text


def test_channels_may_be_typed_small(memory: AtBench) -> None:
    assert "4L of U4, 1 of its 2 channels" in memory.writes("jot", "seen", "memory", "failed", "4l")
    assert 'failed = ["4L"]' in memory.text


def test_all_may_have_passed(memory: AtBench) -> None:
    memory.writes("jot", "seen", "memory test", "passed", "rest")
    assert 'passed = ["3L", "3H", "4L", "4H", "5L", "5H", "6L", "6H"]' in memory.text


def test_a_log_fills_in_what_it_shows(memory: AtBench) -> None:
    a_log(memory.root / FOLDER)
    out = memory.writes("jot", "seen", "--log", "memory.csv")
    assert out.splitlines() == [
        "K26-0007 seen: check memory test, passed 3L and 4H, failed 4L, log memory.csv",
        "    log: 1 error in 4 words",
        "    not in the log: 3H, 5L, 5H, 6L, 6H; if the test covered them, write `passed rest` too",
        (
            "    4L of U4, 1 of its 2 channels, right column, second from top; 4H passed; "
            "its rail VMEM also feeds U3, U5 and U6, which passed in part"
        ),
    ]
    assert 'log    = "memory.csv"' in memory.text


def test_what_the_person_says_stays(memory: AtBench) -> None:
    a_log(memory.root / FOLDER)
    memory.writes(
        "jot", "seen", "press test", "--log", "memory.csv", "passed", "rest", "failed", "4L", "--as-is"
    )
    assert 'check  = "press test"' in memory.text
    assert 'passed = ["3L", "3H", "4H", "5L", "5H", "6L", "6H"]' in memory.text


def test_a_log_from_elsewhere_is_copied(memory: AtBench, tmp_path: Path) -> None:
    log = a_log(tmp_path, name="run 2.csv")
    out = memory.writes("jot", "seen", "--log", str(log), "passed", "rest")
    assert f"    copied to {FOLDER}/run 2.csv" in out
    assert (memory.root / FOLDER / "run 2.csv").read_bytes() == log.read_bytes()
    assert 'log    = "run 2.csv"' in memory.text
    assert "copied" not in memory.writes("jot", "seen", "--log", str(log), "passed", "rest")


def test_a_copy_never_takes_the_place_of_another_file(memory: AtBench, tmp_path: Path) -> None:
    a_log(memory.root / FOLDER)
    ran = memory("jot", "seen", "--log", str(a_log(tmp_path, "channel,written,read\n3L,0,1\n")))
    assert ran.status == 2
    assert f"there is another file {FOLDER}/memory.csv; give one of them another name" in ran.err
    assert (memory.root / FOLDER / "memory.csv").read_text("utf-8") == LOG


def test_a_copy_is_taken_away_if_the_entry_is_refused(memory: AtBench, tmp_path: Path) -> None:
    ran = memory("jot", "seen", "--log", str(a_log(tmp_path)), "failed", "9L")
    assert ran.status == 2
    assert "9L" in ran.err
    assert not (memory.root / FOLDER / "memory.csv").exists()
    assert "[[seen]]" not in memory.text


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "time,core\n0,25\n",
            "not read as a memory log, so it fills nothing in: line 1: no column is named channel",
        ),
        ("", "not read as a memory log, so it fills nothing in: the log is empty"),
        (
            "channel,written,read\n4L,zz,00\n",
            "not read as a memory log, so it fills nothing in: line 2: 1 of 1 rows",
        ),
    ],
)
def test_another_log_is_named_and_fills_nothing_in(memory: AtBench, text: str, said: str) -> None:
    a_log(memory.root / FOLDER, text)
    ran = memory("jot", "seen", "memory test", "--log", "memory.csv", "what", "stripes")
    assert (ran.status, said in ran.out) == (0, True), ran
    assert "warning memory-log-unread" in ran.err
    assert "failed" not in memory.text


def test_a_log_that_is_not_there(memory: AtBench) -> None:
    ran = memory("jot", "seen", "--log", "nowhere.csv")
    assert ran.status == 2
    assert f"there is no file nowhere.csv; name a file in {FOLDER}/" in ran.err


def test_a_link_is_not_followed(memory: AtBench, tmp_path: Path) -> None:
    (memory.root / FOLDER).mkdir(parents=True)
    (memory.root / FOLDER / "memory.csv").symlink_to(a_log(tmp_path))
    ran = memory("jot", "seen", "--log", "memory.csv")
    assert ran.status == 2
    assert "symbolic link" in ran.err
    shutil.rmtree(memory.root / FOLDER)


def test_a_design_without_a_map_says_nothing_of_the_board(bench: AtBench) -> None:
    assert len(bench.writes("jot", "seen", "memory test", "failed", "4L").splitlines()) == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ("failed", "4L", "passed", "4l,3L"),
            "4L cannot have failed and passed in one test; name each channel once",
        ),
        (("failed", "rest", "passed", "rest"), "`rest` can be written once: after failed or after passed"),
    ],
    ids=["one channel twice", "rest twice"],
)
def test_an_entry_that_contradicts_itself_is_refused(
    memory: AtBench, words: tuple[str, ...], said: str
) -> None:
    ran = memory("jot", "seen", "memory test", *words)
    assert (ran.status, said in ran.err) == (2, True), ran
    assert "[[seen]]" not in memory.text


def test_rest_beside_names_is_written_out(memory: AtBench) -> None:
    memory.writes("jot", "seen", "memory test", "failed", "4L", "passed", "3L,rest")
    assert 'passed = ["3L", "3H", "4H", "5L", "5H", "6L", "6H"]' in memory.text


def test_rest_has_no_meaning_without_a_memory_map(bench: AtBench) -> None:
    ran = bench("jot", "seen", "memory test", "failed", "4L", "passed", "rest")
    assert (ran.status, "no board file maps the memory of this board" in ran.err) == (2, True), ran
    assert "[[seen]]" not in bench.text


def test_a_log_with_channels_in_small_letters_agrees_with_its_entry(memory: AtBench) -> None:
    a_log(memory.root / FOLDER, LOG.replace("4L", "4l"))
    memory.writes("jot", "seen", "--log", "memory.csv")
    assert 'failed = ["4L"]' in memory.text


def test_a_log_says_nothing_of_a_channel_that_passed_later(memory: AtBench) -> None:
    a_log(memory.root / FOLDER, "channel,written,read\n" + "4L,FFFF,FF7F\n4L,0000,0000\n" * 40)
    memory.writes("jot", "seen", "--log", "memory.csv")
    assert "4L fails on single data lines" in memory("suspects", "7", "--format", "json").out
    memory.clock.passes(10)
    memory.writes("jot", "seen", "memory test", "passed", "4L")
    assert "4L fails on single data lines" not in memory("suspects", "7", "--format", "json").out


REFUSED = {
    "results of no check": (("failed", "4L"), 'as in `jobkit jot seen "memory test" failed 4L`'),
    "half a channel": (("memory test", "failed", "4"), "write 4L or 4H, or all of them as 4L,4H"),
    "a package": (("memory test", "failed", "u4"), "u4 is not a memory channel of rowan-r3; write 4L,4H"),
    "all": (("memory test", "failed", "all"), "write `rest`, which means all other channels"),
    "a channel alone": (("memory test", "4L"), "write `failed 4L` or `passed 4L`"),
}


@pytest.mark.parametrize(("words", "said"), REFUSED.values(), ids=REFUSED)
def test_what_no_memory_test_can_mean_is_refused(memory: AtBench, words: tuple[str, ...], said: str) -> None:
    ran = memory("jot", "seen", *words)
    assert (ran.status, said in ran.err, "[[seen]]" in memory.text) == (2, True, False), ran


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "memory.csv: the log is empty; write the check first"),
        (
            LOG + "9L,FFFF,FFFF\n",
            "memory.csv has 1 row of 9L, which the memory map of rowan-r3 does not have",
        ),
        ("channel,written,read\n4L,0,1F\n4L,FF,1F0\n", "give the bits of a word: `--width 12`"),
    ],
    ids=["empty", "a channel of another board", "no leading zeros"],
)
def test_a_log_that_cannot_fill_in_is_refused_by_its_name(memory: AtBench, text: str, said: str) -> None:
    a_log(memory.root / FOLDER, text)
    ran = memory("jot", "seen", "--log", "memory.csv")
    assert (ran.status, said in ran.err, "[[seen]]" in memory.text) == (2, True, False), ran


def test_rows_that_were_skipped_are_said(memory: AtBench) -> None:
    a_log(memory.root / FOLDER, LOG + "4L,FFFF,FFFF\n" * 60 + "4L,FFFF,GGGG\n4L,FF,FF\n")
    out = memory.writes("jot", "seen", "--log", "memory.csv")
    assert "    skipped: 2 rows of 66 that cannot be read: line 66: read is" in out
    assert "; line 67: written has 2 hexadecimal digits where the words of this log have 4" in out


def test_a_folder_is_not_a_log(memory: AtBench, tmp_path: Path) -> None:
    assert f"{tmp_path} is a folder" in memory("jot", "seen", "--log", str(tmp_path)).err


def test_undo_names_the_copy_that_stays(memory: AtBench, tmp_path: Path) -> None:
    memory.writes("jot", "seen", "--log", str(a_log(tmp_path)))
    ran = memory("undo", "--yes")
    assert f"{FOLDER}/memory.csv stays, and its entry is gone" in ran.err
    assert (memory.root / FOLDER / "memory.csv").exists()
