"""Every example in a docstring is run."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import pytest

import jobkit

MODULES = [
    found.name
    for found in pkgutil.walk_packages(jobkit.__path__, "jobkit.")
    if not found.name.endswith("__main__")
]
EXAMPLES = [
    example
    for name in MODULES
    for example in doctest.DocTestFinder().find(importlib.import_module(name), name)
    if example.examples
]


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.name)
def test_docstring_example(example: doctest.DocTest) -> None:
    assert doctest.DocTestRunner().run(example).failed == 0


def test_there_are_examples() -> None:
    assert len(EXAMPLES) > 40
