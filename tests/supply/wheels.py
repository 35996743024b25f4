"""Which packages have a built file (a wheel) for which system and version of Python: pip asks the package index.

Tags of platforms: Python Packaging User Guide, "Platform compatibility tags".
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from packaging.requirements import Requirement

from tests.supply.packages import needed, optional, required

PYTHONS = ("3.11", "3.12", "3.13", "3.14")
"""The versions that pyproject.toml names."""


def _glibc(machine: str) -> tuple[str, ...]:
    return tuple(f"manylinux{one}_{machine}" for one in ("_2_28", "_2_17", "2014", "_2_5", "1"))


PLATFORMS = {
    "Linux, x86-64": _glibc("x86_64"),
    "Linux, ARM 64": _glibc("aarch64"),
    "Linux, ARM 32": _glibc("armv7l"),
    "Linux with musl, x86-64": ("musllinux_1_2_x86_64", "musllinux_1_1_x86_64"),
    "macOS, Intel": ("macosx_13_0_x86_64",),
    "macOS, Apple silicon": ("macosx_14_0_arm64",),
    "Windows, x86-64": ("win_amd64",),
    "Windows, ARM 64": ("win_arm64",),
}

Ask = Callable[[Sequence[str], str, str], bool]
"""Takes requirements, a version of Python and a platform, and tells whether there are wheels for all of them."""


class Lacking(NamedTuple):
    """A package that has no wheel for a platform with these versions of Python."""

    package: str
    platform: str
    pythons: tuple[str, ...]


def all_packages() -> list[str]:
    """Name what jobkit needs to run and what its extras need, within the bounds of pyproject.toml."""
    declared = {_name(one): f"{_name(one)}{one.specifier}" for one in (*required(), *optional())}
    return sorted({**{one.name: one.name for one in needed()}, **declared}.values())


def lacking(packages: Sequence[str], ask: Ask) -> Iterator[Lacking]:
    """Yield what has no wheel; packages are asked for one by one only where they are not all there."""
    for platform in PLATFORMS:
        without: dict[str, list[str]] = {}
        for python in PYTHONS:
            if not ask(packages, python, platform):
                for package in packages:
                    if not ask([package], python, platform):
                        without.setdefault(package, []).append(python)
        yield from (Lacking(package, platform, tuple(pythons)) for package, pythons in without.items())


def ask_pip(packages: Sequence[str], python: str, platform: str) -> bool:
    """Ask the package index by pip, which downloads nothing but what describes the files."""
    tags = [word for tag in PLATFORMS[platform] for word in ("--platform", tag)]
    with tempfile.TemporaryDirectory() as folder:
        words = ("install", "-q", "--dry-run", "--no-deps", "--only-binary=:all:", "--target", folder)
        command = [sys.executable, "-m", "pip", *words, "--python-version", python, *tags, *packages]
        return subprocess.run(command, capture_output=True, check=False).returncode == 0


def _name(one: Requirement) -> str:
    return one.name.lower().replace("_", "-")


__all__ = ("PLATFORMS", "PYTHONS", "Lacking", "all_packages", "ask_pip", "lacking")
