"""Findings as SARIF, the format in which code hosts and editors take in what a checker found.

Source: OASIS, Static Analysis Results Interchange Format (SARIF) Version 2.1.0, Plus Errata 01, 2023. Paragraphs are
named where they settle something.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator, Sequence
from hashlib import sha256
from urllib.parse import quote

from jobkit import __version__
from jobkit.jobs.finding import Finding
from jobkit.lint.documentation import PARTS, explain, with_capital
from jobkit.lint.registry import Rule
from jobkit.lint.rules.catalogue import all_rules
from jobkit.pages.forms.data import Data, as_json

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"


def as_sarif(findings: Sequence[Finding], prefix: str = "") -> str:
    """Write one run of lint; `prefix` is the book's folder in its repository."""
    rules = all_rules()
    names = sorted({finding.rule for finding in findings})
    driver = {
        "name": "jobkit",
        "version": __version__,
        "rules": [_descriptor(rules[name]) for name in names],
    }
    run = {
        "tool": {"driver": driver},
        # 3.14.17: columns are counted in characters, as an editor shows them.
        "columnKind": "unicodeCodePoints",
        "results": [
            _result(finding, names.index(finding.rule), prefix, fingerprint)
            for finding, fingerprint in zip(findings, _fingerprints(findings), strict=True)
        ],
    }
    return as_json({"$schema": SCHEMA, "version": "2.1.0", "runs": [run]})


def _descriptor(rule: Rule) -> Data:
    """Describe a rule: 3.49, reportingDescriptor object."""
    said = explain(rule)
    parts = list(zip(PARTS, (said.finds, said.matters, said.mend, said.example), strict=True))
    return {
        "id": rule.name,
        "shortDescription": {"text": said.fault},
        "fullDescription": {"text": said.finds},
        "help": {
            "text": "\n\n".join(f"{head}: {text}" for head, text in parts),
            "markdown": "\n\n".join(f"**{head}.** {text}" for head, text in parts),
        },
        "defaultConfiguration": {"level": rule.level},
    }


def _result(finding: Finding, index: int, prefix: str, fingerprint: str) -> Data:
    """Write one finding: 3.27, result object; its levels have the names of jobkit's (3.27.10)."""
    region = {"startLine": finding.line, "startColumn": finding.column}
    artifact = {"uri": quote(os.fsencode(prefix + finding.file))}
    told = {"job": finding.job, "about": finding.about, "commit": finding.commit}
    return {
        "ruleId": finding.rule,
        "ruleIndex": index,
        "level": finding.level,
        "message": {"text": _sentences(finding.message, finding.mend)},
        "locations": [{"physicalLocation": {"artifactLocation": artifact, "region": region}}],
        "partialFingerprints": {"jobkit/v1": fingerprint},
        "properties": {key: value for key, value in told.items() if value},
    }


def _sentences(*texts: str) -> str:
    """Put texts together as sentences: 3.11.3 wants a message that reads as one."""
    return " ".join(f"{with_capital(text).rstrip('.')}." for text in texts if text)


def _fingerprints(findings: Sequence[Finding]) -> Iterator[str]:
    """Tell each finding by what it says, so that it is the same one when its line moves: 3.27.17.

    The same mistake at several places of a file is told apart by its number among them, from the top of the file.
    """
    among: Counter[tuple[str, ...]] = Counter()
    for finding in findings:
        told = (finding.commit, finding.rule, finding.file, finding.about, finding.message)
        number = f"\0{among[told]}" if among[told] else ""
        among[told] += 1
        yield sha256(os.fsencode("\0".join(told[1:]) + number)).hexdigest()
