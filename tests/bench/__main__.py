"""Measure what the README promises about speed, in one run, each thing against another on the same machine.

    python -m tests.bench                  # 10,000 jobs
    python -m tests.bench --large          # and 100,000, which takes some minutes
    python -m tests.bench --jobs 500       # a quick look

Books are made anew in a temporary folder, the same each time. jobkit is copied there and compiled, as an installer
leaves it. Every figure is the least of several calls; ratios tell more than times. `check-jsonschema` and `taplo` are
measured where they are installed (extra `bench`).
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.bench.generate import make_large
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
        watch = Stopwatch(installed(home))
        rows = measured(home / "book", chosen.jobs, watch)
        rows += against_others(home / "book", watch)
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


def book(root: Path, jobs: int) -> None:
    make_large(root, jobs)
    git(root, "init", "-q")
    git(root, "add", "-A")
    git(root, "-c", "user.name=ida", "-c", "user.email=ida@bench.example", "commit", "-q", "-m", "The book")


def git(root: Path, *words: str) -> None:
    subprocess.run(["git", *words], cwd=root, check=True, stdout=subprocess.DEVNULL)


def measured(root: Path, jobs: int, watch: Stopwatch) -> list[Row]:
    book(root, jobs)
    watch.times["cold"] = watch.jobkit(root, "lint", calls=2, before=lambda: forget(root))
    memory = watch.memory
    status = watch.run(root, "git", "status")
    warm = watch.jobkit(root, "lint")
    watch.times |= {"status": status, "warm": warm}
    rows = [
        ("cold lint, all rules", watch.cold(), "", ""),
        ("peak memory of cold lint", f"{memory / 1024:.0f} MB", "a process", "100 MB, aim 50 MB"),
        ("`git status`", ms(status), "", ""),
        (
            "warm lint, nothing changed",
            ms(warm),
            f"git status {plus(warm - status)}",
            "+ 120 ms, aim + 60 ms",
        ),
    ]
    job = open_job(root)
    changed = watch.jobkit(root, "lint", before=lambda: remark(job))
    rows.append(
        ("one job changed, then lint", ms(changed), f"warm {plus(changed - warm)}", "+ 30 ms, aim + 15 ms")
    )
    git(root, "checkout", "-q", "--", ".")
    library = watch.python("-c", "import jsonschema")
    remark(job)
    git(root, "add", str(job))
    unseen = watch.python("-P", "-m", "jobkit.hook", at=root)
    watch.jobkit(root, "lint", calls=1)
    seen = watch.python("-P", "-m", "jobkit.hook", at=root)
    rows += [
        (
            "hook, one job staged that lint has seen",
            ms(seen),
            f"{seen / library:.2f} of `import jsonschema`",
            "0.7, aim 0.4",
        ),
        (
            "hook, one job staged, never checked",
            ms(unseen),
            f"{unseen / library:.2f} of `import jsonschema`",
            "",
        ),
    ]
    git(root, "reset", "-q", "--hard")
    for command in ("week", "summarise", "due", "queue"):
        if (ROOT / f"jobkit/cli/commands/{command}.py").exists():
            took = watch.jobkit(root, command)
            rows.append(
                (
                    f"`{command}`, warm",
                    ms(took),
                    f"git status {plus(took - status)}",
                    "+ 400 ms, aim + 200 ms",
                )
            )
    return rows


def against_others(root: Path, watch: Stopwatch) -> list[Row]:
    cold = watch.times["cold"]
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
        tool = next((place / name for place in TOOLS if (place / name).exists()), None)
        if tool is None:
            rows.append((f"cold lint against {name}", "not installed", "", wanted))
            continue
        took = sum(
            watch.run(root, str(tool), *words, *jobs[start : start + 5000], calls=1)
            for start in range(0, len(jobs), 5000)
        )
        rows.append(
            (f"cold lint against {name}", f"{took:.1f} s", f"{took / cold:.1f} times as long", wanted)
        )
    return rows


def grown(home: Path, jobs: int, watch: Stopwatch) -> list[Row]:
    """Ten times the jobs: how the times grow."""
    cold, warm = watch.times["cold"], watch.times["warm"]
    root = home / "large"
    book(root, 10 * jobs)
    more = watch.jobkit(root, "lint", calls=2, before=lambda: forget(root))
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


def forget(root: Path) -> None:
    """Take away all that is kept."""
    shutil.rmtree(root / ".git/jobkit", ignore_errors=True)


def open_job(root: Path) -> Path:
    """Find a job that has not been sent: what a commit is about on most days."""
    return next(
        path for path in sorted(root.glob("jobs/2026/*.toml")) if "\nsent" not in path.read_text("utf-8")
    )


def remark(job: Path) -> None:
    with job.open("a", encoding="utf-8") as file:
        file.write("# seen\n")


def ms(seconds: float) -> str:
    return f"{seconds * 1000:.0f} ms"


def plus(seconds: float) -> str:
    return f"{'+' if seconds >= 0 else '-'} {abs(seconds) * 1000:.0f} ms"


if __name__ == "__main__":
    main()
