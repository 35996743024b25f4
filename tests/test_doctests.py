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


@pytest.mark.parametrize("name", MODULES)
def test_docstring_examples(name: str) -> None:
    assert doctest.testmod(importlib.import_module(name)).failed == 0
