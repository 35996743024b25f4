"""One call of the command line in a process of its own, which is killed, or refused by the disk, at a given step.

A step is anything that changes the disk: opening a file to write, writing, cutting, bringing to the disk, closing what
was written, renaming, swapping names, linking, deleting, making a folder. What git does in a process of its own is not
counted.
"""

from __future__ import annotations

import ctypes
import gc
import importlib
import io
import os
import pkgutil
import resource
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from contextlib import ExitStack, redirect_stderr, redirect_stdout, suppress
from datetime import datetime
from functools import cache
from pathlib import Path
from types import FrameType
from typing import IO, Any, NamedTuple, NoReturn

import jobkit
from jobkit.book.disk import folder
from jobkit.book.disk.swap import swap
from jobkit.cli.call import clock
from jobkit.cli.start.app import COMMANDS, command_named
from jobkit.cli.start.main import main
from tests.books import EXAMPLE

KILL = 0
"""Instead of an error number: the process is killed before the step."""

_STEPS = ("write", "fsync", "ftruncate", "replace", "rename", "link", "unlink", "mkdir", "rmdir")
_STARTED = ("jobkit.__main__", "jobkit.hook", "jobkit.textconv")
_BYTES = 1_500_000_000
_Call = Callable[..., Any]
_Answers = tuple[IO[bytes], IO[bytes], IO[bytes]]
_WRITES = os.O_WRONLY | os.O_RDWR | os.O_CREAT


class Fault(NamedTuple):
    """What happens at which step, counted from 1; with `on`, every step from there on fails, as a full disk does."""

    error: int
    at: int
    on: bool = False


class Ended(NamedTuple):
    """How a call ended: its status (-9 for killed), what it printed, and how many steps it took."""

    status: int
    out: str
    err: str
    steps: int


def call(
    words: Sequence[str | Path],
    folder: Path,
    fault: Fault | None = None,
    *,
    pipe: str = "",
    at: datetime | None = None,
    seconds: int = 0,
) -> Ended:
    """Run `jobkit` in a folder, with `pipe` on its stdin, at a time of the clock, for so many seconds at most.

    With a limit of time goes one of memory: 1.5 GB more than this process has.
    """
    _load_all()
    with ExitStack() as closing:
        answers = _answers(closing)
        child = os.fork()
        if child == 0:  # pragma: no cover - the other process
            _stay_within(seconds)
            _run([str(word) for word in words], folder, fault, pipe, at, answers)
        _, status = os.waitpid(child, 0)
        return _ended(status, answers)


def call_killed(words: Sequence[str], folder: Path, after: float, *, pipe: str = "", at: datetime) -> Ended:
    """Run `jobkit` in a folder, and kill it after so many seconds, together with the git that it has started.

    It may have ended before that. No process of it is left.
    """
    with ExitStack() as closing:
        answers = _answers(closing)
        _adopt()
        child = os.fork()
        if child == 0:  # pragma: no cover - the other process
            os.setpgid(0, 0)
            _run([*words], folder, None, pipe, at, answers)
        with suppress(PermissionError, ProcessLookupError):  # the child was quicker
            os.setpgid(child, child)
        time.sleep(after)
        os.killpg(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        with suppress(ChildProcessError):
            while True:
                os.waitpid(-child, 0)
        return _ended(status, answers)


@cache
def _adopt() -> None:
    """Have processes whose parent was killed become children of this one: prctl(2), PR_SET_CHILD_SUBREAPER."""
    if sys.platform == "linux":
        ctypes.CDLL(None).prctl(36, 1, 0, 0, 0)


def _answers(closing: ExitStack) -> _Answers:
    out, err, steps = (closing.enter_context(tempfile.TemporaryFile()) for _ in range(3))  # noqa: SIM115 - entered
    sys.stdout.flush()
    sys.stderr.flush()
    return out, err, steps


def _ended(status: int, answers: _Answers) -> Ended:
    out, err, steps = answers
    taken = os.fstat(steps.fileno()).st_size
    return Ended(os.waitstatus_to_exitcode(status), _said(out), _said(err), taken)


@cache
def _load_all() -> None:
    """Load and make once what else each call would in its copy of this process, which takes longest."""
    for module in pkgutil.walk_packages(jobkit.__path__, "jobkit."):
        if module.name not in _STARTED and not module.name.startswith("jobkit.editor."):
            importlib.import_module(module.name)
    for name in COMMANDS:
        command_named(name)
    with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
        for words in (("lint",), ("week",)):
            main([*words, "--no-cache", "--book", str(EXAMPLE), "--on", "2026-11-20"])


def _said(file: IO[bytes]) -> str:
    file.seek(0)
    return file.read().decode(errors="backslashreplace")


def _stay_within(seconds: int) -> None:  # pragma: no cover - the other process
    if seconds:
        signal.alarm(seconds)
        # What the tests before have reserved is there in the copy too; without room for a stack, a thread never begins.
        pages = Path("/proc/self/statm")
        there = int(pages.read_text().split()[0]) * resource.getpagesize() if pages.exists() else 0
        resource.setrlimit(resource.RLIMIT_AS, (there + _BYTES, there + _BYTES))


def _run(
    words: list[str],
    folder: Path,
    fault: Fault | None,
    pipe: str,
    at: datetime | None,
    answers: _Answers,
) -> NoReturn:  # pragma: no cover - the other process
    status = 70
    gc.freeze()  # a look at what the parent left would copy all of it
    try:
        out, err, steps = answers
        sys.stdout, sys.stderr = io.TextIOWrapper(out, "utf-8"), io.TextIOWrapper(err, "utf-8")
        sys.stdin = io.StringIO(pipe)
        os.chdir(folder)
        if at:
            _stop_clock(at)
        _count_steps(steps.fileno(), fault)
        status = main(words)
        sys.stdout.flush()
        sys.stderr.flush()
    finally:
        os._exit(status)


def _stop_clock(at: datetime) -> None:  # pragma: no cover - the other process
    real = clock.now
    for module in list(sys.modules.values()):
        if getattr(module, "now", None) is real:
            module.now = lambda _settings: at  # type: ignore[attr-defined]


def _count_steps(report: int, fault: Fault | None) -> None:  # pragma: no cover - the other process
    """Have each step counted, and the fault happen; what goes to the report and to the answers is no step."""
    done = 0
    real_write = os.write

    def counted(step: _Call) -> _Call:
        def take(*given: Any, **named: Any) -> Any:
            nonlocal done
            if _asks_git():
                return step(*given, **named)
            done += 1
            real_write(report, b".")
            if fault and (done == fault.at or (fault.on and done > fault.at)):
                if fault.error == KILL:
                    os.kill(os.getpid(), signal.SIGKILL)
                raise OSError(fault.error, os.strerror(fault.error), str(given[0]) if given else None)
            return step(*given, **named)

        return take

    for name in _STEPS:
        setattr(os, name, counted(getattr(os, name)))
    folder.swap = counted(swap)  # type: ignore[attr-defined]
    _count_handles(counted)
    io.open = _if(lambda given: bool(set("wax+") & set(*given[1:2])), counted(io.open), io.open)


def _count_handles(counted: Callable[[_Call], _Call]) -> None:  # pragma: no cover - the other process
    """Have it counted as a step when a file is opened to write, and when that is closed again."""
    opened: set[int] = set()
    quiet_open, quiet_close, real_open, real_close = os.open, os.close, counted(os.open), counted(os.close)

    def open_(*given: Any, **named: Any) -> int:
        if not given[1] & _WRITES:
            return quiet_open(*given, **named)
        handle: int = real_open(*given, **named)
        opened.add(handle)
        return handle

    def close(handle: int) -> None:
        step = real_close if handle in opened else quiet_close
        opened.discard(handle)
        step(handle)

    os.open, os.close = open_, close  # type: ignore[assignment]


def _asks_git() -> bool:  # pragma: no cover - the other process
    """Tell whether a step is part of starting git: a pipe is not the disk."""
    frame: FrameType | None = sys._getframe(1)
    while frame and frame.f_globals.get("__name__") != "subprocess":
        frame = frame.f_back
    return frame is not None


def _if(is_step: Callable[[tuple[Any, ...]], bool], step: _Call, plain: _Call) -> _Call:
    """Return a function that takes a step where its arguments say that it is one."""
    return lambda *given, **named: (step if is_step(given) else plain)(*given, **named)
