"""The bench's own head, foot and colours of a paper: small templates, drawn in a sandbox, each of them optional.

A book may come from a stranger. So a template may put in values and choose between texts, and nothing else: no loop, no
call and no arithmetic, with which a few letters could take all memory or time. What is put in is escaped.
"""

from __future__ import annotations

from collections.abc import Mapping

from jinja2 import StrictUndefined, TemplateError, TemplateSyntaxError, nodes
from jinja2.sandbox import ImmutableSandboxedEnvironment
from markupsafe import Markup

from jobkit.units.errors import MisuseError
from jobkit.units.slip import either

LARGEST = 100_000
"""A head, a foot or a style sheet has no more bytes."""

_ALLOWED = (
    nodes.Template, nodes.Output, nodes.TemplateData, nodes.Name, nodes.Const, nodes.If, nodes.Compare, nodes.Operand,
    nodes.Not, nodes.And, nodes.Or, nodes.CondExpr,
)  # fmt: skip


class OwnPartError(MisuseError):
    """A head, foot or style sheet of the bench cannot be used."""


def own_part(path: str, content: bytes, values: Mapping[str, str | Markup]) -> str:
    """Draw the head or foot of the bench with these values; raises OwnPartError."""
    environment = ImmutableSandboxedEnvironment(autoescape=True, undefined=StrictUndefined)
    text = _text(path, content)
    try:
        parsed = environment.parse(text)
        _check(path, parsed, values)
        return environment.from_string(parsed).render(values)
    except TemplateSyntaxError as slip:
        raise OwnPartError(f"{path} line {slip.lineno}: {slip.message}", "see README, Papers") from slip
    except TemplateError as slip:
        raise OwnPartError(f"{path}: {slip}", "see README, Papers") from slip


def own_style(path: str, content: bytes) -> str:
    """Read the style sheet of the bench; raises OwnPartError for one that would end the element it is put into."""
    text = _text(path, content)
    if "</" in text or "<!" in text:
        raise OwnPartError(f'{path} holds "<", which no style sheet needs', "take it out")
    return text


def _text(path: str, content: bytes) -> str:
    if len(content) > LARGEST:
        raise OwnPartError(f"{path} is larger than {LARGEST // 1000} kB", "shorten it")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as broken:
        raise OwnPartError(f"{path} is not UTF-8", "save it as UTF-8") from broken


def _check(path: str, parsed: nodes.Template, values: Mapping[str, str | Markup]) -> None:
    for node in parsed.find_all(nodes.Node):
        if not isinstance(node, _ALLOWED):
            what = type(node).__name__.lower()
            raise OwnPartError(
                f"{path} line {node.lineno}: a {what} is not allowed here",
                "use {{ name }} and {% if name %} alone",
            )
        if isinstance(node, nodes.Name) and node.name not in values:
            raise OwnPartError(
                f'{path} line {node.lineno}: there is no value "{node.name}"', f"use {either(tuple(values))}"
            )
