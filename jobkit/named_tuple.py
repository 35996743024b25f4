"""`NamedTuple` as in typing, at a fraction of the cost to define: records were a third of the start-up of a command.

typing's own compiles a constructor for each class, and each annotation of its fields. Here the constructor is compiled
when the first record of a class is made, which is never for most classes in most commands, and annotations stay text
(every module has `from __future__ import annotations`). All else is the same: tests/test_named_tuple.py compares both.
Type checkers see typing's.
"""

from __future__ import annotations

from collections import _tuplegetter  # type: ignore[attr-defined]  # what makes fields as quick as in the standard library
from typing import TYPE_CHECKING, Any, Self

if TYPE_CHECKING:
    from collections.abc import Iterable
    from inspect import Signature
    from typing import NamedTuple

__all__ = ["NamedTuple"]


class _Definition(type):
    """Turns the body of a class into that of a tuple with named fields."""

    def __new__(cls, name: str, bases: tuple[type, ...], body: dict[str, Any]) -> _Definition:
        if any(tuple in base.__bases__ for base in bases):
            body |= _tuple_body(name, body)
        return super().__new__(cls, name, bases, body)

    @property
    def __signature__(cls) -> Signature:
        """What the constructor takes, for those who ask before there is one."""
        from inspect import signature  # noqa: PLC0415 -- only help and tests ask

        return signature(_constructor(cls).__get__(cls))


def _tuple_body(name: str, body: dict[str, Any]) -> dict[str, Any]:
    fields = tuple(body.get("__annotations__", ()))
    defaults = {field: body[field] for field in fields if field in body}
    if tuple(defaults) != fields[len(fields) - len(defaults) :]:
        raise TypeError(f"{name}: a field without a default follows one that has a default")
    getters = {field: _tuplegetter(at, None) for at, field in enumerate(fields)}
    return getters | {
        "__slots__": (),
        "__match_args__": fields,
        "_fields": fields,
        "_field_defaults": defaults,
    }


class _NamedTuple(tuple[Any, ...], metaclass=_Definition):
    __slots__ = ()
    _fields: tuple[str, ...] = ()

    def __new__(cls, *values: Any, **named: Any) -> Self:
        """Make the first record of a class: its constructor takes the place of this one."""
        record = next(each for each in cls.__mro__ if "_fields" in each.__dict__)
        record.__new__ = _constructor(record)  # type: ignore[method-assign]
        made: Self = record.__new__(cls, *values, **named)
        return made

    @classmethod
    def _make(cls, values: Iterable[Any]) -> Self:
        made = tuple.__new__(cls, values)
        if len(made) != len(cls._fields):
            raise TypeError(f"Expected {len(cls._fields)} arguments, got {len(made)}")
        return made

    def _replace(self, /, **changed: Any) -> Self:
        made = self._make(map(changed.pop, self._fields, self))
        if changed:
            raise ValueError(f"Got unexpected field names: {list(changed)!r}")
        return made

    def _asdict(self) -> dict[str, Any]:
        return dict(zip(self._fields, self, strict=True))

    def __repr__(self) -> str:
        fields = ", ".join(f"{name}={value!r}" for name, value in self._asdict().items())
        return f"{type(self).__name__}({fields})"

    def __getnewargs__(self) -> tuple[Any, ...]:
        return tuple(self)


def _constructor(record: Any) -> Any:
    """Compile what takes the fields of this class by place or by name, as the standard library does."""
    fields = "".join(f"{field}, " for field in record._fields)
    source = f"lambda _cls, {fields}: _new(_cls, ({fields}))"
    made: Any = eval(source, {"_new": tuple.__new__})  # noqa: S307 -- made of the names in our own class
    made.__name__, made.__qualname__ = "__new__", f"{record.__name__}.__new__"
    made.__defaults__ = tuple(record._field_defaults.values())
    return made


if not TYPE_CHECKING:
    NamedTuple = _NamedTuple
