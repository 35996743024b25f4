"""The schemas of the JSON answers: the keys that the design fixes are required, and more may be added anywhere."""

from collections.abc import Iterator
from typing import Any

import pytest

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
        "open warranty correspondence fate cautions",
        "board": "kind design serial",
        "work": "on what",
        "readings": "point kind state before after",
        "warranty": "state first_day last_day",
    },
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
