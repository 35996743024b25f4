"""Words of the command line that must be among those there are; a mistyped one is answered with the nearest."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from difflib import get_close_matches

from jobkit.jobs.naming import spelled
from jobkit.units.errors import MisuseError

_FEW = 10


def among(what: str, words: Sequence[str] | None, known: Collection[str]) -> tuple[str, ...]:
    """Take words for a `what`, in any case, each one of `known`; raises MisuseError that names the nearest."""
    names = [name for name in known if name]
    return tuple(one_of(what, word, names) for word in words or ())


def one_of(what: str, word: str, known: Collection[str]) -> str:
    """Take a word for a `what`, in any case, that is one of `known`; raises MisuseError."""
    found = spelled(word, known)
    if found is None:
        raise MisuseError(f'there is no {what} "{word}" here', _mend(word, known))
    return found


def format_named(word: str, formats: Collection[str]) -> str:
    """Take the name of a format, in any case; raises MisuseError that names all of them."""
    found = spelled(word, formats)
    if found is None:
        raise MisuseError(f'there is no format "{word}" here', f"choose one of {', '.join(formats)}")
    return found


def _mend(word: str, known: Collection[str]) -> str:
    near = get_close_matches(word, sorted(known), n=1)
    if near:
        return f'did you mean "{near[0]}"?'
    quoted = [f'"{name}"' if " " in name else name for name in known]
    return f"choose one of {', '.join(quoted)}" if 0 < len(known) <= _FEW else "see `jobkit summarise`"
