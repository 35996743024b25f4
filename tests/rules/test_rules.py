"""Each rule has documentation in four parts, and an example pair that shows it alone.

The pairs are in tests/rules/<rule>/: `good*.toml` and `bad*.toml` are one file each: a job, a board file, bench.toml,
meters.toml or stock.toml, told by its content, and are laid over the sound book in tests/lint/book. Where a rule needs
more, the pair is folders of files (`good-1/`, `bad-1/`). In a bad one the rule finds something, and no other rule does;
in a good one nothing is found. What the findings say is in tests/golden/rules.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from jobkit.lint.documentation import PARTS, explain
from jobkit.lint.registry import RULES
from jobkit.lint.rules.catalogue import MODULES, all_rules
from tests.lint.laid import example, found_in, lay
from tests.lint.said import file_name, said

HERE = Path(__file__).parent
EXAMPLES = sorted(
    place
    for place in HERE.glob("*/*")
    if place.parent.name != "__pycache__" and place.name.startswith(("good", "bad"))
)

# Two files of one name lie in two folders, and the id tells the year of one folder only.
ALONG = {"id-twice": {"year-mismatch"}}

RULE = pytest.mark.parametrize("name", RULES)


@RULE
def test_documentation_has_its_parts(name: str) -> None:
    said = explain(RULES[name])
    assert said.fault.endswith(".")
    assert len(said.fault) <= 100
    for part, text in zip(PARTS, (said.finds, said.matters, said.mend, said.example), strict=True):
        assert text, f"{name} lacks the part {part}"
        assert text.endswith((".", ".)")), f"{part} of {name} is not a sentence"


@RULE
def test_documentation_has_no_other_parts(name: str) -> None:
    """A part whose head is misspelt would be shown to nobody."""
    heads = [part.split(": ")[0] for part in RULES[name].text.split("\n\n")[1:]]
    assert [" ".join(head.split()) for head in heads] == list(PARTS)


@RULE
def test_a_rule_has_a_good_and_a_bad_example(name: str) -> None:
    kinds = {place.name[:3] for place in EXAMPLES if place.parent.name == name}
    assert kinds == {"goo", "bad"}


def test_every_example_belongs_to_a_rule() -> None:
    assert {place.parent.name for place in EXAMPLES} <= set(RULES)


@pytest.mark.parametrize("place", EXAMPLES, ids=lambda place: f"{place.parent.name}/{place.name}")
def test_an_example_shows_its_rule_alone(
    place: Path, tmp_path: Path, golden: Callable[[str, str], None]
) -> None:
    found = found_in(lay(tmp_path / "book", example(place)))
    rules = {finding.rule for finding in found}
    if place.name.startswith("good"):
        assert rules == set(), found
    else:
        assert rules == {place.parent.name} | ALONG.get(place.parent.name, set()), found
        golden(f"rules/{file_name(f'{place.parent.name} {place.stem}')}", said(found))


def test_the_catalogue_has_every_rule_once_by_what_it_guards() -> None:
    assert sorted(all_rules()) == sorted(RULES)
    assert [one.__doc__ for one in MODULES if not one.__doc__] == []
