"""All rules, by name. A new module of rules is named here once."""

from __future__ import annotations

from types import ModuleType

from jobkit.lint import comebacks, dates, heat, identity, inventory, names, power, readings
from jobkit.lint.registry import RULES, Rule

MODULES: tuple[ModuleType, ...] = (identity, comebacks, names, inventory, dates, readings, heat, power)
"""Each guards one thing, and says which in the first line of its docstring."""


def all_rules() -> dict[str, Rule]:
    """Give every rule, in the order of the modules and of the functions in them."""
    groups = [_group(module) for module in MODULES]
    return {made.name: made for group in groups for made in RULES.values() if made.group == group}


def guards() -> dict[str, str]:
    """Say what the rules of each group guard."""
    return {_group(module): (module.__doc__ or "").split("\n")[0] for module in MODULES}


def _group(module: ModuleType) -> str:
    return module.__name__.rpartition(".")[2]
