"""Names as they are typed at the bench: in any case, and no longer than is needed to tell them from the others."""

from __future__ import annotations

from collections.abc import Iterable

from jobkit.units.errors import MisuseError
from jobkit.units.slip import all_nearest, either, either_quoted

_FEW = 8
_ALIKE = 3
"""So many names are suggested where they are equally near."""


class NamingError(MisuseError):
    """A word does not name one of the things there are."""


class UnknownNameError(NamingError):
    """A word names none of the things there are."""


def named(word: str, known: Iterable[str], what: str) -> str:
    """Find the name that a word means: itself, itself in another case, or the only one that begins with it.

    `what` is what the names are, such as "point of tarnhow-t7-16". Raises UnknownNameError, or NamingError where it
    could be several.

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


def spelled(word: str, known: Iterable[str]) -> str | None:
    """Give the name that is this word in any case; None where there is none, or several and none of them exactly.

    >>> spelled("Sealed", ["sealed", "seal"]), spelled("se", ["sealed"])
    ('sealed', None)
    """
    names = tuple(known)
    if word in names:
        return word
    fits = [name for name in dict.fromkeys(names) if name.casefold() == word.casefold()]
    return fits[0] if len(fits) == 1 else None


def a_or_an(what: str) -> str:
    """Return a noun with its article.

    >>> a_or_an("point"), a_or_an("item")
    ('a point', 'an item')
    """
    return f"{'an' if what[0] in 'aeiou' else 'a'} {what}"


def _begun(small: str, names: tuple[str, ...]) -> list[str]:
    return [name for name in names if small and name.casefold().startswith(small)]


def _unknown(word: str, names: tuple[str, ...], what: str) -> UnknownNameError:
    by_small = {name.casefold(): name for name in reversed(names)}
    near = all_nearest(word.casefold(), by_small)[:_ALIKE]
    if not names:
        kind = what.partition(" ")[0]
        return UnknownNameError(
            f'"{word}" is not {a_or_an(what)}: there is no {kind} yet',
            f"write the {kind} into its file first",
        )
    message = f'"{word}" is not {a_or_an(what)}'
    if near:
        return UnknownNameError(message, f"write {either_quoted([by_small[one] for one in near])}")
    more = " and others" if len(names) > _FEW else ""
    return UnknownNameError(message, f"there are {', '.join(names[:_FEW])}{more}")
