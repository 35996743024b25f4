"""The whole book as pure data."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from jobkit.jobs.design import Design
from jobkit.jobs.facts import Facts
from jobkit.jobs.meter import Meter
from jobkit.jobs.settings import Settings
from jobkit.jobs.stock import Item


class Bench(NamedTuple):
    """What the bench knows: its settings, meters, stock, designs, and the facts of every job.

    The mappings are by name; `paths` are all files of the book, relative to it, so that a rule can ask whether an
    attachment is there.
    """

    settings: Settings = Settings()
    meters: Mapping[str, Meter] = {}
    stock: Mapping[str, Item] = {}
    designs: Mapping[str, Design] = {}
    facts: tuple[Facts, ...] = ()
    paths: frozenset[str] = frozenset()
