"""Findings in each format: lines for people, and the forms that other programs read."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.jobs.finding import LEVELS, Finding
from jobkit.lint.rules.catalogue import all_rules
from jobkit.lint.run.report import Commit, Report
from jobkit.pages.findings.report import FORMATS, Look
from jobkit.units.errors import in_lines, in_one_line
from tests.schema.schemas import schema

# The schema of SARIF 2.1.0, release candidate rtm.5, whose content became the standard; as it lies in the npm package
# @microsoft/jest-sarif 1.0.0-beta.0 (MIT), lib/schemas/.
SARIF = json.loads((Path(__file__).parent / "sarif/sarif-2.1.0-rtm.5.json").read_text("utf-8"))

FILE = "jobs/2026/K26-0047.toml"


def finding(**told: Any) -> Finding:
    made = Finding(
        "date-order",
        "error",
        FILE,
        ("dates", "sent"),
        "sent",
        "K26-0047",
        "sent is early",
        "repair it",
        12,
        3,
    )
    return made._replace(**told)


TWO = Report(
    3, (finding(), finding(rule="rail-idle", level="note", job="", about="", mend="", file="boards/b.toml"))
)
HISTORY = Report(
    40,
    (finding(commit="b" * 40),),
    (
        Commit("a" * 40, "2026-10-19", "ida", "Book in K26-0047"),
        Commit("b" * 40, "2026-10-26", "tor", "Send K26-0047"),
    ),
)


def shown(form: str, report: Report, *, colour: bool = False, prefix: str = "") -> str:
    return FORMATS[form](report, Look(colour, prefix))


def test_lines_say_place_level_rule_and_the_way_to_mend() -> None:
    assert shown("text", TWO) == (
        "jobs/2026/K26-0047.toml:12:3: error date-order: sent is early\n"
        "    repair it\n"
        "boards/b.toml:12:3: note rail-idle: sent is early\n"
        "3 files: 1 error, 1 note\n"
    )


def test_lines_without_findings_are_one() -> None:
    assert shown("text", Report(1, ())) == "1 file: no problems found\n"


def test_levels_are_coloured_where_colour_is_wanted() -> None:
    assert "\033[31merror\033[0m date-order" in shown("text", TWO, colour=True)


def test_a_history_stands_below_its_commits_and_leaves_out_the_sound_ones() -> None:
    assert shown("text", HISTORY) == (
        "commit bbbbbbbbbb of 2026-10-26 by tor: Send K26-0047\n"
        "jobs/2026/K26-0047.toml:12:3: error date-order: sent is early\n"
        "    repair it\n"
        "2 commits, 40 files: 1 error\n"
    )


@pytest.mark.parametrize("report", [TWO, HISTORY, Report(0, ())], ids=["two", "history", "none"])
def test_json_keeps_to_its_schema(report: Report) -> None:
    data = json.loads(shown("json", report))
    jsonschema.Draft202012Validator(schema("answers/lint")).validate(data)
    assert len(data["findings"]) == len(report.findings)


def test_json_has_null_where_there_is_no_job_and_names_the_commit_of_a_history() -> None:
    assert [one["job"] for one in json.loads(shown("json", TWO))["findings"]] == ["K26-0047", None]
    data = json.loads(shown("json", HISTORY))
    assert [one["commit"] for one in data["findings"]] == ["b" * 40]
    assert [one["subject"] for one in data["commits"]] == ["Book in K26-0047", "Send K26-0047"]


words = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=12)
findings = st.builds(
    Finding,
    st.sampled_from(sorted(all_rules())),
    st.sampled_from(LEVELS),
    words,
    st.just(()),
    words,
    words,
    words,
    words,
    st.integers(1, 10**6),
    st.integers(1, 500),
)


def test_the_sarif_schema_is_the_published_one() -> None:
    assert SARIF["title"] == "Static Analysis Results Format (SARIF) Version 2.1.0-rtm.5 JSON Schema"
    assert not jsonschema.Draft4Validator(SARIF).is_valid({"version": "2.1.0"})


@given(st.lists(findings, max_size=3), st.sampled_from(["", "bench/", "ein ordner/ü/"]))
def test_sarif_is_valid_and_says_what_was_found(some: list[Finding], prefix: str) -> None:
    data = json.loads(shown("sarif", Report(1, tuple(some)), prefix=prefix))
    jsonschema.Draft4Validator(SARIF).validate(data)
    (run,) = data["runs"]
    described = [one["id"] for one in run["tool"]["driver"]["rules"]]
    assert described == sorted({one.rule for one in some})
    for one, result in zip(some, run["results"], strict=True):
        assert (result["ruleId"], result["level"]) == (one.rule, one.level)
        assert described[result["ruleIndex"]] == one.rule
        (location,) = result["locations"]
        place = location["physicalLocation"]
        assert unquote(place["artifactLocation"]["uri"]) == prefix + one.file
        assert place["region"] == {"startLine": one.line, "startColumn": one.column}


def test_sarif_knows_a_finding_again_when_its_line_has_moved() -> None:
    before, after = (finding(), finding(about="paid")), (finding(line=40), finding(about="paid", line=50))
    assert fingerprints(before) == fingerprints(after)


def fingerprints(found: tuple[Finding, ...]) -> list[str]:
    (run,) = json.loads(shown("sarif", Report(1, found)))["runs"]
    return [one["partialFingerprints"]["jobkit/v1"] for one in run["results"]]


def test_sarif_tells_the_same_mistake_at_several_places_apart() -> None:
    several = fingerprints((finding(), finding(line=40), finding(line=60), finding(about="paid")))
    assert len(set(several)) == 4
    fewer = fingerprints((finding(line=40), finding(line=60), finding(about="paid")))
    assert set(fewer) < set(several)


def test_sarif_has_the_same_finding_in_two_commits_as_one() -> None:
    first, second = fingerprints((finding(commit="a" * 40), finding(commit="b" * 40)))
    assert first == second


def test_sarif_explains_each_rule_it_names() -> None:
    (rule,) = json.loads(shown("sarif", Report(1, (finding(),))))["runs"][0]["tool"]["driver"]["rules"]
    assert rule["shortDescription"]["text"] == "Dates run backwards."
    assert "**How to fix.**" in rule["help"]["markdown"]


def test_github_lines_name_file_and_place_below_the_repository() -> None:
    assert shown("github", TWO, prefix="bench/").split("\n") == [
        "::error file=bench/jobs/2026/K26-0047.toml,line=12,col=3,title=date-order::sent is early%0Arepair it",
        "::notice file=bench/boards/b.toml,line=12,col=3,title=rail-idle::sent is early",
        "3 files: 1 error, 1 note",
        "",
    ]


def unescaped(text: str) -> str:
    for code, letter in (("%0D", "\r"), ("%0A", "\n"), ("%3A", ":"), ("%2C", ","), ("%25", "%")):
        text = text.replace(code, letter)
    return text


@given(findings)
def test_github_commands_can_be_read_back_whatever_is_in_them(one: Finding) -> None:
    """As GitHub reads them: up to the second "::" properties parted by commas, then the message, all on one line."""
    line = shown("github", Report(1, (one,))).split("\n")[0]
    found = re.fullmatch(r"::(error|warning|notice) ([^\r\n]*?)::([^\r\n]*)", line)
    assert found
    properties = dict(pair.split("=", 1) for pair in found[2].split(","))
    assert unescaped(properties["file"]) == in_one_line(one.file)
    assert (properties["line"], properties["col"]) == (str(one.line), str(one.column))
    assert unescaped(found[3]) == in_lines(f"{one.message}\n{one.mend}")
