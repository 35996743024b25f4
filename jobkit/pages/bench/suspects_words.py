"""What is said of suspects, observations and results."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jobkit.jobs.cautions import BEFORE_INJECTION, BEFORE_POWER, HOT_BOARD, MAINS, STATIC
from jobkit.jobs.design import Check
from jobkit.pages.cautions import caution_sentence
from jobkit.pages.words import counted
from jobkit.reckon.suspects.observations import Observed
from jobkit.reckon.suspects.possible_checks import INJECTION, PossibleCheck
from jobkit.reckon.suspects.ranking import Search, is_affected
from jobkit.reckon.suspects.symptoms import names_of_symptoms, symptoms_of_check

CAUTIONS = {
    "cold": caution_sentence((MAINS, STATIC)),
    "warm": caution_sentence((MAINS, STATIC, HOT_BOARD)),
    "powered": caution_sentence(BEFORE_POWER),
}
"""What to mind at a check, by the state of the board."""

_AT_INJECTION = caution_sentence(BEFORE_INJECTION)

_MOST_NAMED = 3
_RESULTS_SHOWN = 4


def chance(probability: float) -> str:
    """Say a probability in whole percent; none is said to be impossible or certain.

    >>> chance(0.624), chance(0.002), chance(0.9999)
    ('62 %', '< 1 %', '> 99 %')
    """
    if probability < 0.01:
        return "< 1 %"
    return "> 99 %" if probability > 0.99 else f"{100 * probability:.0f} %"


def cautions_of(check: PossibleCheck) -> str:
    """Say what to mind at a check; "" where nothing is known of the state of the board."""
    return _AT_INJECTION if check.injects else CAUTIONS.get(check.state, "")


def observed_words(observed: Sequence[Observed]) -> str:
    """Name the first of some observations and count the rest."""
    words = list(dict.fromkeys(one.words for one in observed))
    rest = len(words) - _MOST_NAMED
    named = words if rest <= 1 else [*words[:_MOST_NAMED], f"{rest} more"]
    return ", ".join(named)


def result_words(found: Search) -> Iterator[tuple[str, str, str]]:
    """Yield the most probable results of the first check, each with what would then be suspected."""
    results = sorted(found.results, key=lambda one: -one.probability)[:_RESULTS_SHOWN]
    for one in results:
        best = sorted(one.after, key=lambda place: -one.after[place])[:2]
        then = (f"{found.suspect_at(place).candidate.name} {chance(one.after[place])}" for place in best)
        yield one.words, chance(one.probability), ", ".join(then) or "none of the causes listed"


def remarks(found: Search) -> Iterator[str]:
    """Yield what you need to know of the evidence: what contradicts itself, was set aside, is unknown or assumed."""
    seen = found.observations
    if not any(one.failed for one in found.findings):
        yield "No failure is written down that a cause explains: the order is that of the weights and the good results."
    if found.unexplained:
        words = observed_words(found.unexplained)
        yield f"Failed, and no cause listed affects it, so it tells nothing here: {words}. Add it to `affects`."
    for one in seen.contradictions:
        yield (
            f"Contradiction: {_dated(one.earlier)}, then {_dated(one.later)}, with no work between. An intermittent "
            "fault, a cold or warm board, or a slip would explain it. The later one counts."
        )
    for aside in seen.set_aside:
        work = f"{aside.work.did} {aside.work.part or ''}".rstrip()
        yield f"Set aside: {_dated(aside.observed)}, before {work}. Test it again."
    if seen.unknown:
        where = "Not a name of the board file" if found.design else "Without a board file not known by name"
        yield f"{where}, so it tells nothing here: {'; '.join(dict.fromkeys(seen.unknown))}."
    yield from _counted(found)


def _counted(found: Search) -> Iterator[str]:
    if found.left_out:
        yield f"{counted(found.left_out, 'cause')} with the smallest weights left out: 200 are looked at."
    if found.capped:
        yield f"No test is sure: probabilities above 0.999 are taken as 0.999 ({found.capped} in the board file)."
    yield from _idle(found)
    yield from _unknown_affects(found)
    assumed = [one.check.name for one in found.next[:5] if one.check.is_assumed]
    if assumed:
        yield f"Minutes not in the board file, 10 assumed: {', '.join(assumed)}."


def _idle(found: Search) -> Iterator[str]:
    """Yield the causes that the board file says nothing of, and the checks that no cause affects."""
    design = found.design if found.documented else None
    causes = [cause.name or "" for cause in design.causes if not cause.affects] if design else []
    if causes:
        yield f"The board file does not say what these affect, so hardly a check can accuse them: {', '.join(causes)}."
    checks = [check.name or "" for check in design.checks if _tells_nothing(check, found)] if design else []
    if checks:
        yield f"No `affects` names what these checks show, so they are not proposed: {'; '.join(checks)}."


def _unknown_affects(found: Search) -> Iterator[str]:
    """Yield the names under `affects` that nothing on the board goes by, so that no evidence meets them."""
    design = found.design if found.documented else None
    known = names_of_symptoms(design) if design else frozenset()
    strange = [
        f"{name} ({cause.name})"
        for cause in (design.causes if design else ())
        for name, _ in cause.affects
        if name not in known
    ]
    if strange:
        yield f"Not a name of the board file, so `affects` tells nothing there: {'; '.join(strange)}."


def _tells_nothing(check: Check, found: Search) -> bool:
    return check.name != INJECTION and not any(
        is_affected(symptom, found.candidates) for symptom in symptoms_of_check(check, found.design)
    )


def _dated(one: Observed) -> str:
    return f"{one.words} ({one.at:%Y-%m-%d %H:%M})" if one.at else one.words
