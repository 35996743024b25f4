"""Faults that a programmer makes, planted in a source one at a time ("mutants": DeMillo, Lipton and Sayward 1978).

Altered in functions: comparisons, arithmetic and logical operators, conditions, numbers, True and False, what is
returned, and calls whose answer is not used. Texts stay as they are (golden files hold the pages), and so do
annotations, defaults and the tables of a module.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, NamedTuple

_SWAPPED: dict[type[ast.AST], type[ast.AST]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.And: ast.Or,
    ast.Or: ast.And,
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
    ast.BitAnd: ast.BitOr,
    ast.BitOr: ast.BitAnd,
    ast.LShift: ast.RShift,
    ast.RShift: ast.LShift,
}
_FUNCTION = (ast.FunctionDef, ast.AsyncFunctionDef)


class Fault(NamedTuple):
    """A field of a node that gets another value; `line` of the source, what was written there and what is now."""

    node: ast.AST
    field: str
    value: Any
    line: int
    was: str
    now: str


def faults(tree: ast.Module) -> Iterator[Fault]:
    """Yield the faults that can be planted in the functions of a module, in the order of the source."""
    for function in (node for node in ast.walk(tree) if isinstance(node, _FUNCTION)):
        for statement in function.body:
            for node in _own_nodes(statement):
                for field, value in _alterations(node):
                    yield _told(node, field, value)


@contextmanager
def planted(fault: Fault) -> Iterator[None]:
    """Let the tree that `fault` is from have that fault."""
    sound = getattr(fault.node, fault.field)
    setattr(fault.node, fault.field, fault.value)
    try:
        yield
    finally:
        setattr(fault.node, fault.field, sound)


def _told(node: ast.AST, field: str, value: Any) -> Fault:
    was = ast.unparse(node)
    fault = Fault(node, field, value, getattr(node, "lineno", 0) or node.target.lineno, was, "")  # type: ignore[attr-defined]
    with planted(fault):
        return fault._replace(now=ast.unparse(node))


def _own_nodes(node: ast.AST) -> Iterator[ast.AST]:
    """Yield the nodes of a statement, without those of functions in it, of annotations, type names and texts."""
    if isinstance(node, (*_FUNCTION, ast.JoinedStr)):
        return
    yield node
    for field, value in ast.iter_fields(node):
        if field != "annotation":
            for child in value if isinstance(value, list) else [value]:
                if isinstance(child, ast.AST):
                    yield from _own_nodes(child)


def _alterations(node: ast.AST) -> Iterator[tuple[str, Any]]:
    match node:
        case ast.Compare(ops=ops):
            for number, op in enumerate(ops):
                yield "ops", [*ops[:number], _SWAPPED[type(op)](), *ops[number + 1 :]]
        case ast.BinOp(op=op) | ast.BoolOp(op=op) | ast.AugAssign(op=op) if type(op) in _SWAPPED:
            yield "op", _SWAPPED[type(op)]()
        case ast.If(test=test) | ast.IfExp(test=test) | ast.While(test=test):
            if not isinstance(test, ast.Compare | ast.BoolOp):  # these have faults of their own
                yield "test", _denied(test)
        case ast.comprehension(ifs=ifs) if ifs:
            yield "ifs", []
        case ast.Constant(value=int(value) | float(value)):  # True and False are numbers too
            yield "value", not value if isinstance(value, bool) else value + 1
        case ast.Return(value=ast.expr() as value) if not isinstance(value, ast.Constant):
            yield "value", ast.copy_location(ast.Constant(None), value)
        case ast.Expr(value=ast.Call() as call):
            yield "value", ast.copy_location(ast.Constant(None), call)


def _denied(test: ast.expr) -> ast.expr:
    return ast.copy_location(ast.UnaryOp(ast.Not(), test), test)
