"""jobkit's NamedTuple beside that of the standard library: one class, written once for each, asked the same."""

from __future__ import annotations

import copy
import inspect
import pickle
import sys
import typing
from typing import Any, Generic, TypeVar

import pytest

import jobkit.named_tuple

if typing.TYPE_CHECKING:
    from collections.abc import Callable

_T = TypeVar("_T")


def _defined(base: Any) -> dict[str, Any]:
    class Point(base):  # type: ignore[misc]
        """Where a probe was."""

        x: int
        y: int = 2
        note: str | None = None

        @property
        def total(self) -> int:
            return int(self.x + self.y)

        @classmethod
        def origin(cls) -> Any:
            return cls(0, 0)

        def __str__(self) -> str:
            return f"({self.x}|{self.y})"

    class Pair(base, Generic[_T]):  # type: ignore[misc]
        first: Any
        second: Any

    class Kept(Point):
        """A record that keeps what it worked out: it has room for more than its fields."""

    class Empty(base):  # type: ignore[misc]
        pass

    return {"Point": Point, "Pair": Pair, "Kept": Kept, "Empty": Empty}


_TYPING = _defined(typing.NamedTuple)
_OURS = _defined(jobkit.named_tuple.NamedTuple)

_QUESTIONS: dict[str, Callable[[dict[str, Any]], Any]] = {
    "by place": lambda of: tuple(of["Point"](1, 3, "a")),
    "by name, in another order": lambda of: tuple(of["Point"](note="a", x=1)),
    "one missing": lambda of: of["Point"](),
    "one too many": lambda of: of["Point"](1, 2, "a", 4),
    "an unknown name": lambda of: of["Point"](1, z=3),
    "a name and a place for one field": lambda of: of["Point"](1, x=1),
    "fields": lambda of: [one._fields for one in of.values()],
    "defaults": lambda of: [one._field_defaults for one in of.values()],
    "match arguments": lambda of: [one.__match_args__ for one in of.values()],
    "names and modules": lambda of: [(one.__name__, one.__qualname__, one.__module__) for one in of.values()],
    "signature": lambda of: [
        [(name, taken.default) for name, taken in inspect.signature(one).parameters.items()]
        for one in of.values()
    ],
    "docstring": lambda of: of["Point"].__doc__,
    "repr": lambda of: [
        repr(of["Point"](1)),
        repr(of["Kept"](1)),
        repr(of["Empty"]()),
        repr(of["Pair"]("a", None)),
    ],
    "str": lambda of: str(of["Point"](1)),
    "a property": lambda of: of["Point"](1).total,
    "a class method": lambda of: tuple(of["Point"].origin()),
    "a class method of what is derived": lambda of: type(of["Kept"].origin()).__name__,
    "as a dict": lambda of: list(of["Point"](1)._asdict().items()),
    "replaced": lambda of: tuple(of["Point"](1)._replace(x=5, note="b")),
    "replaced in what is derived": lambda of: type(of["Kept"](1)._replace(x=5)).__name__,
    "an unknown field replaced": lambda of: of["Point"](1)._replace(z=5),
    "made of values": lambda of: tuple(of["Point"]._make([1, 2, 3])),
    "made of too few": lambda of: of["Point"]._make([1, 2]),
    "a field is set": lambda of: setattr(of["Point"](1), "x", 5),
    "a new attribute is set": lambda of: setattr(of["Point"](1), "z", 5),
    "a new attribute of what is derived": lambda of: setattr(of["Kept"](1), "z", 5),
    "unpacked": lambda of: [*of["Point"](1)],
    "equal to a tuple": lambda of: of["Point"](1) == (1, 2, None),
    "hash": lambda of: hash(of["Point"](1)) == hash((1, 2, None)),
    "in order": lambda of: min([of["Point"](2, 1, ""), of["Point"](1, 5, "")]).y,
    "copied": lambda of: copy.deepcopy(of["Point"](1, 2, "a")) == (1, 2, "a"),
    "size": lambda of: sys.getsizeof(of["Point"](1)),
    "a kind of pair": lambda of: typing.get_args(of["Pair"][int]),
    "an instance": lambda of: isinstance(of["Kept"](1), of["Point"]) and isinstance(of["Point"](1), tuple),
}


def _answer(question: Callable[[dict[str, Any]], Any], of: dict[str, Any]) -> Any:
    try:
        return question(of)
    except (TypeError, ValueError, AttributeError) as error:
        return type(error), str(error).partition(" object ")[0]


@pytest.mark.parametrize("question", _QUESTIONS.values(), ids=_QUESTIONS)
def test_it_answers_as_the_standard_library_does(question: Callable[[dict[str, Any]], Any]) -> None:
    assert _answer(question, _OURS) == _answer(question, _TYPING)


def test_a_pattern_takes_the_fields_by_place() -> None:
    match _OURS["Point"](1, 2, "a"):
        case (x, y, note):
            assert (x, y, note) == (1, 2, "a")


def _default_first(base: Any) -> None:
    class Wrong(base):  # type: ignore[misc]
        a: int = 1
        b: int


@pytest.mark.parametrize("base", [typing.NamedTuple, jobkit.named_tuple.NamedTuple], ids=["typing", "jobkit"])
def test_a_field_without_a_default_may_not_follow_one_with(base: Any) -> None:
    with pytest.raises(TypeError, match=r"field .*default"):
        _default_first(base)


class Reading(jobkit.named_tuple.NamedTuple):
    point: str
    value: float = 0.0


def test_it_is_pickled() -> None:
    pickled = pickle.dumps(Reading("TP1", 0.9))
    assert pickle.loads(pickled) == Reading("TP1", 0.9)  # noqa: S301 -- our own bytes
