"""How the work on a text grows with the text: steps counted, or times compared, never a time by itself.

steps(lambda: lint(book))                     lines of jobkit that ran
time_ratio(lambda n: parse("x" * n), 1000)    how many times as long four times as much takes
"""

from __future__ import annotations

import gc
import sys
from collections import Counter
from collections.abc import Callable
from time import process_time
from types import CodeType, FrameType
from typing import Any

TIMES = 4
"""So many times as large is the larger of two texts; work that grows with the square takes sixteen times as long."""


def steps(run: Callable[[], object]) -> Counter[CodeType]:
    """Count for each function of jobkit the lines of it that run, each time they do."""
    count: Counter[CodeType] = Counter()

    def at_line(frame: FrameType, event: str, _arg: object) -> Any:
        count[frame.f_code] += event == "line"
        return at_line

    def at_call(frame: FrameType, _event: str, _arg: object) -> Any:
        return at_line if "jobkit" in frame.f_code.co_filename else None

    before = sys.gettrace()
    sys.settrace(at_call)
    try:
        run()
    finally:
        sys.settrace(before)
    return count


def grown_too_quickly(few: Counter[CodeType], many: Counter[CodeType], count: int) -> list[str]:
    """Name the functions whose steps have grown far more than what they go through, which is now so many entries."""
    return [
        f"{code.co_filename}:{code.co_firstlineno} {code.co_name}: {few[code]} steps, then {steps_now}"
        for code, steps_now in many.items()
        if steps_now > few[code] * TIMES * 1.7 and few[code] and steps_now > count * TIMES
    ]


def time_ratio(run: Callable[[Any], object], small: Any, large: Any) -> float:
    """Tell how many times as long the larger of two takes, each at its quickest."""
    return quickest(run, large) / quickest(run, small)


def quickest(run: Callable[[Any], object], on: Any) -> float:
    """Tell how many seconds of this process the quickest of three runs takes."""
    times = []
    gc.disable()
    try:
        for _ in range(3):
            begun = process_time()
            run(on)
            times.append(process_time() - begun)
    finally:
        gc.enable()
    return max(min(times), 1e-4)
