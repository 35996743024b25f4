"""The schemas as the tests see them: where they lie, what is in them, and the two validators that read them."""

import json
from collections.abc import Iterator, Mapping
from datetime import date, time
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import jsonschema_rs
import rtoml

from jobkit.pages.tables.export import NAMES

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "schema"
DOCUMENTS = Path(__file__).parent / "documents"
KINDS = ("job", "bench", "meters", "stock", "board", "clients")
ANSWERS = (
    "lint", "rules", "verdict", "memory", "load", "heat", "summarise", "week", "due", "queue", "warranty", "report",
    "report-intake", "report-quote", "report-message",
    "bill", "earnings", "stock", "usual", "comebacks", "trail", "diff", "suspects",
    "suspects-design", "suspects-why", "show", "show-design", "label",
)  # fmt: skip

TABLES = NAMES
"""The tables of `jobkit export`."""

Schema = Mapping[str, Any]


@cache
def schema(name: str) -> Schema:
    """Read a schema: a kind of file, or "answers/" and a command."""
    loaded: Schema = json.loads((FOLDER / f"{name}.schema.json").read_text(encoding="utf-8"))
    return loaded


def every_name() -> list[str]:
    """Name each schema that lies in the folder, so that none goes untested."""
    return sorted(
        path.relative_to(FOLDER).as_posix().removesuffix(".schema.json") for path in FOLDER.rglob("*.json")
    )


def resolved(part: Schema, whole: Schema) -> Schema:
    """Follow a local reference; anything else is given back as it is."""
    if "$ref" not in part:
        return part
    found: Schema = whole["$defs"][part["$ref"].removeprefix("#/$defs/")]
    return resolved(found, whole)


def parts(part: object, where: str = "") -> Iterator[tuple[str, Schema]]:
    """Walk over every subschema with its place; what stands in examples, enum and const is data, not schema."""
    if not isinstance(part, dict):
        return
    yield where, part
    for key in ("items", "additionalProperties", "if", "then"):
        yield from parts(part.get(key), f"{where}/{key}")
    for key in ("properties", "$defs"):
        for name, inner in part.get(key, {}).items():
            yield from parts(inner, f"{where}/{key}/{name}")
    for number, inner in enumerate(part.get("allOf", ())):
        yield from parts(inner, f"{where}/allOf/{number}")


def as_iso(value: Any) -> Any:
    """Turn the dates that a TOML parser gives into ISO 8601 text, as the gate does."""
    if isinstance(value, dict):
        return {key: as_iso(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [as_iso(inner) for inner in value]
    return value.isoformat() if isinstance(value, date | time) else value


def document(path: Path) -> Any:
    """Read a TOML file as the schemas see it."""
    return as_iso(rtoml.loads(path.read_text(encoding="utf-8")))


@cache
def fast(name: str) -> jsonschema_rs.Validator:
    """Make the quick validator, the one that bulk reading uses."""
    return jsonschema_rs.validator_for(dict(schema(name)), validate_formats=True)


@cache
def thorough(name: str) -> jsonschema.Draft202012Validator:
    """Make the thorough validator, whose messages are complete."""
    checker = jsonschema.Draft202012Validator.FORMAT_CHECKER
    return jsonschema.Draft202012Validator(dict(schema(name)), format_checker=checker)


def faults_by_fast(name: str, data: Any) -> set[tuple[str | int, ...]]:
    """List the places that the quick validator refuses."""
    return {tuple(error.instance_path) for error in fast(name).iter_errors(data)}


def faults_by_thorough(name: str, data: Any) -> set[tuple[str | int, ...]]:
    """List the places that the thorough validator refuses."""
    return {tuple(error.absolute_path) for error in thorough(name).iter_errors(data)}
