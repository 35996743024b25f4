"""The packages that jobkit needs to run, and those that they need, as they are installed here."""

from __future__ import annotations

import re
import tomllib
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path
from typing import NamedTuple

from packaging.requirements import Requirement

PYPROJECT = Path(__file__).parent.parent.parent / "pyproject.toml"

FREE = ("MIT", "BSD", "Apache", "ISC", "PSF", "Python Software Foundation", "MPL", "Mozilla", "Unlicense")
"""Words of licences under which a package may be used and passed on beside a program under MIT."""


class Package(NamedTuple):
    """A package: its version here, its licence, and whether jobkit names it itself."""

    name: str
    version: str
    licence: str
    is_direct: bool


def required() -> list[Requirement]:
    """Read what pyproject.toml says jobkit needs to run."""
    project = tomllib.loads(PYPROJECT.read_text("utf-8"))["project"]
    return [Requirement(line) for line in project["dependencies"]]


def optional() -> list[Requirement]:
    """Read what pyproject.toml says the extras need that people install: all but those for tests and the benchmark."""
    extras = tomllib.loads(PYPROJECT.read_text("utf-8"))["project"]["optional-dependencies"]
    return [
        Requirement(line)
        for extra, lines in extras.items()
        if extra not in {"test", "bench"}
        for line in lines
    ]


def needed() -> list[Package]:
    """List what has to be installed for jobkit to run, by name."""
    found: dict[str, Package] = {}
    waiting = [(one, True) for one in required()]
    while waiting:
        one, is_direct = waiting.pop(0)
        name = re.sub(r"[-_.]+", "-", one.name).lower()
        if name in found or (one.marker and not one.marker.evaluate({"extra": ""})):
            continue
        try:
            there = distribution(name)
        except PackageNotFoundError:
            continue  # only for another system or an extra
        found[name] = Package(name, there.version, _licence(name), is_direct)
        waiting += [(Requirement(line), False) for line in there.requires or ()]
    return sorted(found.values())


def lowest(requirement: Requirement) -> str:
    """Give the oldest version that a requirement allows, as pip wants it; "" for one without a lower bound.

    >>> lowest(Requirement("typer>=0.16,<0.25"))
    'typer==0.16'
    """
    bounds = [one.version for one in requirement.specifier if one.operator == ">="]
    return f"{requirement.name}=={bounds[0]}" if bounds else ""


def _licence(name: str) -> str:
    """Give the licence that a package states: as an SPDX expression, in words, or by its classifier."""
    told = distribution(name).metadata
    classified = [
        line.split(" :: ")[-1] for line in told.get_all("Classifier") or () if line.startswith("License ::")
    ]
    expression, words = ((told.get_all(key) or [""])[0] for key in ("License-Expression", "License"))
    said = expression or words.strip().split("\n")[0]
    return said if said and len(said) < 60 else next(iter(classified), "")
