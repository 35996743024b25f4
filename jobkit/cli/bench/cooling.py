"""Wait for a board to cool down: a countdown at the terminal, which Enter ends."""

from __future__ import annotations

import select
import sys
import time
from collections.abc import Callable
from datetime import datetime

from jobkit.cli.bench.asking import next_line
from jobkit.pages.bench.confirmations import countdown

_STEP = 1.0
"""Seconds from one look at the clock to the next."""


def wait_until_cold(until: datetime, clock: Callable[[], datetime]) -> None:
    """Count down until the board is cold, or Enter is pressed."""
    left = until - clock()
    while left.total_seconds() > 0:
        sys.stderr.write(f"\r{countdown(until, left)}; Enter continues now ")
        sys.stderr.flush()
        if _enter_within(_STEP):
            return
        left = until - clock()
    sys.stderr.write(f"\rcold since {until:%H:%M}{' ' * 40}\n")


def _enter_within(seconds: float) -> bool:
    """Wait a while; tell whether Enter was pressed. Where a terminal cannot be asked, Ctrl-C is the way out."""
    try:
        ready, _, _ = select.select([sys.stdin], [], [], seconds)
    except (OSError, ValueError):
        time.sleep(seconds)
        return False
    return bool(ready) and next_line() is not None
