"""What goes wrong in the loop of the protocol, as one line on stderr each: editors keep that in a log."""

from __future__ import annotations

import logging
import sys
from pathlib import Path
from traceback import extract_tb

from pygls.exceptions import JsonRpcException

_LONGEST = 300


class _OneLine(logging.Handler):
    """Writes a fault in one line; what the client was told in the answer is not said again."""

    def emit(self, record: logging.LogRecord) -> None:
        """Write one record."""
        fault = record.exc_info[1] if record.exc_info else None
        if isinstance(fault, JsonRpcException):
            return
        words = _said(fault) if fault else record.getMessage().partition("\n")[0]
        sys.stderr.write(f"jobkit editor: {words[:_LONGEST]}\n")


def log_in_lines() -> None:
    """Let the protocol's loop say its errors in one line each."""
    logger = logging.getLogger("pygls")
    logger.propagate = False
    logger.setLevel(logging.ERROR)
    logger.handlers = [_OneLine()]


def _said(fault: BaseException) -> str:
    """Name a fault, and the line of code that raised it."""
    frames = extract_tb(fault.__traceback__)
    where = f" ({Path(frames[-1].filename).name}, line {frames[-1].lineno})" if frames else ""
    first = str(fault).partition("\n")[0]
    return f"{type(fault).__name__}: {first}{where}"
