"""The calls that are killed at random moments are those of every command that writes, and a few kills of each sort."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from jobkit.cli.start.app import COMMANDS
from jobkit.reckon.entry.jot_kinds import JOTS
from tests.faults.every_writing import JOTTED
from tests.faults.random_kills import COMMANDS as KILLED
from tests.faults.random_kills import KilledCommand
from tests.faults.scenarios import load_all, quiet_environment
from tests.long_run import LONG

NOT_KILLED = {
    **dict.fromkeys(("tutorial", "rules", "verdict", "completion"), "prints"),
    "editor": "writes nothing but what it is asked for; the editor saves",
    "demo": "an example; of one that was killed, the next call says that the folder is not empty",
    **dict.fromkeys(("show", "summarise", "queue", "due", "earnings", "warranty", "comebacks"), "as `week`"),
    "diff": "as `trail`",
}
"""Commands that are not killed, and why."""


@pytest.fixture
def quiet(tmp_path: Path) -> Iterator[Path]:
    with pytest.MonkeyPatch.context() as patch:
        for name in ("GIT_CONFIG_GLOBAL", "GIT_CONFIG_NOSYSTEM", "XDG_STATE_HOME", "XDG_CACHE_HOME"):
            patch.setenv(name, "")
        for name in ("JOBKIT_BY", "COLUMNS", "JOBKIT_NO_CACHE"):
            patch.setenv(name, "")
        quiet_environment(tmp_path)
        yield tmp_path


def test_every_command_that_writes_is_killed() -> None:
    assert {name.split()[0] for name in KILLED} == COMMANDS.keys() - NOT_KILLED.keys()
    assert JOTTED.keys() == JOTS.keys() | {"start", "stop"}


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="processes as POSIX has them")
@pytest.mark.parametrize("name", ["read", "jot work", "jot invoice", "on", "site", "week", "wire", "init"])
def test_nothing_is_lost_by_a_few_kills(quiet: Path, name: str) -> None:
    load_all()
    command = KilledCommand(quiet, name, seed=7)
    assert [lost for lost in (command.kill() for _ in range(20 if LONG else 3)) if lost] == []
