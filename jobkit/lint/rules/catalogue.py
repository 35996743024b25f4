"""All rules, by name. A new module of rules is named here once."""

from __future__ import annotations

from functools import cache
from types import ModuleType

from jobkit.lint.registry import RULES, Rule
from jobkit.lint.rules import (
    agreed,
    bench_names,
    billing,
    boards,
    comebacks,
    currencies,
    dates,
    dry_parts,
    files,
    heat,
    heat_logs,
    identity,
    invoices,
    load_logs,
    memory_logs,
    meters,
    names,
    pads,
    parts,
    personal,
    power,
    readings,
    release,
    sealed,
    settings,
    stock,
    terms,
    waivers,
)

MODULES: tuple[ModuleType, ...] = (
    files,
    personal,
    identity,
    comebacks,
    names,
    bench_names,
    dates,
    readings,
    meters,
    heat,
    heat_logs,
    pads,
    parts,
    dry_parts,
    power,
    release,
    load_logs,
    memory_logs,
    sealed,
    agreed,
    currencies,
    billing,
    invoices,
    terms,
    stock,
    boards,
    settings,
    waivers,
)
"""Each guards one thing, and says which in the first line of its docstring."""


@cache
def all_rules() -> dict[str, Rule]:
    """Give every rule, in the order of the modules and of the functions in them; not to be changed."""
    order = [_group(module) for module in MODULES]
    return {made.name: made for made in sorted(RULES.values(), key=lambda made: order.index(made.group))}


def guards() -> dict[str, str]:
    """Say what the rules of each group guard."""
    return {_group(module): (module.__doc__ or "").split("\n")[0] for module in MODULES}


def _group(module: ModuleType) -> str:
    return module.__name__.rpartition(".")[2]
