"""`jobkit rules`: the catalogue, one rule explained, and the README's copy."""

from __future__ import annotations

import re
from pathlib import Path

import jsonschema
import pytest

from jobkit.lint.rules.catalogue import all_rules
from tests.conftest import Run
from tests.schema.schemas import schema

README = Path(__file__).parents[2] / "README.md"


def test_the_list_names_every_rule_with_level_and_fault(run: Run) -> None:
    ran = run("rules")
    assert ran.status == 0
    for rule in all_rules().values():
        assert re.search(rf"^{rule.name} +{rule.level} ", ran.out, re.MULTILINE), rule.name
    assert "Ids, files and folders\n" in ran.out


@pytest.mark.parametrize("form", ["text", "markdown"])
def test_a_rule_is_explained_in_its_four_parts(run: Run, form: str) -> None:
    out = run("rules", "pad-open", "--format", form).out
    heads = ["What it finds", "Why it matters", "How to fix", "Example"]
    assert [head for head in heads if head in out] == heads
    assert "pad-open" in out
    assert 'carries = "no-connect"' in " ".join(out.split())


def test_a_mistyped_rule_is_answered_with_the_nearest(run: Run) -> None:
    ran = run("rules", "pad-opened")
    assert (ran.status, ran.out) == (2, "")
    assert 'write "pad-open"' in ran.err


@pytest.mark.parametrize("words", [(), ("pad-open",)], ids=["all", "one"])
def test_json_keeps_to_its_schema(run: Run, words: tuple[str, ...]) -> None:
    data = run("rules", *words, "--format", "json").data
    jsonschema.Draft202012Validator(schema("answers/rules")).validate(data)
    assert len(data["rules"]) == (1 if words else len(all_rules()))


def test_the_readme_has_the_catalogue_as_it_is_generated(run: Run) -> None:
    """Renew it with `jobkit rules --format markdown`, between the two marks."""
    found = re.search(r"<!-- rules -->\n\n(.*?)\n*<!-- /rules -->", README.read_text("utf-8"), re.DOTALL)
    assert found, "README.md lacks the section between <!-- rules --> and <!-- /rules -->"
    assert found[1] == run("rules", "--format", "markdown").out.rstrip("\n")
