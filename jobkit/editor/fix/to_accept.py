"""A finding accepted: a waiver or an amendment with its time and its writer, the reason left to you."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from jobkit.book import edit
from jobkit.book.edit import Value
from jobkit.editor.fix.change import Change
from jobkit.editor.shown.open_book import Writer
from jobkit.jobs.finding import Finding
from jobkit.lint.rules.catalogue import all_rules


def to_accept(finding: Finding, writer: Writer) -> Iterator[Change]:
    """Yield the entry that accepts a finding of a job; lint finds it as long as its reason is empty."""
    if finding.rule == "sealed":
        entry: dict[str, Value] = {**writer.entry(), "why": ""}
        yield Change(
            "Add [[amended]] and fill in why", partial(edit.append_entry, table="amended", entry=entry)
        )
    elif all_rules()[finding.rule].waivable:
        about = {"about": finding.about} if finding.about else {}
        waiver: dict[str, Value] = {**writer.entry(), "rule": finding.rule, **about, "why": ""}
        subject = f" about {finding.about}" if finding.about else ""
        yield Change(
            f"Waive {finding.rule}{subject} and fill in why",
            partial(edit.append_entry, table="waive", entry=waiver),
        )
