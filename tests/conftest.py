"""What all tests share: a way to run the command line in this process."""

from __future__ import annotations

import gc
import json
import os
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from hypothesis import settings

from jobkit.cli.start.main import main
from tests.long_run import LONG

# How long an example takes says more about what else the machine does than about the code: no test is timed.
settings.register_profile("jobkit", deadline=None, max_examples=200 if LONG else 30)
settings.load_profile("jobkit")

# Where a machine keeps no compiled modules, each process that a test starts compiles jobkit: half of its time.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False


class Ran(NamedTuple):
    """How a call of the command line ended."""

    status: int
    out: str
    err: str

    @property
    def data(self) -> Any:
        """What it printed, as JSON."""
        return json.loads(self.out)


Run = Callable[..., Ran]


@pytest.fixture(scope="session", autouse=True)
def _store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep the stores of all tests away from those of the person who runs them."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
        yield


@pytest.fixture(scope="session", autouse=True)
def _no_wait_for_the_disk() -> Iterator[None]:
    """Let `os.fsync` check its handle and not wait: no test cuts the power, and thousands of files are written."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "fsync", os.fstat)
        yield


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run `jobkit` with these words, 100 columns wide and without colour, and return how it ended."""
    monkeypatch.setenv("COLUMNS", "100")
    monkeypatch.delenv("NO_COLOR", raising=False)

    def call(*words: str | Path) -> Ran:
        capsys.readouterr()
        status = main([str(word) for word in words])
        return Ran(status, *capsys.readouterr())

    return call


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put modules with slow tests first: one that came last would leave the other core without work."""
    slow = {item.path for item in items if item.get_closest_marker("slow")}
    items.sort(key=lambda item: item.path not in slow)


def pytest_collection_finish() -> None:
    """Keep what was collected out of the sight of the garbage collector, which else goes through it again and again."""
    gc.collect()
    gc.freeze()


def pytest_addoption(parser: pytest.Parser) -> None:
    """Take the one flag that renews golden files."""
    parser.addoption(
        "--renew-golden", action="store_true", help="write golden files anew instead of comparing"
    )


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Callable[[str, str], None]:
    """Compare a text with a golden file under tests/golden, or renew the file with --renew-golden."""

    def compare(name: str, text: str) -> None:
        path = Path(__file__).parent / "golden" / name
        if request.config.getoption("--renew-golden"):
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(text.encode())
        assert text == path.read_bytes().decode()

    return compare
