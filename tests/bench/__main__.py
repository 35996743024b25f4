"""Measure what the README promises about speed, in one run, each thing against another on the same machine.

    python -m tests.bench                  # 10,000 jobs
    python -m tests.bench --large          # and 100,000, which takes some minutes
    python -m tests.bench --jobs 500       # a quick look

Books are made anew in a temporary folder, the same each time. jobkit is copied there and compiled, as an installer
leaves it. Every figure is the least of several calls; ratios tell more than times. `check-jsonschema` and `taplo` are
measured where they are installed (extra `bench`). They open no log, so that they are compared on jobs that name none;
what logs take has rows of its own.
"""

from __future__ import annotations

import argparse
import os
import re
import shutil
import subprocess
import sys
import tempfile
from functools import partial
from pathlib import Path

from tests.bench.generate import make_large
from tests.bench.logs import of_each_kind
from tests.bench.stopwatch import Stopwatch, as_table

ROOT = Path(__file__).parent.parent.parent
TOOLS = (Path(sys.executable).parent, *map(Path, os.environ["PATH"].split(os.pathsep)))


def main() -> None:
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--jobs", type=int, default=10_000)
    words.add_argument("--large", action="store_true", help="ten times as many jobs too")
    chosen = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        os.environ["XDG_CACHE_HOME"] = str(home / "cache")
        watch = Stopwatch(installed(home))
        rows = cold_lint(home / "plain", chosen.jobs, watch)
        rows += with_findings(home / "findings", watch)
        rows += measured(home / "book", chosen.jobs, watch)
        rows += typed(home / "book", home / "small", watch)
        if chosen.large:
            rows += grown(home, chosen.jobs, watch)
        rows += start_up(home / "book", watch)
        print(as_table(rows))


Row = tuple[str, str, str, str]
"""What was done, how long it took, how that compares, what it is to be."""


def installed(home: Path) -> Path:
    """Lay jobkit out as an installer does, compiled."""
    place = home / "installed"
    shutil.copytree(ROOT / "jobkit", place / "jobkit", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(ROOT / "schema", place / "jobkit" / "schema")
    subprocess.run([sys.executable, "-m", "compileall", "-q", str(place)], check=True)
    return place


def book(root: Path, jobs: int, *, logs: bool = True) -> None:
    make_large(root, jobs, logs=logs)
    git(root, "init", "-q")
    git(root, "add", "-A")
    git(root, "-c", "user.name=ida", "-c", "user.email=ida@bench.example", "commit", "-q", "-m", "The book")


def git(root: Path, *words: str) -> None:
    subprocess.run(["git", *words], cwd=root, check=True, stdout=subprocess.DEVNULL)


def cold_lint(root: Path, jobs: int, watch: Stopwatch) -> list[Row]:
    """Lint jobs that name no logs, and let the others look at the same files."""
    book(root, jobs, logs=False)
    watch.times["cold"] = watch.jobkit(root, "lint", calls=2, before=forget)
    watch.times["cold, processor"] = watch.processor
    return [
        ("cold lint, all rules, jobs that name no logs", watch.cold(), "", ""),
        ("peak memory of cold lint", f"{watch.memory / 1024:.0f} MB", "a process", "90 MB, aim 50 MB"),
        *against_others(root, watch),
    ]


def with_logs(root: Path, watch: Stopwatch) -> list[Row]:
    """Lint the same jobs with the logs that they name."""
    watch.times["logged"] = watch.jobkit(root, "lint", calls=2, before=forget)
    named = [_LOG.findall(path.read_text("utf-8")) for path in root.glob("jobs/*/*.toml")]
    logs, share = sum(map(len, named)), sum(map(bool, named)) / len(named)
    each = (watch.processor - watch.times["cold, processor"]) / logs
    told = f"{logs} logs of {share:.0%} of the jobs, {each * 1000:.2f} ms of processor time a log"
    return [("the same jobs with their logs", f"{watch.times['logged']:.1f} s", told, ""), *of_each_kind()]


_LOG = re.compile(r"^(?:log|heat)\s*=", re.MULTILINE)


def measured(root: Path, jobs: int, watch: Stopwatch) -> list[Row]:
    book(root, jobs)
    rows = with_logs(root, watch)
    watch.times |= {
        "status": watch.run(root, "git", "status"),
        "warm": watch.jobkit(root, "lint"),
        "library": watch.python("-c", "import jsonschema"),
    }
    warm, status = watch.times["warm"], watch.times["status"]
    rows += [
        ("`git status`", ms(status), "", ""),
        (
            "warm lint, nothing changed",
            ms(warm),
            f"git status {plus(warm - status)}",
            "+ 150 ms, aim + 60 ms",
        ),
    ]
    job = open_job(root)
    changed = watch.jobkit(root, "lint", before=lambda: remark(job))
    git(root, "checkout", "-q", "--", ".")
    told = f"warm {plus(changed - warm)}"
    rows.append(("one job changed, then lint", ms(changed), told, "+ 60 ms, aim + 15 ms"))
    return [*rows, *hooks(root, watch), *roll_ups(root, watch)]


def hooks(root: Path, watch: Stopwatch) -> list[Row]:
    job, library = open_job(root), watch.times["library"]
    remark(job)
    git(root, "add", str(job))
    unseen = watch.python("-P", "-m", "jobkit.hook", at=root, before=forget)
    watch.jobkit(root, "lint", calls=1)
    seen = watch.python("-P", "-m", "jobkit.hook", at=root)
    git(root, "reset", "-q", "--hard")
    return [
        (
            f"hook, one job staged, {name}",
            ms(took),
            f"{took / library:.2f} of `import jsonschema`",
            "1.2, aim 0.7",
        )
        for name, took in (("seen by lint", seen), ("never checked", unseen))
    ]


def roll_ups(root: Path, watch: Stopwatch) -> list[Row]:
    status, rows = watch.times["status"], []
    for command in ("week", "summarise", "due", "queue"):
        took = watch.jobkit(root, command)
        told = f"git status {plus(took - status)}"
        rows.append((f"`{command}`, warm", ms(took), told, "+ 300 ms, aim + 150 ms"))
    return rows


def typed(large: Path, small: Path, watch: Stopwatch) -> list[Row]:
    """What is typed all day, at a book of many jobs and at one of 500."""
    book(small, 500)
    rows = []
    for words in (
        ("show",),
        ("read", "vcore", ".31", "--as-is", "--job"),
        ("jot", "work", "inspect", "--job"),
    ):
        took = {}
        for root in (small, large):
            job = open_job(root)
            watch.jobkit(root, "week", calls=1)
            took[root] = watch.jobkit(root, *words, job.stem, before=partial(as_committed, root))
            as_committed(root)
        library = watch.times["library"]
        name = f"`{words[0]}` of one job"
        rows += [
            (name, ms(took[large]), f"{took[large] / library:.1f} of `import jsonschema`", "1.2, aim 0.7"),
            (name, "", f"{took[large] / took[small]:.2f} of 500 jobs", "1.3, aim 1.1"),
        ]
    return rows


def with_findings(root: Path, watch: Stopwatch) -> list[Row]:
    """Three thousand jobs, of which a third has a finding whose place has to be looked for."""
    book(root, 3000, logs=False)
    for path in sorted(root.glob("jobs/*/*.toml"))[::3]:
        with path.open("a", encoding="utf-8") as file:
            file.write('\n[[used]]\npart = "Q1"\nitem = "none-such"\nfrom = "stock"\nqty = 1\n')
    git(
        root, "-c", "user.name=ida", "-c", "user.email=ida@bench.example", "commit", "-q", "-a", "-m", "Slips"
    )
    cold = watch.jobkit(root, "lint", calls=2, before=forget)
    processor = watch.processor
    tool = find("check-jsonschema")
    if tool is None:
        return [
            (
                "3,000 jobs, a thousand findings",
                f"{cold:.1f} s",
                "check-jsonschema: not installed",
                "16, aim 30",
            )
        ]
    schema = str(ROOT / "schema/job.schema.json")
    jobs = [str(path) for path in sorted(root.glob("jobs/*/*.toml"))]
    took = watch.run(root, str(tool), "--schemafile", schema, "--default-filetype", "toml", *jobs, calls=1)
    told = f"check-jsonschema {as_long(took / cold, watch.processor / processor)}"
    return [("3,000 jobs, a thousand findings", f"{cold:.1f} s", told, "16 times, aim 30 times")]


def find(name: str) -> Path | None:
    """Find a tool to compare with, where it is installed."""
    return next((place / name for place in TOOLS if (place / name).exists()), None)


def as_long(by_clock: float, by_processor: float) -> str:
    """Say how much longer a tool takes than lint, which works in several processes, and how much processor time."""
    return f"{by_clock:.1f} times as long, {by_processor:.1f} times the processor time"


def against_others(root: Path, watch: Stopwatch) -> list[Row]:
    cold, processor = watch.times["cold"], watch.times["cold, processor"]
    schema = ROOT / "schema/job.schema.json"
    jobs = [str(path) for path in sorted(root.glob("jobs/*/*.toml"))]
    rows: list[Row] = []
    for name, words, wanted in (
        (
            "check-jsonschema",
            ["--schemafile", str(schema), "--default-filetype", "toml"],
            "20 times, aim 40 times",
        ),
        ("taplo", ["lint", "--schema", schema.as_uri()], "2 times, aim 5 times"),
    ):
        tool = find(name)
        if tool is None:
            rows.append((f"cold lint against {name}", "not installed", "", wanted))
            continue
        took, spent = 0.0, 0.0
        for start in range(0, len(jobs), 5000):
            took += watch.run(root, str(tool), *words, *jobs[start : start + 5000], calls=1)
            spent += watch.processor
        told = as_long(took / cold, spent / processor)
        rows.append((f"cold lint against {name}", f"{took:.1f} s", told, wanted))
    return rows


def grown(home: Path, jobs: int, watch: Stopwatch) -> list[Row]:
    """Ten times the jobs: how the times grow."""
    cold, warm = watch.times["logged"], watch.times["warm"]
    root = home / "large"
    book(root, 10 * jobs)
    more = watch.jobkit(root, "lint", calls=2, before=forget)
    memory = watch.memory
    status = watch.run(root, "git", "status")
    large = watch.jobkit(root, "lint")
    week = watch.jobkit(root, "week", calls=2)
    return [
        (
            f"{10 * jobs} jobs: cold lint",
            f"{more:.1f} s",
            f"{more / cold / 10:.2f} of linear",
            "1.15, aim 1.10",
        ),
        (f"{10 * jobs} jobs: peak memory", f"{memory / 1024:.0f} MB", "a process", ""),
        (f"{10 * jobs} jobs: `git status`", ms(status), "", ""),
        (
            f"{10 * jobs} jobs: warm lint",
            ms(large),
            f"{large / status:.2f} times git status",
            "4 times, aim 3 times",
        ),
        (f"{10 * jobs} jobs: warm lint, growth", "", f"{large / warm / 10:.2f} of linear", "1.15, aim 1.10"),
        (f"{10 * jobs} jobs: `week`, warm", ms(week), "", ""),
    ]


def start_up(root: Path, watch: Stopwatch) -> list[Row]:
    """How long each command takes to say how it is called, which loads all of it but what it works with."""
    rows = [("Python itself", ms(watch.python("-c", "pass")), "", "")]
    commands = sorted(
        path.stem for path in (ROOT / "jobkit/cli/commands").glob("*.py") if path.stem != "__init__"
    )
    for command in commands:
        took = watch.jobkit(root, command.replace("_", "-"), "--help", calls=3)
        rows.append((f"start-up of `{command.replace('_', '-')}`", ms(took), "", ""))
    return rows


def forget() -> None:
    """Take away the stores of all books."""
    shutil.rmtree(Path(os.environ["XDG_CACHE_HOME"]) / "jobkit", ignore_errors=True)


def open_job(root: Path) -> Path:
    """Find a job that has not been sent: what a commit is about on most days."""
    return next(
        path for path in sorted(root.glob("jobs/2026/*.toml")) if "\nsent" not in path.read_text("utf-8")
    )


def remark(job: Path) -> None:
    with job.open("a", encoding="utf-8") as file:
        file.write("# seen\n")


def as_committed(root: Path) -> None:
    git(root, "checkout", "-q", "--", ".")


def ms(seconds: float) -> str:
    return f"{seconds * 1000:.0f} ms"


def plus(seconds: float) -> str:
    return f"{'+' if seconds >= 0 else '-'} {abs(seconds) * 1000:.0f} ms"


if __name__ == "__main__":
    main()
