"""The load runs of the release list: ticked only if their logs bear them out."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from math import exp
from typing import TypeVar

import pytest

from jobkit.book.read.load import load_job
from jobkit.jobs.bench import Bench
from jobkit.jobs.job import Job
from jobkit.jobs.settings import LoadProof, Proof, Settings
from jobkit.reckon.load_run.trial import evidence_of
from jobkit.reckon.progress.release import release_steps
from jobkit.units.limit import parse_limit
from jobkit.units.sensor_accuracy import parse_sensor_accuracy

_Made = TypeVar("_Made")

HEAD = """\
format = 1
id = "K26-0001"
client = "c-1"
title = "t"
outcome = "repaired"
[board]
kind = "graphics card"
[intake]
complaint = "c"
[dates]
received = 2026-10-01
[[work]]
at = 2026-10-05T09:00:00
did = "fit"
part = "U1"
"""
FOLDER = "jobs/2026/K26-0001/"


def log(end: float, minutes: int) -> bytes:
    rows = [
        f"{20 * row},{end - (end - 24) * exp(-20 * row / 140):.1f},{230 if row else 18}"
        for row in range(3 * minutes + 1)
    ]
    return "\n".join(["time,hot spot,power", *rows, ""]).encode()


LOGS = {
    "good.csv": log(86, 30), "hot.csv": log(100, 30), "short.csv": log(86, 12), "near.csv": log(94, 30),
    "20.csv": log(86, 20), "60.csv": log(86, 60), "text.csv": b"nothing that has a time\n",
}  # fmt: skip


class Files:
    """The logs above, as the files of a job."""

    are_at_hand = True

    def made_of(self, path: str, make: Callable[[bytes], _Made]) -> _Made | None:
        content = LOGS.get(path.removeprefix(FOLDER))
        return None if content is None else make(content)

    def why_unread(self, path: str) -> str:
        del path
        return ""


def a_job(*trials: str) -> Job:
    day = '[[trial]]\nat = 2026-10-06T{hour:02}:00:00\nrun = "load run"\n{rest}\n'
    text = HEAD + "".join(day.format(hour=9 + number, rest=rest) for number, rest in enumerate(trials))
    loaded = load_job("jobs/2026/K26-0001.toml", text.encode())
    assert loaded.troubles == ()
    assert loaded.job is not None
    return loaded.job


def a_bench(**asked: object) -> Bench:
    load = LoadProof("load run", Decimal(30))._replace(**asked)  # type: ignore[arg-type]
    paths = frozenset(FOLDER + name for name in LOGS)
    return Bench(settings=Settings(proof={"graphics card": Proof(load=load)}), paths=paths, contents=Files())


def a_trial(log: str = "", minutes: int = 30, result: str = "pass", more: str = "") -> str:
    named = f'log = "{log}"\n' if log else ""
    return f'minutes = {minutes}\nresult = "{result}"\n{named}limit = {{ "hot spot" = "<= 95 °C" }}\n{more}'


FAILED = a_trial(result="fail")
WORD, LOG = "on the technician's word", "shown by its log"
NO_TIME = (
    "its log cannot be used: line 1: no column is named time; columns of the log: nothing that has a time; state which "
    'column is time: columns = { "time" = "HEADING" } under [logs.load] in bench.toml'
)
NO_LIMIT = "its log shows the time; there are no limits to check it against"


@pytest.mark.parametrize(
    ("trials", "lacks", "basis"),
    [
        ((), "not run", ""),
        ((a_trial(),), "", WORD),
        ((a_trial("good.csv"),), "", LOG),
        ((a_trial("hot.csv"),), "the log shows hot spot 100 °C, limit <= 95 °C", ""),
        ((a_trial("hot.csv"), a_trial("good.csv")), "", LOG),
        ((a_trial("good.csv"), a_trial("hot.csv")), "the log shows hot spot 100 °C, limit <= 95 °C", ""),
        ((a_trial("good.csv"), a_trial(result="fail")), "last result: fail", ""),
        ((a_trial("short.csv"),), "the log shows 12 min under load", ""),
        ((a_trial(minutes=20),), "ran only 20 min", ""),
        ((a_trial(minutes=20), a_trial()), "", WORD),
        ((a_trial("gone.csv"),), f"its log cannot be used: there is no file {FOLDER}gone.csv", ""),
        ((a_trial("text.csv"),), NO_TIME, ""),
        (('minutes = 30\nresult = "pass"\nlog = "good.csv"\n',), "", NO_LIMIT),
        (('minutes = 30\nresult = "pass"\nlog = "good.csv"\nlimit = { memory = "<= 95 °C" }\n',),
         "not checked: memory: the log has no such sensor", ""),
    ],
    ids=[
        "nothing", "no log", "good", "hot", "hot, then good", "good, then hot", "good, then failed", "short log",
        "short", "short, then long", "log gone", "not a log", "no limits", "no such sensor",
    ],
)  # fmt: skip
def test_one_run(trials: tuple[str, ...], lacks: str, basis: str) -> None:
    (step,) = release_steps(a_job(*trials), a_bench())
    assert (step.lacks, step.basis, step.done) == (lacks, basis, not lacks)


def test_where_no_files_are_at_hand_a_log_says_nothing() -> None:
    bench = a_bench()._replace(paths=frozenset(), contents=Bench().contents)
    (step,) = release_steps(a_job(a_trial("hot.csv")), bench)
    assert (step.done, step.basis) == (True, WORD)


@pytest.mark.parametrize(
    ("trials", "done"),
    [
        ((a_trial("20.csv", 20), a_trial("good.csv"), a_trial("60.csv", 60)), [True, True, True]),
        ((a_trial("20.csv", 20), a_trial("good.csv")), [True, True, False]),
        ((a_trial("20.csv", 20), a_trial("60.csv", 60)), [True, True, False]),
        ((a_trial("20.csv", 20), a_trial("good.csv"), FAILED, a_trial("60.csv", 60)), [True, False, False]),
        ((a_trial("20.csv", 20), a_trial("hot.csv"), a_trial("60.csv", 60)), [True, False, False]),
        ((a_trial("20.csv", 20), a_trial("short.csv"), a_trial("good.csv"), a_trial("60.csv", 60)), [True, True, True]),
    ],
    ids=["all three", "two", "no half hour", "one failed in between", "one was too hot", "one too short in between"],
)  # fmt: skip
def test_three_runs_in_a_row(trials: tuple[str, ...], done: list[bool]) -> None:
    in_a_row = (Decimal(20), Decimal(30), Decimal(60))
    steps = release_steps(a_job(*trials), a_bench(in_a_row=in_a_row))
    assert [step.name for step in steps] == ["load run, 20 min", "load run, 30 min", "load run, 60 min"]
    assert [step.done for step in steps] == done


@pytest.mark.parametrize(
    ("asked", "trial", "lacks"),
    [
        ({"log": True}, a_trial(), "no log"),
        ({"log": True}, a_trial("good.csv"), ""),
        ({"conditions": ("host", "supply", "cold_start")}, a_trial(more='host = "bench 1"\ncold_start = false\n'),
         "not written down: supply, cold start"),
        ({"conditions": ("host", "ambient")}, a_trial(more='host = "bench 1"\nambient = "22 °C"\n'), ""),
        ({"limit": (("hot spot", parse_limit("<= 80 °C")),)}, a_trial("good.csv"), ""),
        ({"limit": (("power", parse_limit("<= 200 W")),)}, a_trial("good.csv"),
         "the log shows power 230 W, limit <= 200 W"),
    ],
    ids=["no log", "log", "conditions missing", "conditions there", "the trial's own limit", "the bench's limit"],
)  # fmt: skip
def test_what_the_bench_asks_for(asked: dict[str, object], trial: str, lacks: str) -> None:
    (step,) = release_steps(a_job(trial), a_bench(**asked))
    assert step.lacks == lacks


def test_near_a_limit_is_ticked_and_said() -> None:
    accuracy = (("hot spot", parse_sensor_accuracy("2 °C")),)
    bench = a_bench(accuracy=accuracy)
    guarded = bench.settings.decision._replace(rule="guarded")
    bench = bench._replace(settings=bench.settings._replace(decision=guarded))
    (step,) = release_steps(a_job(a_trial("near.csv")), bench)
    assert step.done
    assert step.basis == "shown by its log, near a limit: hot spot 94 °C, limit <= 95 °C"


@pytest.mark.parametrize(
    ("trials", "lacks"),
    [
        (('result = "pass"\n',) * 5, ""),
        (('result = "pass"\nrepeats = 5\n',), ""),
        (('result = "pass"\nrepeats = 2\n', 'result = "pass"\n'), "passed only 3 of 5 times"),
        (('result = "pass"\nrepeats = 5\n', 'result = "fail"\n'), "last result: fail"),
        ((), "not tried"),
    ],
    ids=["five trials", "one trial, five times", "three times", "failed since", "never"],
)  # fmt: skip
def test_a_function_may_have_to_be_passed_several_times(trials: tuple[str, ...], lacks: str) -> None:
    policy = Proof(function=("load run",), repeats=(("load run", 5),))
    bench = Bench(settings=Settings(proof={"graphics card": policy}))
    (step,) = release_steps(a_job(*trials), bench)
    assert (step.name, step.lacks) == ("load run, 5 times", lacks)


def test_a_log_of_another_sort_of_trial_is_left_alone() -> None:
    job = a_job('result = "pass"\nlog = "text.csv"\n')
    (trial,) = job.trials
    assert evidence_of(trial._replace(run="picture"), job, a_bench()) is None
