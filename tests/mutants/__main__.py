"""Plant faults in jobkit and see whether its tests find them.

    python -m tests.mutants                            # 100 faults of each room, drawn at random
    python -m tests.mutants units rules --faults 300 --seed 2
    python -m tests.mutants merge --faults 0           # all of them
    python -m tests.mutants --covering FOLDER          # which tests run which lines: read from there, or kept there

A fault is found if a test that runs its line fails. Those that were missed are printed; `equivalent.toml` names those
that change nothing that a user could see, with the reason. The score is the share of both among those drawn.
"""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
from collections import Counter
from collections.abc import Iterable
from contextlib import redirect_stdout
from pathlib import Path
from typing import NamedTuple, TypeVar

import pytest

from tests.bench.stopwatch import as_table
from tests.mutants.covering import ROOT, Covering, record
from tests.mutants.equivalent import is_equivalent
from tests.mutants.judged import Module, Verdict, failing, judge
from tests.mutants.planted import Fault, faults


class Room(NamedTuple):
    """A folder of jobkit, and the tests that run what is in it in their own process."""

    folder: str
    tests: list[str]


def _named(folder: str, names: str) -> list[str]:
    return [f"tests/{folder}/test_{name}.py" for name in names.split()]


_UNITS = [
    *("tests/units", "tests/test_doctests.py"),
    *_named("reckon", "limits meters proposals reading_entry repeated"),
]
_RULES = ["tests/rules", "tests/lint", "tests/jobs"]
_RECKON = [
    *("tests/reckon", "tests/test_doctests.py", *_RULES),
    *_named("cli", "bill client_papers diff heat invoice jot_seen memory money_papers_golden noticed"),
    *_named("pages", "cautions client_words comebacks_page course due_page parts_page sums_in_every_form"),
    *_named("pages", "usual_page walk_help warranty_page"),
    *_named("cli", "stock suspects terms trail trial_logs ubl walk"),
]
_MERGE = _named("book", "merge merge_blocks merge_random merge_in_git renumber")
ROOMS = {
    "units": Room("jobkit/units", _UNITS),
    "rules": Room("jobkit/lint/rules", _RULES),
    "reckon": Room("jobkit/reckon", _RECKON),
    "merge": Room("jobkit/book/merge", _MERGE),
}
Drawn = TypeVar("Drawn")
COUNTED = ("found", "equivalent", "missed", "not run")
HEADS = ("room", "faults in all", "drawn", "seed", *COUNTED, "score")


def main() -> int:
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("rooms", nargs="*", choices=[[], *ROOMS], help="default: all")
    words.add_argument("--faults", type=int, default=100, help="so many of each room; 0: all")
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--covering", type=Path, help="a folder with a record for each room")
    chosen = words.parse_args()
    rooms = {name: ROOMS[name] for name in chosen.rooms or ROOMS}
    with tempfile.TemporaryDirectory() as folder:
        coverings = {name: _covering(name, chosen.covering or Path(folder)) for name in rooms}
    load(test for room in rooms.values() for test in room.tests)
    rows, said = [], []
    for name, room in rooms.items():
        known = faults_of(ROOT / room.folder)
        drawn = draw(known, chosen.faults, chosen.seed)
        verdicts = [_judged(module, fault, coverings[name]) for module, fault in drawn]
        seed = chosen.seed if len(drawn) < len(known) else None
        rows.append(row(name, len(known), seed, [verdict.word for verdict in verdicts]))
        said += [verdict.by for verdict in verdicts if verdict.by]
    print(as_table(rows, HEADS))
    wrong = failing(list(dict.fromkeys(said)))
    if wrong:
        print("these tests fail without a fault too: the table is wrong", *wrong, sep="\n")
    return 1 if wrong else 0


def _covering(name: str, folder: Path) -> Covering:
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / name
    if not file.exists():
        record(ROOMS[name].tests, file)
    return Covering(file)


def load(tests: Iterable[str]) -> None:
    """Import jobkit and the tests, so that a fork has them."""
    with redirect_stdout(sys.stderr):
        words = ["--collect-only", "-qq", "-p", "no:cacheprovider", *dict.fromkeys(tests)]
        status = pytest.main(words, plugins=[_AnyExample()])
    if status:
        raise SystemExit("the tests cannot be loaded")


class _AnyExample:
    """Lets a property test end with the first example that fails: searching for the smallest takes a minute."""

    def pytest_collection(self) -> None:
        from hypothesis import Phase, settings  # noqa: PLC0415 - pytest warns if it is there before its own plugin

        phases = [Phase.explicit, Phase.generate]
        settings.register_profile("mutants", settings.default, phases=phases, database=None)
        settings.load_profile("mutants")


def faults_of(folder: Path) -> list[tuple[Module, Fault]]:
    """Give all faults that can be planted in the modules of a folder, in the order of their files."""
    modules = [Module(path) for path in sorted(folder.rglob("*.py"))]
    return [(module, fault) for module in modules for fault in faults(module.tree)]


def draw(known: list[Drawn], number: int, seed: int) -> list[Drawn]:
    """Draw `number` at random (0: all), in their order."""
    if number and number < len(known):
        chosen = random.Random(seed).sample(range(len(known)), number)  # noqa: S311 - nothing secret
        return [known[one] for one in sorted(chosen)]
    return known


def _judged(module: Module, fault: Fault, covering: Covering) -> Verdict:
    """Give the verdict, with the head under which the fault is counted, and print it unless a test failed."""
    path = module.path.relative_to(ROOT)
    if is_equivalent(path.as_posix(), fault):
        return Verdict("equivalent")
    verdict = judge(module, fault, covering.tests(module.path, fault.line))
    if not verdict.by:
        word = "found, as the tests crash or do not end" if verdict.word == "found" else verdict.word
        print(f"{path}:{fault.line}: {word}: {fault.was} -> {fault.now}", flush=True)
    return verdict


def row(name: str, known: int, seed: int | None, verdicts: list[str]) -> list[str]:
    """Count the verdicts on the faults that were drawn of a room (without a seed: all of them)."""
    counted = Counter(verdicts)
    score = (counted["found"] + counted["equivalent"]) / max(1, len(verdicts))
    counts = [str(counted[head]) for head in COUNTED]
    return [
        name,
        str(known),
        str(len(verdicts)),
        "all" if seed is None else str(seed),
        *counts,
        f"{score:.1%}",
    ]


if __name__ == "__main__":
    sys.exit(main())
