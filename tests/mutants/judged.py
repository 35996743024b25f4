"""What the tests say of a fault: each is planted in a fork of one process that has everything loaded.

A function keeps its name and its place in every table and decorator; only its code is exchanged. So the rules, all of
which are decorated, can be tried too, and a fault costs a fork and not a start.
"""

from __future__ import annotations

import ast
import gc
import os
import re
import signal
import time
import traceback
from collections.abc import Callable, Iterator, Sequence
from math import inf
from pathlib import Path
from tempfile import TemporaryDirectory
from types import CodeType, FunctionType
from typing import TYPE_CHECKING, NamedTuple, NoReturn

import pytest

from tests.mutants.forget import forget_all
from tests.mutants.planted import planted

if TYPE_CHECKING:
    from tests.mutants.planted import Fault

A_TEST = 15
"""Seconds of a processor after which a test counts as failed: the fault has made something endless."""
ENOUGH = 30
"""Seconds of a processor after which the tests of a fault that are left are passed by: it counts as missed."""
STUCK = 600
"""Seconds after which a fork in which nothing is calculated but waited for is ended; the fault counts as found."""
_NOT_TRIED = (pytest.ExitCode.USAGE_ERROR, pytest.ExitCode.NO_TESTS_COLLECTED)
_QUIET = ("-q", "-p", "no:cacheprovider", "-p", "no:randomly", "-n", "0", "--no-header", "--tb=no")


class Verdict(NamedTuple):
    """What the tests said of a fault: "found", "missed", or "not run" if no test runs its line.

    `by` is the test that failed. Tests that crash or do not end have found the fault too; `by` is empty then.
    """

    word: str
    by: str = ""


def judge(module: Module, fault: Fault, tests: Sequence[str]) -> Verdict:
    """Run `tests`, until one fails, in a fork in which the module has the fault."""
    if not tests:
        return Verdict("not run")
    status, failed = _in_a_fork(tests, ["-x"], lambda: _with_fault(module, fault))
    return Verdict("missed") if status == pytest.ExitCode.OK else Verdict("found", *failed[:1])


def failing(tests: Sequence[str]) -> list[str]:
    """Give those of `tests` that fail without a fault: what they said of faults is worth nothing."""
    return _in_a_fork(tests, [], lambda: inf)[1] if tests else []


def _with_fault(module: Module, fault: Fault) -> float:
    """Plant the fault; returns the seconds of a processor after which tests that are left are passed by."""
    signal.alarm(STUCK)
    module.alter(fault)
    return ENOUGH


def _in_a_fork(
    tests: Sequence[str], words: Sequence[str], prepare: Callable[[], float]
) -> tuple[int, list[str]]:
    """Run tests in a fork that was prepared; returns how it ended and the tests that failed."""
    with TemporaryDirectory() as folder:
        failed = Path(folder) / "failed"
        child = os.fork()
        if not child:
            _end_with(lambda: _run([*words, f"--basetemp={folder}/tests"], _Chosen(tests, prepare(), failed)))
        _, status = os.waitpid(child, 0)
        names = failed.read_text("utf-8").splitlines() if failed.exists() else []
    ended = os.waitstatus_to_exitcode(status)
    if ended in _NOT_TRIED:
        raise SystemExit(f"pytest did not run {tests[0]} or another test of its line: make a new record")
    return ended, names


def _end_with(run: Callable[[], int]) -> NoReturn:
    """End this fork with what `run` gives; whatever it raises is an error of the search, and no fault found."""
    status = int(pytest.ExitCode.USAGE_ERROR)
    try:
        status = run()
    except BaseException:  # noqa: BLE001 - nothing of the search itself may go on in a fork
        traceback.print_exc()
    os._exit(status)


class Module:
    """A loaded module of jobkit, its source as a tree, and the functions that live of it."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.tree = ast.parse(path.read_text("utf-8"))
        self._sound = self._compiled()

    def alter(self, fault: Fault) -> None:
        """Give every function the code that it has with `fault`."""
        with planted(fault):
            altered = dict(_paired(self._sound, self._compiled()))
        gc.unfreeze()  # what pytest collected is put out of sight by tests/conftest.py
        for function in gc.get_objects():
            if isinstance(function, FunctionType) and function.__code__.co_filename == str(self.path):
                function.__code__ = altered.get(function.__code__, function.__code__)
        forget_all()

    def _compiled(self) -> CodeType:
        return compile(self.tree, str(self.path), "exec", dont_inherit=True)


def _paired(sound: CodeType, altered: CodeType) -> Iterator[tuple[CodeType, CodeType]]:
    yield sound, altered
    before, after = (
        [one for one in code.co_consts if isinstance(one, CodeType)] for code in (sound, altered)
    )
    if len(before) == len(
        after
    ):  # else the fault took away a function, as that of a lambda that is no longer returned
        for pair in zip(before, after, strict=True):
            yield from _paired(*pair)


class _Chosen:
    """Lets pytest run the named tests alone: names hold anything, so that they cannot be words of a command line.

    After `enough` seconds of a processor those that are left are passed by; those that fail are noted in a file.
    """

    def __init__(self, tests: Sequence[str], enough: float, failed: Path) -> None:
        self.files = list(dict.fromkeys(test.partition("::")[0] for test in tests))
        self._place = {plainly_named(test): place for place, test in enumerate(tests)}
        self._enough, self._failed = enough, failed

    def pytest_runtest_setup(self) -> None:
        signal.setitimer(signal.ITIMER_PROF, A_TEST)  # ends this fork, however busy the machine is
        if time.process_time() > self._enough:
            pytest.skip("enough tests have passed")

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            with self._failed.open("a", encoding="utf-8") as file:
                file.write(f"{plainly_named(report.nodeid)}\n")

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        chosen = {item: self._place.get(plainly_named(item.nodeid)) for item in items}
        items[:] = sorted((one for one in items if chosen[one] is not None), key=lambda one: chosen[one] or 0)
        if len(items) < len(self._place):
            raise pytest.UsageError("a test of the record is no longer there")


def plainly_named(name: str) -> str:
    """Take back what pytest does to a name each time that it collects a test again: it doubles the backslashes."""
    return re.sub(r"\\+", r"\\", name)


def _run(words: Sequence[str], chosen: _Chosen) -> int:
    quiet = os.open(os.devnull, os.O_WRONLY)
    os.dup2(quiet, 1)
    os.dup2(quiet, 2)
    return int(pytest.main([*_QUIET, *words, *chosen.files], plugins=[chosen]))
