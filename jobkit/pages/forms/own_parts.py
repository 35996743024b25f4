"""The bench's own head, foot, sections and colours of a paper: small templates, drawn in a sandbox, all optional.

A book may come from a stranger. So a template may put in values and choose between texts, and nothing else: no loop, no
call and no arithmetic, with which a few letters could take all memory or time. What is put in is escaped.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from jinja2 import StrictUndefined, TemplateError, TemplateSyntaxError, nodes
from jinja2.sandbox import ImmutableSandboxedEnvironment
from markupsafe import Markup

from jobkit.units.errors import MisuseError
from jobkit.units.slip import either

LARGEST = 100_000
"""A template or a style sheet has no more bytes."""

_ALLOWED = (
    nodes.Template, nodes.Output, nodes.TemplateData, nodes.Name, nodes.Const, nodes.If, nodes.Compare, nodes.Operand,
    nodes.Not, nodes.And, nodes.Or, nodes.CondExpr,
)  # fmt: skip


class OwnPartError(MisuseError):
    """A head, foot or style sheet of the bench cannot be used."""


class OwnPart:
    """A template of the bench: a head, a foot, or a section of a paper."""

    def __init__(self, path: str, content: bytes, names: Sequence[str], needed: str = "") -> None:
        """Read a template that may use values of these names, and has to use the `needed` one; raises OwnPartError."""
        self._path = path
        environment = ImmutableSandboxedEnvironment(autoescape=True, undefined=StrictUndefined)
        text = _text(path, content)
        try:
            parsed = environment.parse(text)
            _check(path, parsed, names)
            self._template = environment.from_string(parsed)
        except TemplateSyntaxError as slip:
            raise OwnPartError(f"{path} line {slip.lineno}: {slip.message}", "see README, Papers") from slip
        except TemplateError as slip:
            raise OwnPartError(f"{path}: {slip}", "see README, Papers") from slip
        if needed and not _puts_in(parsed, needed):
            raise OwnPartError(
                f"{path} leaves out {{{{ {needed} }}}}, which this part has to show",
                f"put {{{{ {needed} }}}} in",
            )

    def drawn(self, values: Mapping[str, str | Markup]) -> str:
        """Draw the template with its values; raises OwnPartError."""
        try:
            return self._template.render(values)
        except TemplateError as slip:
            raise OwnPartError(f"{self._path}: {slip}", "see README, Papers") from slip


def _puts_in(parsed: nodes.Template, name: str) -> bool:
    """Tell whether a value is in the template whatever the others are: not inside an `if`."""
    return any(
        isinstance(node, nodes.Name) and node.name == name
        for output in parsed.body
        if isinstance(output, nodes.Output)
        for node in output.nodes
    )


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


_MOST_USES = 20
"""A value is put in no more often: a logo or a whole section thousands of times would take all memory."""


def _check(path: str, parsed: nodes.Template, values: Sequence[str]) -> None:
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
    uses = Counter(node.name for node in parsed.find_all(nodes.Name))
    often = next((name for name, count in uses.items() if count > _MOST_USES), None)
    if often:
        raise OwnPartError(f"{path} uses {often} more than {_MOST_USES} times", "take some of them out")
