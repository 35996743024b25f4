"""`new-design`: a first board file that lint has nothing to say of, from options and from questions."""

from __future__ import annotations

from pathlib import Path

import pytest

from jobkit.book.setup.new_design import memory_layout
from jobkit.book.toml.parse import parse_text
from tests.at_the_bench import bench_book
from tests.cli.conftest import AtBench
from tests.cli.terminal import Terminal

FILE = "boards/birch-b1.toml"
WORDS = ("--kind", "graphics card", "--processor", "u10", "--memory", "2,1,2,0")


def test_a_board_file_is_sound_and_says_what_is_known(bench: AtBench) -> None:
    ran = bench("new-design", "Birch B1", *WORDS)
    assert (ran.status, ran.out) == (0, f"{FILE}: 3 points, 5 memory packages\n")
    assert ran.err.startswith("next: fill in places and voltages")
    doc = parse_text((bench.root / FILE).read_text("utf-8"))
    assert (doc["design"], doc["kind"], doc["processor"]) == ("birch-b1", "graphics card", "U10")
    assert [(one["part"], one["channels"], one["place"]) for one in doc["memory"]] == [
        ("U1", ["1L", "1H"], "left column, 1"),
        ("U2", ["2L", "2H"], "left column, 2"),
        ("U3", ["3L", "3H"], "top row"),
        ("U4", ["4L", "4H"], "right column, 1"),
        ("U5", ["5L", "5H"], "right column, 2"),
    ]
    assert [one["name"] for one in doc["point"]] == ["VCORE", "VMEM", "V12"]  # of the bench's proof policy
    assert [one["name"] for one in doc["check"]] == ["picture", "memory test", "load run"]
    assert {one["name"]: one.get("nominal") for one in doc["rail"]} == {
        "VCORE": None, "VMEM": None, "V12": "12 V",
    }  # fmt: skip
    assert bench("lint", f"{bench.root / FILE}").out == "1 file: no problems found\n"
    assert "U3: 3L 3H" in bench("show", "--design", "birch-b1").out


def test_a_check_of_the_proof_policy_is_written_once(bench: AtBench) -> None:
    policy = bench.root / "bench.toml"
    text = policy.read_text("utf-8")
    policy.write_text(text.replace('function = ["picture"', 'function = ["memory test", "picture"'), "utf-8")
    assert '"memory test"' in policy.read_text("utf-8")
    bench("new-design", "birch-b1", *WORDS)
    doc = parse_text((bench.root / FILE).read_text("utf-8"))
    assert [one["name"] for one in doc["check"]] == ["memory test", "picture", "load run"]


def test_a_job_of_it_can_be_walked_at_once(bench: AtBench) -> None:
    bench("new-design", "birch-b1", *WORDS)
    what = ("--client", "c-2", "--title", "Loud", "--complaint", "Loud fan", "--design", "birch-b1")
    bench("book-in", *what)
    assert bench("walk", pipe="0.4\n23\n3k2\n").out.startswith("VCORE 0.4 Ω, no limit, arrival, cold")


def test_undo_takes_it_away(bench: AtBench) -> None:
    bench("new-design", "birch-b1", *WORDS)
    assert bench.writes("undo") == f"undone from {FILE}: board file of birch-b1\n"
    assert not (bench.root / FILE).exists()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("rowan-r3", *WORDS), "boards/rowan-r3.toml is there already"),
        (("Rowan R3", *WORDS), "boards/rowan-r3.toml is there already"),
        (("birch/b1", *WORDS), "design cannot be"),
        (("birch-b1", "--memory", "many"), 'memory cannot be "many"; write how many packages'),
        (("birch-b1", "--memory", "2,2"), 'memory cannot be "2,2"'),
        (("birch-b1", "--memory", "999"), 'memory cannot be "999"'),
        (("birch-b1", "--memory", "2", "--first", "ten"), 'the first memory package cannot be "ten"'),
        (("birch-b1", "--memory", "2", "--channels", "3"), "--channels cannot be 3"),
    ],
)
def test_a_slip_is_one_line_and_no_file_is_made(bench: AtBench, words: tuple[str, ...], said: str) -> None:
    before = sorted(bench.root.glob("boards/*"))
    ran = bench("new-design", *words)
    assert (ran.status, ran.out, ran.err.count("\n")) == (2, "", 1)
    assert said in ran.err
    assert sorted(bench.root.glob("boards/*")) == before


@pytest.mark.parametrize(
    ("text", "sides"),
    [
        ("0", (0, 0, 0, 0)),
        ("1", (1, 0, 0, 0)),
        ("2", (1, 0, 1, 0)),
        ("8", (2, 2, 2, 2)),
        ("10", (3, 2, 3, 2)),
        ("11", (3, 3, 3, 2)),
        ("12", (3, 3, 3, 3)),
        ("4, 0 ,4,0", (4, 0, 4, 0)),
        ("2 2 2 2", (2, 2, 2, 2)),
    ],
)
def test_how_packages_lie(text: str, sides: tuple[int, int, int, int]) -> None:
    assert memory_layout(text) == sides
    assert sum(sides) == sum(map(int, text.replace(",", " ").split()))


def test_a_board_without_memory_and_processor(bench: AtBench) -> None:
    bench("new-design", "larch-l1", "--kind", "sound card")
    doc = parse_text((bench.root / "boards/larch-l1.toml").read_text("utf-8"))
    assert (doc["kind"], [one["name"] for one in doc["point"]]) == ("sound card", ["V12"])
    assert not doc.keys() & {"memory", "cause", "check", "processor"}
    assert bench("lint", f"{bench.root / 'boards/larch-l1.toml'}").out == "1 file: no problems found\n"


def test_at_a_terminal_it_asks_until_it_knows(tmp_path: Path) -> None:
    book = bench_book(tmp_path / "book")
    with Terminal(["new-design", "birch-b1"], book, {"XDG_STATE_HOME": str(tmp_path)}) as there:
        there.sees("kind of board (Enter for graphics card): ")
        there.types("")
        there.sees("processor, such as U10 (Enter for none): ")
        there.types("u10")
        there.sees("bottom: 2,2,2,2 (Enter for 0): ")
        there.types("lots")
        there.sees('memory cannot be "lots"')
        there.sees("bottom: 2,2,2,2 (Enter for 0): ")
        there.types("4")
        there.sees("first memory package (Enter for U1): ")
        there.types("m1")
        there.sees(f"{FILE}: 3 points, 4 memory packages")
        assert there.ends() == 0
    doc = parse_text((book / FILE).read_text("utf-8"))
    assert [one["part"] for one in doc["memory"]] == ["M1", "M2", "M3", "M4"]
