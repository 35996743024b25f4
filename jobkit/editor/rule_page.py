"""The page of a rule as a file, so that an editor can open it from a finding."""

from __future__ import annotations

from functools import cache

from jobkit.book.cache.folder import kept_page
from jobkit.lint.documentation import explain
from jobkit.lint.rules.catalogue import all_rules, guards
from jobkit.pages.findings.rules import rule_page


@cache
def rule_page_text(rule: str) -> str:
    """Return the page of a rule as Markdown."""
    return rule_page(explain(all_rules()[rule]), guards()).own["markdown"]()


@cache
def rule_page_uri(rule: str) -> str | None:
    """Return the address of a file with the page of a rule; None where none can be written."""
    place = kept_page(f"rule-{rule}.md", rule_page_text(rule))
    return place.as_uri() if place else None
