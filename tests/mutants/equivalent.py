"""Faults that change nothing that a user could see, each with the reason: the table `equivalent.toml`."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.mutants.planted import Fault


def is_equivalent(path: str, fault: Fault) -> bool:
    """Tell whether a fault of the file `path` (below the clone) is in the table."""
    return (path, fault.was, fault.now) in argued()


@cache
def argued() -> dict[tuple[str, str, str], str]:
    """Give file, what was written and what is then written there, with the reason why it is the same."""
    table = tomllib.loads((Path(__file__).parent / "equivalent.toml").read_text("utf-8"))
    return {(one["file"], one["was"], one["now"]): one["why"] for one in table["fault"]}
