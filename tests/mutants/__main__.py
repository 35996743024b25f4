"""Plant faults in jobkit and see whether its tests find them.

    python -m tests.mutants                            # 100 faults of each room, drawn at random
    python -m tests.mutants units rules --faults 300 --seed 2
    python -m tests.mutants merge --faults 0           # all of them
    python -m tests.mutants --covering FILE            # which tests run which lines: read from there, or kept there

A fault is found if a test that runs its line fails. Those that were missed are printed; `equivalent.toml` names those
that change nothing that a user could see, with the reason.
"""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
from collections import Counter
from pathlib import Path

import pytest

from tests.bench.stopwatch import as_table
from tests.mutants.covering import ROOT, Covering, record
from tests.mutants.equivalent import is_equivalent
from tests.mutants.judged import Module, judge
from tests.mutants.planted import Fault, faults

ROOMS = {
    "units": "jobkit/units",
    "rules": "jobkit/lint/rules",
    "reckon": "jobkit/reckon",
    "merge": "jobkit/book/merge",
}
TESTS = [
    *("tests/units", "tests/rules", "tests/jobs", "tests/reckon", "tests/lint", "tests/pages"),
    *("tests/cli/test_trail.py", "tests/cli/test_client_papers.py", "tests/cli/test_ubl.py"),
    *("tests/cli/test_pages.py", "tests/cli/test_money_pages.py", "tests/cli/test_heat.py"),
    *("tests/cli/test_load.py", "tests/cli/test_memory.py", "tests/cli/test_suspects.py"),
    *("tests/book/test_merge.py", "tests/book/test_merge_blocks.py", "tests/book/test_merge_random.py"),
    "tests/book/test_merge_in_git.py",
    "tests/book/test_renumber.py",
    *("tests/test_example_money.py", "tests/test_one_figure.py", "tests/test_two_benches.py"),
]
"""The tests that run what they are about in their own process."""


HEADS = ("room", "faults", "found", "missed", "not run", "equivalent", "found of the rest")


def main() -> int:
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("rooms", nargs="*", choices=[[], *ROOMS], help="default: all")
    words.add_argument("--faults", type=int, default=100, help="so many of each room; 0: all")
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--covering", type=Path)
    chosen = words.parse_args()
    covering = _covering(chosen.covering)
    load()
    rows = []
    for room in chosen.rooms or ROOMS:
        drawn = draw(ROOT / ROOMS[room], chosen.faults, chosen.seed)
        rows.append(_row(room, [_judged(module, fault, covering) for module, fault in drawn]))
    print(as_table(rows, HEADS))
    return 0


def _covering(kept: Path | None) -> Covering:
    with tempfile.TemporaryDirectory() as folder:
        file = kept or Path(folder) / "covering"
        if not file.exists():
            record(TESTS, file)
        return Covering(file)


def load() -> None:
    """Import jobkit and all tests, so that a fork has them."""
    if pytest.main(["--collect-only", "-qq", "-p", "no:cacheprovider", "--no-header", *TESTS]):
        raise SystemExit("the tests cannot be loaded")


def draw(folder: Path, number: int, seed: int) -> list[tuple[Module, Fault]]:
    """Draw `number` of the faults of the modules of a folder (0: all), in the order of their files."""
    modules = [Module(path) for path in sorted(folder.rglob("*.py"))]
    known = [(module, fault) for module in modules for fault in faults(module.tree)]
    if number and number < len(known):
        chosen = random.Random(seed).sample(range(len(known)), number)  # noqa: S311 - nothing secret
        return [known[one] for one in sorted(chosen)]
    return known


def _judged(module: Module, fault: Fault, covering: Covering) -> str:
    """Give the head under which a fault is counted, and print it if it was not found."""
    path = module.path.relative_to(ROOT)
    if is_equivalent(path.as_posix(), fault):
        return "equivalent"
    verdict = judge(module, fault, covering.tests(module.path, fault.line))
    if verdict != "found":
        print(f"{path}:{fault.line}: {verdict}: {fault.was} -> {fault.now}", flush=True)
    return verdict


def _row(room: str, verdicts: list[str]) -> list[str]:
    counted = Counter(verdicts)
    counts = [counted[head] for head in ("found", "missed", "not run", "equivalent")]
    share = counts[0] / max(1, sum(counts[:3]))
    return [room, str(len(verdicts)), *map(str, counts), f"{share:.0%}"]


if __name__ == "__main__":
    sys.exit(main())
