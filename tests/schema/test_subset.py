"""The schemas keep to what validators and editors understand alike, and every property can be read as hover text."""

import json
from collections.abc import Iterator

import jsonschema
import jsonschema_rs
import pytest

from jobkit.units.kinds import KINDS as KINDS_OF_READING
from tests.schema.schemas import ANSWERS, FOLDER, KINDS, TABLES, Schema, every_name, parts, resolved, schema

# What two TOML language servers were seen to understand; anything else is refused here before an editor stumbles.
KNOWN = {
    "$schema", "$ref", "$defs", "title", "description", "examples", "default",
    "type", "enum", "const", "pattern", "format", "minLength",
    "minimum", "exclusiveMinimum", "maximum",
    "properties", "required", "additionalProperties", "items",
    "allOf", "if", "then",
}  # fmt: skip
FORMATS = {"date", "date-time-local"}
LEAVES = {"string", "number", "integer", "boolean"}


def _properties(name: str) -> Iterator[tuple[str, Schema]]:
    """List the properties that a person can write; what a condition adds to them is not a property of its own."""
    for where, part in parts(schema(name)):
        if "/if" in where or "/then" in where:
            continue
        for key, inner in part.get("properties", {}).items():
            yield f"{where}/properties/{key}", inner


BESIDE = {"$ref", "description", "examples", "default"}
"""What may be beside a reference: words."""


def _faults_of_form(whole: Schema) -> list[str]:
    faults = []
    for where, part in parts(whole):
        faults += [f"{where}: {keyword}" for keyword in part.keys() - KNOWN]
        # allOf around a reference, beside a description, ends a widely used language server at the first completion.
        if "$ref" in part and not (part.keys() <= BESIDE and part["$ref"].startswith("#/$defs/")):
            faults.append(f"{where}: a reference has words beside it alone, and stays in the file")
        if any("$ref" in one for one in part.get("allOf", ())):
            faults.append(f"{where}: a reference is not wrapped in allOf")
        if "allOf" in part and "properties" in part:
            faults.append(f"{where}: beside allOf that server names no properties; put it below a `then`")
        if (
            "properties" in part
            and "/if" not in where
            and "/then" not in where
            and "additionalProperties" not in part
        ):
            faults.append(f"{where}: additionalProperties")
        if "pattern" in part and not (part["pattern"].startswith("^") and part["pattern"].endswith("$")):
            faults.append(f"{where}: a pattern is anchored at both ends")
        if "\\" in part.get("pattern", "") or "(?" in part.get("pattern", ""):
            faults.append(f"{where}: engines differ on escapes such as \\d and on groups with (?")
        if part.get("format", "date") not in FORMATS:
            faults.append(f"{where}: format {part['format']}")
    return faults


def test_no_schema_goes_untested() -> None:
    answers, tables = (f"answers/{command}" for command in ANSWERS), (f"export/{table}" for table in TABLES)
    assert every_name() == sorted([*KINDS, *answers, *tables])


@pytest.mark.parametrize("name", every_name())
def test_schema_is_valid_2020_12(name: str) -> None:
    whole = schema(name)
    assert whole["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(dict(whole))
    jsonschema_rs.meta.validate(dict(whole))


@pytest.mark.parametrize("name", every_name())
def test_schema_keeps_to_the_subset(name: str) -> None:
    assert _faults_of_form(schema(name)) == []


@pytest.mark.parametrize(
    "stranger",
    [
        {"oneOf": [{"type": "string"}]},
        {"properties": {"a": {"anyOf": []}}, "additionalProperties": False},
        {"$defs": {"a": {"dependentRequired": {}}}},
        {"if": {"required": ["a"]}, "then": {"unevaluatedProperties": False}},
        {"properties": {}, "additionalProperties": False, "allOf": [{"if": {}, "then": {}}]},
        {"items": {"$ref": "#/$defs/a", "type": "string"}},
        {"items": {"allOf": [{"$ref": "#/$defs/a"}], "description": "beside it"}},
        {"properties": {"a": {"type": "string"}}},
        {"pattern": "^\\d+$"},
        {"pattern": "[0-9]"},
    ],
    ids=lambda stranger: json.dumps(stranger)[:40],
)
def test_the_walker_finds_what_is_outside_the_subset(stranger: Schema) -> None:
    assert _faults_of_form(stranger)


@pytest.mark.parametrize("name", KINDS)
def test_only_own_and_maps_are_open(name: str) -> None:
    open_places = [where for where, part in parts(schema(name)) if part.get("additionalProperties") is True]
    # A condition lists no properties; the table around it does.
    assert [where for where in open_places if not where.endswith(("/if", "/then"))] == ["/properties/own"]


@pytest.mark.parametrize("name", every_name())
def test_every_property_is_described(name: str) -> None:
    whole = schema(name)
    described = [(where, inner.get("description", "")) for where, inner in _properties(name)]
    assert described
    assert [where for where, text in described if not text.endswith(".")] == []
    assert [where for where, part in whole.get("$defs", {}).items() if "description" not in part] == []
    assert whole["title"]
    assert whole["description"].endswith(".")


def _is_leaf(part: Schema, whole: Schema) -> bool:
    found = resolved(part, whole)
    if "items" in found:
        return _is_leaf(found["items"], whole)
    return "properties" not in found


@pytest.mark.parametrize("name", KINDS)
def test_every_leaf_has_an_example(name: str) -> None:
    whole = schema(name)
    assert [w for w, inner in _properties(name) if _is_leaf(inner, whole) and not inner.get("examples")] == []


@pytest.mark.parametrize("name", every_name())
def test_every_example_is_valid(name: str) -> None:
    whole = schema(name)
    for where, inner in _properties(name):
        alone = jsonschema_rs.validator_for({**inner, "$defs": whole.get("$defs", {})}, validate_formats=True)
        for example in inner.get("examples", ()):
            assert alone.is_valid(example), (where, example)


@pytest.mark.parametrize("name", KINDS)
def test_numbers_and_years_have_bounds(name: str) -> None:
    """Sums of minutes and days, and prices of pieces, stay within what a calendar and a bill can hold."""
    for where, part in parts(schema(name)):
        if {"number", "integer"} & {
            *([named] if isinstance(named := part.get("type"), str) else named or ())
        }:
            assert {"minimum", "exclusiveMinimum"} & part.keys(), where
            assert "maximum" in part, where
        if "format" in part:
            assert part["pattern"].startswith("^(19|20|21)[0-9]{2}-"), where


@pytest.mark.parametrize("name", every_name())
def test_every_definition_is_used(name: str) -> None:
    used = {part["$ref"] for _, part in parts(schema(name)) if "$ref" in part}
    assert used == {f"#/$defs/{key}" for key in schema(name).get("$defs", {})}


def test_what_files_share_is_the_same_in_each() -> None:
    seen: dict[str, Schema] = {}
    for name in KINDS:
        for key, part in schema(name)["$defs"].items():
            if isinstance(part.get("type"), str) and part["type"] in LEAVES:
                assert seen.setdefault(key, part) == part, (name, key)
    assert len(seen) > 20


@pytest.mark.parametrize(
    ("name", "table"), [("job", "reading"), ("meters", "range"), ("board", "point_limit")]
)
def test_kinds_of_reading_are_those_of_the_units(name: str, table: str) -> None:
    assert schema(name)["$defs"][table]["properties"]["kind"]["enum"] == list(KINDS_OF_READING)


def test_the_files_are_laid_out_alike() -> None:
    for path in FOLDER.rglob("*.json"):
        text = path.read_text(encoding="utf-8")
        assert text.endswith("}\n"), path
        assert "\t" not in text, path
        assert max(map(len, text.splitlines())) < 420, path
