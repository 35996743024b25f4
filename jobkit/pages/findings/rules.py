"""The catalogue of rules, and one rule explained."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import groupby

from jobkit.lint.documentation import PARTS, Explained
from jobkit.pages.blocks import Answer, Block, Line, Table, Title
from jobkit.pages.forms.data import Data

_HEADS = ("rule", "level", "what is wrong")


def rules_page(rules: Iterable[Explained], guards: Mapping[str, str]) -> Answer:
    """List the rules by what they guard; `guards` says that of each group."""
    known = tuple(rules)
    page: list[Block] = []
    for group, members in groupby(known, key=lambda one: one.rule.group):
        page += [Title(guards[group].rstrip("."), 3), Table(_HEADS, [_row(one) for one in members])]
    data = {"rules": [_summary(one, guards) for one in known]}
    return Answer(page, data, Table(_HEADS, [_row(one) for one in known]))


def rule_page(rule: Explained, guards: Mapping[str, str]) -> Answer:
    """Explain one rule."""
    texts = (rule.finds, rule.matters, rule.mend, rule.example)
    level = f"{rule.rule.level}{'' if rule.rule.waivable else ', cannot be waived'}"
    page: list[Block] = [Title(f"{rule.rule.name} ({level})", 1), Line(rule.fault)]
    for head, text in zip(PARTS, texts, strict=True):
        page += [Title(head), Line(text)]
    more = dict(zip(("finds", "matters", "mend", "example"), texts, strict=True))
    data = {"rules": [{**_summary(rule, guards), **more}]}
    return Answer(page, data, own={"markdown": lambda: _as_markdown(rule, texts, level)})


def _as_markdown(rule: Explained, texts: tuple[str, ...], level: str) -> str:
    """Write the docstring as it is: it is Markdown already."""
    parts = [f"# {rule.rule.name}", f"Level: {level}. {rule.fault}"]
    parts += [f"**{head}.** {text}" for head, text in zip(PARTS, texts, strict=True)]
    return "\n\n".join(parts) + "\n"


def _row(one: Explained) -> tuple[str, ...]:
    return one.rule.name, one.rule.level, one.fault.rstrip(".")


def _summary(one: Explained, guards: Mapping[str, str]) -> Data:
    return {
        "rule": one.rule.name,
        "level": one.rule.level,
        "waivable": one.rule.waivable,
        "guards": guards[one.rule.group].rstrip("."),
        "fault": one.fault,
    }
