"""The schemas of the JSON answers: the keys that the design fixes are required, and more may be added anywhere."""

import json
from collections.abc import Iterator
from typing import Any

import pytest

from jobkit.cli.start.app import COMMANDS, command_named
from tests.books import EXAMPLE
from tests.conftest import Run
from tests.schema.schemas import ANSWERS, Schema, fast, parts, resolved, schema, thorough

# The keys of each answer, which stay as they are, and those of the rows in it ("findings" are rows of "lint").
FIXED: dict[str, dict[str, str]] = {
    "lint": {
        "": "files errors warnings notes findings",
        "findings": "rule level file line column job about message mend",
    },
    "rules": {"": "rules", "rules": "rule level waivable guards fault"},
    "verdict": {
        "": "value low high verdict uncertainty margin rule inside_probability",
        "value": "value unit text",
    },
    "memory": {
        "": "log design job width words errors failing rows skipped guesses untested channels",
        "channels": "channel part place rails words errors lines faults never_written_as_0 never_written_as_1",
        "channels/lines": "line ball read_0_as_1 read_1_as_0 share fault partner how maybe_with agrees always sure "
        "next pad",
        "channels/faults": "fault words bytes sure next",
        "skipped": "count examples",
    },
    "load": {"": "verdict checks sensors", "checks": "name place value limit verdict"},
    "heat": {"": "verdict checks columns", "checks": "name place column value limit verdict why"},
    "summarise": {
        "": "jobs",
        "jobs": "id title client design status waiting outcome received sent age_days cause",
    },
    "week": {
        "": "week from to received finished sent comebacks on_the_bench on_the_way hours charged turnaround_days",
        "turnaround_days": "n median p90",
    },
    "due": {"": "items", "items": "on days what job why"},
    "queue": {
        "": "on jobs plan",
        "plan": "minutes steps left",
        "plan/steps": "job step start end alone assumed why",
        "jobs": "id title status promised age_days step minutes alone waits_for",
    },
    "warranty": {"": "job covered first_day last_day days_left chain rule"},
    "report": {
        "": "job on bench client name board outcome ending received complaint cause work readings proof parts total "
        "credited open warranty correspondence fate cautions",
        "board": "kind design serial",
        "work": "on what",
        "readings": "point kind state before after",
        "warranty": "state first_day last_day",
    },
    "report-intake": {
        "": "job on bench client name board received complaint condition came_with word_by promised ceiling "
        "if_not_repaired terms",
    },
    "report-quote": {
        "": "job on bench client name board proposal net tax gross to_pay ceiling if_declined holds_until terms",
    },
    "report-message": {"": "job on client about language subject text"},
    "usual": {
        "": "points",
        "points": "point manner unit scale n mean sd median lowest highest interval range_confidence jobs bound",
        "points/interval": "low high content confidence factor",
    },
    "suspects": {
        "": "job design documented none_of_these suspects next held_back unread outside near contradictions set_aside "
        "unexplained unknown",
        "suspects": "cause part from weight probability supports contradicts",
        "next": "check state gain_bits minutes gain_per_minute how",
        "held_back": "check state gain_bits minutes gain_per_minute how",
    },
    "suspects-design": {
        "": "design on jobs causes",
        "causes": "cause boards share interval jobs",
        "causes/interval": "low high confidence",
    },
    "suspects-why": {
        "": "job cause probability weight weights odds factors alone total sets rest",
        "factors": "observation sum factor",
        "sets": "causes probability",
    },
    "comebacks": {
        "": "jobs comebacks rate interval by_found curve",
        "interval": "low high confidence",
        "curve": "day at_risk comebacks survival low high",
    },
    "trail": {
        "": "job shallow trail",
        "trail": "commit at by subject changes",
        "trail/changes": "what change text at",
    },
    "diff": {
        "": "from to jobs files",
        "jobs": "job title path was_path changes",
        "jobs/changes": "what change text at",
        "files": "path changes",
        "files/changes": "what change text at",
    },
    "bill": {"": "lines net tax gross currency", "lines": "what quantity each net tax gross"},
    "earnings": {
        "": "by rows all left_out",
        "rows": "group jobs hours billed parts left per_hour currency",
        "left_out": "job why",
    },
    "label": {"": "job lines code"},
    "show": {
        "": "id title client design serial status waiting next_step outcome dates readings seen trials course release "
        "price correspondence minutes earlier unread",
        "readings": "at stage point kind state value limit verdict meter",
        "readings/value": "value unit text",
        "seen": "at check failed passed what log",
        "trials": "at run minutes result log",
        "course": "at sort what details minutes by",
        "release": "name done",
        "price": "quoted ceiling charged lines credits payments discounts refunds owed",
        "correspondence": "at by with text",
    },
    "show-design": {
        "": "design kind what processor rails points checks memory",
        "rails": "name nominal made_from through feeds",
        "points": "name where rail limits",
        "points/limits": "kind state to limit",
        "checks": "name minutes state covers how",
        "memory": "part channels place",
    },
    "stock": {"": "items", "items": "item on_hand used reorder_at short"},
}


def _table(whole: Schema, path: str) -> Schema:
    found = whole
    for key in filter(None, path.split("/")):
        found = resolved(found["properties"][key], whole)
        found = resolved(found["items"], whole) if found.get("type") == "array" else found
    return found


@pytest.mark.parametrize(
    ("command", "path", "keys"),
    [(command, path, keys) for command, tables in FIXED.items() for path, keys in tables.items()],
)
def test_fixed_keys_are_required(command: str, path: str, keys: str) -> None:
    table = _table(schema(f"answers/{command}"), path)
    assert table["required"] == keys.split()
    assert list(table["properties"]) == keys.split()


def test_each_answer_has_its_schema() -> None:
    assert set(FIXED) == set(ANSWERS)


@pytest.mark.parametrize("command", ANSWERS)
def test_more_keys_may_be_added_everywhere(command: str) -> None:
    closed = [
        where
        for where, part in parts(schema(f"answers/{command}"))
        if part.get("additionalProperties") is False
    ]
    assert closed == []


def _without_one_key(answer: Any, whole: Schema, part: Schema) -> Iterator[Any]:
    """Take away, one by one, each key that is fixed, at every depth."""
    part = resolved(part, whole)
    if isinstance(answer, list):
        for number, row in enumerate(answer):
            for less in _without_one_key(row, whole, part["items"]):
                yield [*answer[:number], less, *answer[number + 1 :]]
    if isinstance(answer, dict):
        for key in part.get("required", ()):
            yield {other: value for other, value in answer.items() if other != key}
            for less in _without_one_key(answer[key], whole, part["properties"][key]):
                yield {**answer, key: less}


@pytest.mark.parametrize("command", ANSWERS)
def test_the_example_is_valid_and_needs_each_of_its_fixed_keys(command: str) -> None:
    whole = schema(f"answers/{command}")
    (example,) = whole["examples"]
    assert fast(f"answers/{command}").is_valid({**example, "one_more_key": 1})
    broken = list(_without_one_key(example, whole, whole))
    assert len(broken) >= len(whole["required"])
    for less in broken:
        assert not fast(f"answers/{command}").is_valid(less), less
        assert not thorough(f"answers/{command}").is_valid(less), less


LOADS = EXAMPLE / "jobs/2026/K26-0046"
CALLS = {
    "lint": (["lint"], ["lint", "47", "--strict"]),
    "rules": (["rules"], ["rules", "sealed"]),
    "verdict": (["verdict", "5 ohm", "4 .. 6 ohm"], ["verdict", "5 ohm", "4 .. 6 ohm", "--meter", "dmm-1"]),
    "memory": (["memory", EXAMPLE / "jobs/2026/K26-0028/memory.csv"],),
    "load": (["load", LOADS / "load.csv"], ["load", LOADS / "load-arrival.csv", LOADS / "load.csv"]),
    "heat": (["heat", "26"], ["heat", EXAMPLE / "jobs/2026/K26-0047/heat-q214.csv"]),
    "summarise": (["summarise"],),
    "week": (["week"],),
    "due": (["due"],),
    "queue": (["queue"], ["queue", "--hours", "4"]),
    "warranty": (["warranty", "47"], ["warranty", "35"]),
    "report": (["report", "47"], ["report", "49"]),
    "report-intake": (["report", "61", "--for", "intake"], ["report", "47", "--for", "intake"]),
    "report-quote": (["report", "55", "--for", "quote"], ["report", "47", "--for", "quote"]),
    "report-message": (["report", "55", "--for", "message"], ["report", "47", "--for", "message"]),
    "bill": (["bill", "42"], ["bill", "55", "--breakdown"], ["bill", "42", "--credit-note", "K26-R-0003"]),
    "earnings": (["earnings"], ["earnings", "--by", "work"]),
    "stock": (["stock"], ["stock", "--reorder"], ["stock", "--donors"]),
    "usual": (["usual", "tarnhow-t7-16"], ["usual", "tarnhow-t7-16", "--point", "VCORE"]),
    "comebacks": (["comebacks"],),
    "trail": (["trail", "47"],),
    "diff": (["diff"],),
    "suspects": (["suspects", "61"], ["suspects", "62"]),
    "suspects-design": (["suspects", "--design", "tarnhow-t7-16"],),
    "suspects-why": (["suspects", "61", "--why", "U3 or its joints"],),
    "label": (["label", "47"],),
    "show": (["show", "47"], ["show", "28"], ["show", "55"], ["show", "41"]),
    "show-design": (["show", "--design", "tarnhow-t7-16"],),
}
"""Calls that give each answer, on the example book."""


def answering_commands() -> Iterator[str]:
    for name in COMMANDS:
        command = command_named(name)
        assert command is not None
        if any("--format" in one.opts and "json" in (one.metavar or "").split("|") for one in command.params):
            yield name


def test_each_command_that_answers_in_json_has_a_schema_and_is_called() -> None:
    assert {answer.partition("-")[0] for answer in ANSWERS} == set(answering_commands())
    assert set(CALLS) == set(ANSWERS)


@pytest.mark.parametrize(
    ("answer", "words"), [(answer, words) for answer, calls in CALLS.items() for words in calls]
)
def test_what_is_printed_keeps_to_the_schema(answer: str, words: list[Any], run: Run) -> None:
    command = command_named(answer.partition("-")[0])
    assert command is not None
    takes = {name for option in command.params for name in option.opts}
    more = [*(["--on", "2026-11-20"] if "--on" in takes else []), "--book", EXAMPLE]
    ran = run(*words, *(more if "--book" in takes else []), "--format", "json")
    assert ran.status in {0, 1}, ran.err
    thorough(f"answers/{answer}").validate(json.loads(ran.out))
