"""Cautions in words: one line each at the bench, one sentence on a page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from jobkit.jobs.cautions import LOCAL_RULES, PRACTICE, Caution


def caution_lines(cautions: Iterable[Caution]) -> Iterator[str]:
    """Say cautions where an act is near, one a line, then that local rules come first.

    Each has its standard; that the others have none is said once.
    """
    said = [_with_standard(one) for one in cautions if one.bench]
    yield from (f"caution: {words}" for words in said)
    if said:
        yield f"({PRACTICE}, where no standard is named) {LOCAL_RULES}"


def caution_sentence(cautions: Iterable[Caution]) -> str:
    """Say cautions in one line of a page; that some have no standard is said once."""
    said = [_with_standard(one) for one in cautions if one.bench]
    return f"Cautions ({PRACTICE}, where no standard is named): {'; '.join(said)}. {LOCAL_RULES}"


def _with_standard(one: Caution) -> str:
    return one.bench + (f" ({one.source})" if one.source != PRACTICE else "")
