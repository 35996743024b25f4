"""A general exact engine for probabilistic logic, as an oracle: ProbLog (De Raedt, Kimmig and Toivonen, IJCAI 2007)."""

from __future__ import annotations

import warnings
from collections.abc import Mapping, Sequence

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # it imports a module of the standard library that is deprecated
    from problog import get_evaluatable
    from problog.program import PrologString


def query(program: str) -> dict[str, float]:
    """Return the probabilities of what a program queries."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        found = get_evaluatable().create_from(PrologString(program)).evaluate()
    return {str(term): float(value) for term, value in found.items()}


def noisy_or(
    odds: Sequence[float], affects: Sequence[Mapping[int, float]], results: Mapping[int, bool], leak: float
) -> list[float]:
    """Return the probabilities of causes of which at most two are there.

    `affects` has for each cause the symptoms with their probabilities, `results` the symptoms that failed or passed.
    """
    lines = [f"{share / (1 + share)!r}::c{cause}." for cause, share in enumerate(odds)]
    symptoms = sorted({symptom for row in affects for symptom in row} | set(results))
    lines += [f"{leak!r}::s{symptom}." for symptom in symptoms]
    for cause, row in enumerate(affects):
        lines += [f"{p!r}::s{symptom} :- c{cause}." for symptom, p in row.items()]
    causes = range(len(odds))
    lines += [f"three :- c{a}, c{b}, c{c}." for a in causes for b in causes[a + 1 :] for c in causes[b + 1 :]]
    lines += ["three :- fail.", "evidence(three, false)."] if len(odds) > 2 else []
    lines += [
        f"evidence(s{symptom}, {'true' if failed else 'false'})." for symptom, failed in results.items()
    ]
    lines += [f"query(c{cause})." for cause in causes]
    found = query("\n".join(lines))
    return [found[f"c{cause}"] for cause in causes]
