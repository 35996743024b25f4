"""Names as they are typed at the bench: in any case, and no longer than is needed to tell them from the others."""

from __future__ import annotations

from collections.abc import Iterable

from jobkit.units.errors import MisuseError
from jobkit.units.slip import either, nearest

_FEW = 8


class NamingError(MisuseError):
    """A word names none of the things there are, or more than one; `near` is the one that may have been meant."""

    def __init__(self, message: str, mend: str, near: str | None = None) -> None:
        super().__init__(message, mend)
        self.near = near


def named(word: str, known: Iterable[str], what: str) -> str:
    """Find the name that a word means: itself, itself in another case, or the only one that begins with it.

    `what` is what the names are, such as "point of tarnhow-t7-16". Raises NamingError.

    >>> named("vc", ["VCORE", "V12", "V12P3"], "point"), named("v12", ["VCORE", "V12", "V12P3"], "point")
    ('VCORE', 'V12')
    """
    names = tuple(dict.fromkeys(known))
    if word in names:
        return word
    small = word.casefold()
    for fits in ([name for name in names if name.casefold() == small], _begun(small, names)):
        if len(fits) == 1:
            return fits[0]
        if fits:
            raise NamingError(f'"{word}" could be {either(tuple(fits[:_FEW]))}', "type more of it")
    raise _unknown(word, names, what)


def _begun(small: str, names: tuple[str, ...]) -> list[str]:
    return [name for name in names if small and name.casefold().startswith(small)]


def _unknown(word: str, names: tuple[str, ...], what: str) -> NamingError:
    by_small = {name.casefold(): name for name in reversed(names)}
    near = nearest(word.casefold(), tuple(by_small))
    article = "an" if what[:1] in "aeiou" else "a"
    message = f'"{word}" is no {what}' if names else f"there is no {what.partition(' ')[0]} to name"
    if near:
        return NamingError(message, f'did you mean "{by_small[near]}"?', by_small[near])
    if not names:
        return NamingError(message, f"write {article} {what} into its file first")
    more = " and others" if len(names) > _FEW else ""
    return NamingError(message, f"there are {', '.join(names[:_FEW])}{more}")
