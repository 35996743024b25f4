"""All phrases of papers, found by reading the source: calls of `phrase`, `say` and `plural`, and templates."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from jinja2.ext import babel_extract

ROOT = Path(__file__).parents[3]
SOURCE = ROOT / "jobkit"
TEMPLATES = SOURCE / "pages/forms/templates"
_CALLED = ("phrase", "say")


class Found(NamedTuple):
    """A phrase where it is written out; `many` is "" where it has no number."""

    context: str
    one: str
    many: str
    file: str
    line: int


def phrases_found() -> tuple[Found, ...]:
    """Find the phrases, each once, in the order of files and lines; the first place counts."""
    found: dict[tuple[str, str], Found] = {}
    for one in (*_in_source(), *_in_templates()):
        known = found.setdefault((one.context, one.one), one)
        assert known.many == one.many, f"with a number and without: {known} {one}"
    return tuple(found.values())


def _in_source() -> Iterator[Found]:
    for path in sorted(SOURCE.rglob("*.py")):
        text = path.read_text("utf-8")
        if "phrase(" in text or ".say(" in text or ".plural(" in text:
            yield from _calls(ast.parse(text), path.relative_to(ROOT).as_posix())


def _calls(tree: ast.AST, file: str) -> Iterator[Found]:
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    for call in sorted(calls, key=lambda node: (node.lineno, node.col_offset)):
        name = call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")
        texts = [list(_texts(argument)) for argument in call.args]
        if name == "plural" and len(texts) == 3 and texts[0] and texts[1]:
            yield Found("", texts[0][0], texts[1][0], file, call.lineno)
        elif name in _CALLED and texts:
            context = texts[1][0] if len(texts) > 1 and texts[1] else ""
            yield from (Found(context, one, "", file, call.lineno) for one in texts[0] if one)


def _texts(argument: ast.expr) -> Iterator[str]:
    """Yield the words that an argument may be: written out, or one of two by a condition."""
    if isinstance(argument, ast.Constant) and isinstance(argument.value, str):
        yield argument.value
    elif isinstance(argument, ast.IfExp):
        yield from _texts(argument.body)
        yield from _texts(argument.orelse)


def _in_templates() -> Iterator[Found]:
    for path in sorted(TEMPLATES.glob("*.html")):
        with path.open("rb") as file:
            for line, _, words, _ in babel_extract(file, ("_",), [], {}):
                one = words[0] if isinstance(words, tuple) else words
                yield Found("", str(one), "", path.relative_to(ROOT).as_posix(), line)
