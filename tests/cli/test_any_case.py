"""Names and ids in any case, ids by their running number or their end, and the selected job where none is named."""

from __future__ import annotations

import pytest

from jobkit.book.read.lookup import jobs_ending
from tests.at_the_bench import JOB, JOB_PATH
from tests.books import EXAMPLE, put
from tests.cli.conftest import AtBench
from tests.conftest import Run

ON = ("--on", "2026-11-20", "--book", EXAMPLE)

WORDS = [
    ("summarise", "--status", "READY"),
    ("summarise", "--design", "TARNHOW-T7-16"),
    ("summarise", "--client", "C-031"),
    ("summarise", "--outcome", "Repaired"),
    ("summarise", "--waiting", "Parts"),
    ("show", "--design", "TARNHOW-T7-16"),
    ("show", "k26-0047"),
    ("show", "k26-47"),
    ("usual", "TARNHOW-T7-16", "--point", "vcore"),
    ("earnings", "--by", "Work"),
    ("week", "2026-w47"),
    ("queue", "--format", "JSON"),
    ("lint", "k26-0047", "--format", "JSON"),
    ("queue", "--color", "Never"),
]


@pytest.mark.parametrize("words", WORDS, ids=" ".join)
def test_names_in_any_case(run: Run, words: tuple[str, ...]) -> None:
    ran = run(*words, *ON)
    assert (ran.status, ran.err) == (0, "")
    usual = run(*(_as_in_the_book(word) for word in words), *ON)
    assert ran.out == usual.out


def _as_in_the_book(word: str) -> str:
    ids = {"k26-0047": "K26-0047", "k26-47": "K26-0047", "vcore": "VCORE", "2026-w47": "2026-W47"}
    return ids.get(word, word if word.startswith("--") else word.lower())


@pytest.mark.parametrize("name", ["SEALED", "sealed"])
def test_a_rule_in_any_case(run: Run, name: str) -> None:
    assert run("rules", name).out.startswith("sealed")


IDS = ["K26-0001", "K26-0011", "K26-0021", "K25-0213", "K26-0213"]


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("1", ["K26-0001"]),
        ("01", ["K26-0001"]),
        ("11", ["K26-0011"]),
        ("k26-1", ["K26-0001"]),
        ("26-21", ["K26-0021"]),
        ("213", ["K25-0213", "K26-0213"]),
        ("k25-213", ["K25-0213"]),
        ("13", ["K25-0213", "K26-0213"]),
        ("5-0213", ["K25-0213"]),
        ("9", []),
    ],
)
def test_the_running_number_wins_over_the_end_of_another(name: str, meant: list[str]) -> None:
    assert list(jobs_ending([f"jobs/2026/{one}.toml" for one in IDS], name)) == meant


@pytest.mark.parametrize("command", ["show", "bill", "report", "warranty"])
def test_without_a_job_the_selected_one_is_meant(bench: AtBench, command: str) -> None:
    put(bench.root / JOB_PATH, JOB + '[price]\nquoted = "90.00 EUR"\n')
    assert bench(command).out == bench(command, "7").out
    assert bench(command).status == 0
    assert "K26-0007" in bench(command).out


@pytest.mark.parametrize("command", ["show", "bill", "report", "warranty", "trail"])
def test_without_any_job_it_is_said_how_to_select_one(command: str, bench: AtBench) -> None:
    (bench.root.parent / "state").rename(bench.root.parent / "gone")
    ran = bench(command)
    assert ran.err == "jobkit: no job is selected; name a job, or select one: `jobkit on 47`\n"
    assert ran.status == 2
