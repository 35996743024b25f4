"""Which tests run which lines of jobkit, by one run of the tests under `coverage`."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections import Counter, defaultdict
from collections.abc import Iterable
from functools import cache
from itertools import chain
from pathlib import Path

import coverage

ROOT = Path(__file__).parent.parent.parent
_NOT_TIMED = "not less_than_a_second"
"""Tests of how long something takes fail on a busy machine, with a fault and without."""
_NEAR = 25
"""So many lines before and behind a line are about the same thing, in most cases the same function."""


def record(folders: Iterable[str], file: Path) -> None:
    """Run the tests of `folders` once and write into `file` which lines each of them runs in its own process."""
    words = ["--cov=jobkit", "--cov-context=test", "--cov-report=", "-p", "no:cacheprovider", "-n", "2"]
    words += ["-p", "tests.mutants.forget", "-k", _NOT_TIMED]
    environment = {**os.environ, "COVERAGE_FILE": str(file)}
    subprocess.run(
        [sys.executable, "-m", "pytest", "-q", *words, *folders],
        cwd=ROOT,
        env=environment,
        check=True,
        stdout=sys.stderr,
    )


class Covering:
    """The tests that run a line, as recorded in a file."""

    def __init__(self, file: Path) -> None:
        self._recorded = coverage.CoverageData(str(file))
        self._recorded.read()
        self._lines = {
            path: {
                line: _names(contexts) for line, contexts in self._recorded.contexts_by_lineno(path).items()
            }
            for path in self._recorded.measured_files()
        }
        self._breadth = Counter(
            name for lines in self._lines.values() for names in lines.values() for name in names
        )

    def tests(self, path: Path, line: int) -> list[str]:
        """Give the tests that run a line, those first that are about it.

        These are those that bear the name of its module or of a function in it: by turns such as run lines near it
        that few tests run (as where a rule finds something), and such as run the fewest lines of all. Then come the
        others, those first that run few lines: they are quick.
        """
        lines = self._lines.get(str(path), {})
        near = [names for other, names in lines.items() if abs(other - line) <= _NEAR]
        rarity: defaultdict[str, float] = defaultdict(float)
        for names in near:
            for name in names:
                rarity[name] += 1 / len(names)
        known = lines.get(line, ())
        telling = sorted(known, key=lambda name: (-rarity[name], name))
        narrow = sorted(known, key=lambda name: (self._breadth[name], name))
        by_turns = chain.from_iterable(zip(telling, narrow, strict=True))
        named = (name for name in by_turns if self._is_named_after(name, path))
        return list(dict.fromkeys((*named, *narrow)))

    def _is_named_after(self, test: str, path: Path) -> bool:
        plain = _plain(test)
        return any(subject in plain for subject in self._subjects(path))

    @cache  # noqa: B019 - there is one record for a room
    def _subjects(self, path: Path) -> tuple[str, ...]:
        functions = re.findall(r"^ *def ([a-z]\w{4,})", path.read_text("utf-8"), re.MULTILINE)
        return (f"test_{path.stem}", *functions)


def _names(contexts: Iterable[str]) -> list[str]:
    """Give the tests of contexts `file::test|run`; what runs while modules are imported has no context."""
    return [context.rpartition("|")[0] for context in contexts if context.endswith("|run")]


def _plain(test: str) -> str:
    """Write the name of a test as those of functions are: the rule that is called `bake-hot` is `bake_hot` there."""
    return re.sub(r"[-\s]", "_", test)
