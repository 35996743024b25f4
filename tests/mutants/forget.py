"""Answers that functions of jobkit and of its tests remember, forgotten.

A pytest plugin for the record of covered lines: without it a line counts as run by the first test that needs it alone,
as the others get its answer from memory.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from functools import _lru_cache_wrapper
from typing import Any

import pytest


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_call() -> None:
    """Let each test work out for itself what depends on what it asks for."""
    for function in _remembering():
        if function.cache_parameters()["maxsize"] is not None:  # else it is slow to make and the same for all
            function.cache_clear()


def forget_all() -> None:
    """Forget all that jobkit has worked out up to now."""
    for function in _remembering():
        function.cache_clear()


def _remembering() -> Iterator[_lru_cache_wrapper[Any]]:
    for name, module in list(sys.modules.items()):
        if name.partition(".")[0] in {"jobkit", "tests"}:
            yield from (one for one in vars(module).values() if isinstance(one, _lru_cache_wrapper))
