"""A person at a terminal: a program behind a pseudo-terminal, what it shows, and how many keys it took.

    with Terminal(["walk"], folder) as there:
        there.sees("VMEM")
        there.types("23.4")       # and Enter

Every key counts, Enter too; those of values and of free text are counted apart.
"""

from __future__ import annotations

import errno
import os
import pty
import select
import signal
import sys
import time
from pathlib import Path
from types import TracebackType
from typing import Self

_PATIENCE = 30.0


class Terminal:
    """One program at a terminal of 100 columns."""

    def __init__(self, words: list[str], folder: Path, env: dict[str, str] | None = None) -> None:
        self.shown = ""
        self._mark = 0
        self._child, self._master = pty.fork()
        if self._child == 0:  # pragma: no cover - the other process
            # A test run in the background ignores SIGINT, and a child inherits that: Ctrl-C would then do nothing.
            signal.signal(signal.SIGINT, signal.SIG_DFL)
            os.chdir(folder)
            os.environ.update({"COLUMNS": "100", "TERM": "dumb", "PYTHONUTF8": "1", **(env or {})})
            os.execv(sys.executable, [sys.executable, "-m", "jobkit", *words])  # noqa: S606 - no shell is meant

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._child:
            os.kill(self._child, signal.SIGKILL)
            os.waitpid(self._child, 0)
        os.close(self._master)

    def sees(self, text: str) -> str:
        """Wait until a text is shown that was not seen before; give all up to it."""
        until = time.monotonic() + _PATIENCE
        while text not in self.shown[self._mark :]:
            if not self._read(until - time.monotonic()):
                raise AssertionError(f"{text!r} was never shown:\n{self.shown[self._mark :]}")
        end = self.shown.index(text, self._mark) + len(text)
        seen = self.shown[self._mark : end]
        self._mark = end
        return seen

    def types(self, text: str, end: str = "\r") -> None:
        """Type a text and Enter."""
        os.write(self._master, (text + end).encode())

    def presses(self, key: str) -> None:
        """Press one key alone, such as "\x04" for Ctrl-D."""
        os.write(self._master, key.encode())

    def ends(self) -> int:
        """Return the exit status once the program has ended; fail where it runs on."""
        until = time.monotonic() + _PATIENCE
        while self._read(until - time.monotonic()):
            pass
        while not (ended := os.waitpid(self._child, os.WNOHANG))[0]:
            if time.monotonic() > until:
                raise AssertionError(f"the program did not end:\n{self.shown[self._mark :]}")
            time.sleep(0.01)
        self._child, status = 0, ended[1]
        return os.waitstatus_to_exitcode(status)

    def _read(self, seconds: float) -> bool:
        """Take in what is shown; False once nothing more comes."""
        ready, _, _ = select.select([self._master], [], [], max(seconds, 0))
        if not ready:
            return False
        try:
            data = os.read(self._master, 65536)
        except OSError as error:
            if error.errno == errno.EIO:  # how Linux says that the other end is closed
                return False
            raise
        self.shown += data.decode(errors="replace").replace("\r\n", "\n")
        return bool(data)
