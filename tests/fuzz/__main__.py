"""Search for input that a reader of jobkit cannot stand, guided by what each input makes it do.

    python -m tests.fuzz                         # every target, a minute each
    python -m tests.fuzz limit job --seconds 600
    python -m tests.fuzz --runs 10000 --seed 3   # a fixed number of inputs each, the same each time

An input that fails is written to tests/fuzz/cases/TARGET, where pytest runs it from then on. Needs the extra `fuzz`.
"""

from __future__ import annotations

import argparse
import re
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import NamedTuple

from tests.bench.stopwatch import as_table
from tests.fuzz.targets import TARGETS

CASES = Path(__file__).parent / "cases"
ROOT = Path(__file__).parent.parent.parent
LONGEST = 4
"""So many times as long as its longest seed an input may be."""


class Search(NamedTuple):
    """How a search went: inputs tried, edges of the code reached, and the files of inputs that failed."""

    inputs: int
    reached: int
    failed: list[str]
    said: str


def main() -> int:
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("targets", nargs="*", choices=[[], *TARGETS], help="default: all")
    words.add_argument("--seconds", type=int, default=60, help="of each target")
    words.add_argument(
        "--runs", type=int, default=-1, help="inputs of each target; default: as many as there is time for"
    )
    words.add_argument("--seed", type=int, default=1)
    chosen = words.parse_args()
    rows, failed = [], False
    for name in chosen.targets or TARGETS:
        search = searched(name, chosen.runs, chosen.seconds if chosen.runs < 0 else 0, chosen.seed)
        rows.append((name, f"{search.inputs:,}", str(search.reached), str(len(search.failed))))
        if search.failed:
            failed = True
            sys.stderr.write(search.said)
    print(as_table(rows, ("target", "inputs", "edges reached", "failures")))
    return int(failed)


def searched(name: str, runs: int, seconds: int, seed: int) -> Search:
    """Search from the seeds of a target and from the cases that were found before."""
    seeds = list(TARGETS[name].seeds())
    with tempfile.TemporaryDirectory() as folder:
        corpus, failures = Path(folder) / "corpus", Path(folder) / "failures"
        corpus.mkdir()
        failures.mkdir()
        for number, content in enumerate([*seeds, *known(name)]):
            (corpus / f"seed-{number}").write_bytes(content)
        options = [
            *(f"-runs={runs}", f"-max_total_time={seconds}", f"-seed={seed}"),
            *(f"-max_len={LONGEST * max(map(len, seeds))}", f"-artifact_prefix={failures}/"),
            *("-timeout=20", "-rss_limit_mb=2048", "-print_final_stats=1"),
        ]
        words = [sys.executable, "-m", "tests.fuzz.engine", name, str(corpus), *options]
        done = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, errors="replace", check=False)
        failed = [_as_case(name, path) for path in sorted(failures.iterdir())]
    if done.returncode and not failed:
        raise SystemExit(f"the search of {name} did not run:\n{done.stderr[-3000:]}")
    inputs = _last(r"stat::number_of_executed_units: *(\d+)", done.stderr)
    return Search(inputs, _last(r"cov: (\d+)", done.stderr), failed, done.stderr[-6000:])


def known(name: str) -> list[bytes]:
    """Read the inputs that failed in earlier searches of a target."""
    return [path.read_bytes() for path in sorted((CASES / name).glob("*"))]


def _as_case(name: str, path: Path) -> str:
    case = CASES / name / path.name
    case.parent.mkdir(parents=True, exist_ok=True)
    case.write_bytes(path.read_bytes())
    return str(case)


def _last(pattern: str, text: str) -> int:
    return int(([*re.findall(pattern, text)] or ["0"])[-1])


if __name__ == "__main__":
    sys.exit(main())
