"""Suggest what a mistyped name may have meant."""

from __future__ import annotations

from collections.abc import Iterable

_SHOWN = 8


def suggest(word: str, known: Iterable[str], else_say: str) -> str:
    """Say what to write instead of `word`: the nearest of the known names, else all of them if they are few.

    `else_say` is said where nothing is near.

    >>> suggest("VMEN", ["VCORE", "VMEM", "V12"], "see the board file")
    'write "VMEM"'
    >>> suggest("fan", ["VCORE", "V12"], "add it to the board file")
    'add it to the board file; known names: V12, VCORE'
    """
    names = sorted(set(known))
    near = _nearest(word, names)
    if near:
        return f'write "{near}"'
    if not names:
        return else_say
    more = " and others" if len(names) > _SHOWN else ""
    return f"{else_say}; known names: {', '.join(names[:_SHOWN])}{more}"


def _nearest(word: str, names: list[str]) -> str | None:
    # Loaded only where something is mistyped, so that a clean book need not wait for it.
    from difflib import get_close_matches  # noqa: PLC0415

    by_small = {name.casefold(): name for name in reversed(names)}
    near = get_close_matches(word.casefold(), by_small, n=1, cutoff=0.6 if len(word) < 8 else 0.7)
    return by_small[near[0]] if near else None
