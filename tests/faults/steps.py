"""One call of the command line in a process of its own, which is killed, or refused by the disk, at a given step.

A step is anything that changes the disk: opening a file to write, writing, cutting, bringing to the disk, closing,
renaming, linking, deleting, making a folder. What git does in a process of its own is not counted.
"""

from __future__ import annotations

import io
import os
import signal
import sys
from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path
from types import FrameType
from typing import Any, NamedTuple, NoReturn

from jobkit.cli.call import clock
from jobkit.cli.start.main import main

KILL = 0
"""Instead of an error number: the process is killed before the step."""

_STEPS = ("write", "fsync", "ftruncate", "close", "replace", "rename", "link", "unlink", "mkdir", "rmdir")
_Call = Callable[..., Any]
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
) -> Ended:
    """Run `jobkit` in a folder, with `pipe` on its stdin, at a time of the clock."""
    ends = [os.pipe() for _ in range(3)]
    sys.stdout.flush()
    sys.stderr.flush()
    child = os.fork()
    if child == 0:  # pragma: no cover - the other process
        _run([str(word) for word in words], folder, fault, pipe, at, [write for _, write in ends])
    for _, write in ends:
        os.close(write)
    out, err, steps = (_all_of(read) for read, _ in ends)
    _, status = os.waitpid(child, 0)
    return Ended(os.waitstatus_to_exitcode(status), out.decode(), err.decode(), len(steps))


def _all_of(end: int) -> bytes:
    with os.fdopen(end, "rb") as stream:
        return stream.read()


def _run(
    words: list[str], folder: Path, fault: Fault | None, pipe: str, at: datetime | None, ends: list[int]
) -> NoReturn:  # pragma: no cover - the other process
    status = 70
    try:
        out, err, steps = ends
        sys.stdout, sys.stderr = (io.TextIOWrapper(os.fdopen(end, "wb"), "utf-8") for end in (out, err))
        sys.stdin = io.StringIO(pipe)
        os.chdir(folder)
        if at:
            _stop_clock(at)
        _count_steps(steps, fault)
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
    os.open = _if(lambda given: bool(given[1] & _WRITES), counted(os.open), os.open)
    io.open = _if(lambda given: bool(set("wax+") & set(*given[1:2])), counted(io.open), io.open)


def _asks_git() -> bool:  # pragma: no cover - the other process
    """Tell whether a step is part of starting git: a pipe is not the disk."""
    frame: FrameType | None = sys._getframe(1)
    while frame and frame.f_globals.get("__name__") != "subprocess":
        frame = frame.f_back
    return frame is not None


def _if(is_step: Callable[[tuple[Any, ...]], bool], step: _Call, plain: _Call) -> _Call:
    """Return a function that takes a step where its arguments say that it is one."""
    return lambda *given, **named: (step if is_step(given) else plain)(*given, **named)
