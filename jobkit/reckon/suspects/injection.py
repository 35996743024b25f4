"""What an injection can show: which of the parts that can pull down a rail that reads low grows warm first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from jobkit.jobs.design import Design
from jobkit.reckon.suspects.candidates import Candidate
from jobkit.reckon.suspects.observations import Observed
from jobkit.reckon.suspects.possible_checks import PossibleCheck
from jobkit.reckon.suspects.symptoms import WARMS_FIRST, Symptom, named_symptom

_VOLTS = "no more volts than the lowest rail within reach tolerates"


def with_what_warms(
    check: PossibleCheck, observed: Iterable[Observed], causes: Sequence[Candidate], design: Design | None
) -> PossibleCheck:
    """Give an injection what it can show on the rails that read low; nothing where none does, or after one was made."""
    counted = tuple(observed)
    low = [one.symptom for one in counted if one.failed and _is_short(one.symptom)]
    able = [cause for cause in causes if any(one.probability(cause.affects) for one in low)]
    is_made = any(one.symptom.name.endswith(WARMS_FIRST) for one in counted)
    shown = (name for cause in able for name in cause.affects if name.endswith(WARMS_FIRST))
    names = () if is_made else dict.fromkeys(shown)
    into = f"into {', '.join(dict.fromkeys(_rail(one, design) for one in low))}, {_VOLTS}"
    how = f"{into}; {check.how}" if check.how else into
    return check._replace(symptoms=tuple(map(named_symptom, names)), how=how)


def _is_short(symptom: Symptom) -> bool:
    return symptom.name.endswith(" resistance low") and " to " not in symptom.name


def _rail(symptom: Symptom, design: Design | None) -> str:
    name = symptom.name.removesuffix(" resistance low")
    point = design.point(name) if design else None
    return (point.rail if point else None) or name
