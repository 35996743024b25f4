"""The words of a list that are most like a mistyped one."""

from __future__ import annotations

from collections.abc import Collection


def most_alike(word: str, known: Collection[str], least: float) -> list[str]:
    """Return the known words most like a word, all that are equally like it; none below the ratio `least`.

    The ratio is that of `difflib`: twice the letters in common over the letters of both.

    >>> most_alike("dmm-3", ["dmm-1", "dmm-2", "lcr-1"], 0.6), most_alike("fan", ["VMEM"], 0.6)
    (['dmm-1', 'dmm-2'], [])
    """
    from difflib import SequenceMatcher, get_close_matches  # noqa: PLC0415 - only a slip pays for its loading

    best = get_close_matches(word, known, n=1, cutoff=least)
    if not best:
        return []
    matcher = SequenceMatcher()
    matcher.set_seq2(word)
    likeness = {}
    for other in known:
        matcher.set_seq1(other)
        likeness[other] = matcher.ratio()
    return sorted(other for other, ratio in likeness.items() if ratio == likeness[best[0]])
