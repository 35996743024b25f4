"""Find what users read: strings, help and rule pages of the code, schemas, the README, files of a new book."""

from __future__ import annotations

import ast
import json
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
SPOKEN_DOCSTRINGS = ("jobkit/lint/rules", "jobkit/cli/commands")
"""Rooms whose functions are documented for users: rule pages and help."""

Text = tuple[str, str]
"""Where a text is, and the text."""


@cache
def user_text() -> tuple[Text, ...]:
    """Return all that a user may read, with its place."""
    return tuple(_texts())


def _texts() -> Iterator[Text]:
    for path in sorted((ROOT / "jobkit").rglob("*.py")):
        yield from _of_code(path)
    for path in sorted((ROOT / "schema").rglob("*.json")):
        for text in _descriptions(json.loads(path.read_text("utf-8"))):
            yield str(path.relative_to(ROOT)), text
    yield "README.md", (ROOT / "README.md").read_text("utf-8")


def _of_code(path: Path) -> Iterator[Text]:
    """Yield the strings of several words, but for docstrings that only developers read; single words are keys."""
    where = str(path.relative_to(ROOT))
    tree = ast.parse(path.read_text("utf-8"))
    hidden = set() if where.startswith(SPOKEN_DOCSTRINGS) else set(_docstrings(tree))
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            yield f"{where}:{node.lineno}", "".join(_parts(node))
        if not isinstance(node, ast.Constant) or not isinstance(node.value, str) or id(node) in hidden:
            continue
        if " " in node.value.strip():
            yield f"{where}:{node.lineno}", node.value


def _parts(node: ast.JoinedStr) -> Iterator[str]:
    for part in node.values:
        yield str(part.value) if isinstance(part, ast.Constant) else "{}"


def _docstrings(tree: ast.Module) -> Iterator[int]:
    """Name the strings that are statements of their own."""
    for node in ast.walk(tree):
        for statement in getattr(node, "body", []) if not isinstance(node, ast.Lambda | ast.IfExp) else []:
            if isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant):
                yield id(statement.value)


def _descriptions(part: Any) -> Iterator[str]:
    if isinstance(part, dict):
        if isinstance(part.get("description"), str):
            yield part["description"]
        for inner in part.values():
            yield from _descriptions(inner)
    elif isinstance(part, list):
        for inner in part:
            yield from _descriptions(inner)
