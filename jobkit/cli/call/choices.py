"""Words of the command line that must be among those there are; a mistyped one is answered with the nearest."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from difflib import get_close_matches

from jobkit.units.errors import MisuseError

_FEW = 10


def among(what: str, words: Sequence[str] | None, known: Collection[str]) -> tuple[str, ...]:
    """Take words for a `what`, each one of `known`; raises MisuseError that names the nearest, or all if few."""
    for word in words or ():
        if word not in known:
            raise MisuseError(f'there is no {what} "{word}" here', _mend(word, known))
    return tuple(words or ())


def _mend(word: str, known: Collection[str]) -> str:
    near = get_close_matches(word, sorted(known), n=1)
    if near:
        return f'did you mean "{near[0]}"?'
    return f"choose one of {', '.join(known)}" if 0 < len(known) <= _FEW else "see `jobkit summarise`"
