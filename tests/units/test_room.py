"""The room as a whole: its examples are true, its errors one family, its start light."""

import doctest
import importlib
import pkgutil
import subprocess
import sys

import pytest

import jobkit.units
from jobkit.units.accuracy import AccuracyError
from jobkit.units.errors import MisuseError
from jobkit.units.limit import LimitError
from jobkit.units.quantity import QuantityError
from jobkit.units.verdict import VerdictError

MODULES = [f"jobkit.units.{module.name}" for module in pkgutil.iter_modules(jobkit.units.__path__)]
WITH_EXAMPLES = [
    "accuracy",
    "conformity",
    "grammar",
    "kinds",
    "quantity",
    "refusals",
    "temperature",
    "verdict",
    "limit",
    "written",
]


@pytest.mark.parametrize("name", MODULES)
def test_the_examples_in_the_docstrings_are_true(name: str) -> None:
    tried = doctest.testmod(importlib.import_module(name))
    assert tried.failed == 0
    assert tried.attempted > 0 or name.rpartition(".")[2] not in WITH_EXAMPLES


@pytest.mark.parametrize("error", [QuantityError, LimitError, VerdictError, AccuracyError])
def test_every_error_of_the_room_says_what_and_how_to_mend(error: type[MisuseError]) -> None:
    raised = error("this is wrong", "write that")
    assert (raised.message, raised.mend, str(raised)) == (
        "this is wrong",
        "write that",
        "this is wrong; write that",
    )
    assert isinstance(raised, MisuseError)
    assert isinstance(raised, ValueError)


def test_the_room_loads_nothing_that_makes_the_hook_slow() -> None:
    code = f"import sys\nfor name in {MODULES}: __import__(name)\nprint(*sys.modules)"
    loaded = subprocess.run(
        [sys.executable, "-S", "-c", code], capture_output=True, text=True, check=True
    ).stdout.split()
    assert "jobkit.units.limit" in loaded
    assert not {"dataclasses", "inspect", "difflib", "statistics", "fractions"} & set(loaded)
