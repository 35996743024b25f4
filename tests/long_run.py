"""How much of a search is done: a fixed share in the usual run, all of it with JOBKIT_TEST_LONG=1."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import TypeVar

_One = TypeVar("_One")

LONG = os.environ.get("JOBKIT_TEST_LONG", "") not in {"", "0"}


def share(whole: Sequence[_One], of: int, start: int = 0) -> Sequence[_One]:
    """Return one of so many, from `start` on; all in the long run."""
    return whole if LONG else whole[start % of :: of]
