"""The suspects of a job in order: candidates, weights and observations brought together in the network."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design
from jobkit.jobs.job import Job
from jobkit.jobs.work_kinds import FITTINGS, REPAIRS
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.suspects.before_power import ColdState
from jobkit.reckon.suspects.candidates import Candidate, candidates_of, certain
from jobkit.reckon.suspects.general_causes import general_candidates
from jobkit.reckon.suspects.network import Finding, Posterior, in_order, posterior, prior_odds
from jobkit.reckon.suspects.next_check import Gain, Result
from jobkit.reckon.suspects.observations import Observations, Observed, observations_of
from jobkit.reckon.suspects.past_causes import PastJob, counted_since
from jobkit.reckon.suspects.symptoms import Symptom

MOST_CAUSES = 200
"""More causes are not looked at: those with the smallest weights are left out, and counted."""

REPLACED = 0.1
"""What replacing a part leaves of its weight where the fault is still there afterwards (our own, no source)."""

LIKELY = 0.95
"""From this probability on a suspect is looked at itself (our own, no source)."""

_SPEAKS = 0.3
"""A cause that affects a symptom with at least this probability is contradicted where the symptom passed."""


class Suspect(NamedTuple):
    """A possible cause, its probability, and the observations that speak for and against it.

    `past` is how many finished jobs had it beyond its weight; `replaced` says when its part was replaced in vain.
    """

    candidate: Candidate
    place: int
    weight: float
    probability: float
    supports: tuple[Observed, ...]
    contradicts: tuple[Observed, ...]
    past: int = 0
    replaced: str = ""


class Search(NamedTuple):
    """All that is known in the search for the fault of a job.

    `documented` is false where no board file lists causes: general causes then stand in order, without figures.
    `next` are the checks that can be made now, the best first; `held_back` those that need power before the board may
    have it; `results` what each result of the first check would mean.
    """

    job: Job
    design: Design | None
    documented: bool
    suspects: tuple[Suspect, ...]
    posterior: Posterior
    findings: tuple[Observed, ...]
    observations: Observations
    unexplained: tuple[Observed, ...] = ()
    past_jobs: int = 0
    left_out: int = 0
    capped: int = 0
    cold: ColdState = ColdState()
    next: tuple[Gain, ...] = ()
    held_back: tuple[Gain, ...] = ()
    results: tuple[Result, ...] = ()

    @property
    def none_of_these(self) -> float:
        """The probability that none of the causes is there."""
        return self.posterior.none / self.posterior.total

    @property
    def likely(self) -> Suspect | None:
        """The first suspect if it is so probable that looking at it comes before any other check."""
        first = self.suspects[0] if self.documented and self.suspects else None
        return first if first and first.supports and first.probability >= LIKELY else None

    @property
    def repaired_without_failure(self) -> bool:
        """Whether something was repaired since the last failure, and the board was tested since."""
        counted = self.observations.counted
        works = [one.at for one in self.job.work if one.at and one.did in REPAIRS]
        tested = any(one.at and works and one.at > max(works) for one in counted)
        return tested and not any(one.failed for one in counted)

    @property
    def candidates(self) -> tuple[Candidate, ...]:
        """The causes in the order of the network."""
        return tuple(one.candidate for one in sorted(self.suspects, key=lambda one: one.place))

    def suspect_at(self, place: int) -> Suspect:
        """Return a suspect by its place in the network."""
        return next(one for one in self.suspects if one.place == place)


class _Weighed(NamedTuple):
    candidate: Candidate
    weight: float
    past: int = 0
    replaced: str = ""


def rank(job: Job, bench: Bench, past: Sequence[PastJob] = ()) -> Search:
    """Rank the possible causes of a job, without advice; `past` are finished jobs of its design with their causes."""
    past = [one for one in past if one.job != job.id]
    design = bench.designs.get(job.board.design or "")
    documented = design is not None and bool(design.causes or design.memory)
    candidates = _candidates(job, bench, design if documented else None)
    observations = observations_of(job, bench, candidates)
    counted = counted_since(past, design) if design and documented else {}
    weighed = [_weighed(one, counted.get(one.name, 0), job, observations) for one in candidates]
    if len(weighed) > MOST_CAUSES:
        weighed = sorted(weighed, key=lambda one: -one.weight)[:MOST_CAUSES]
    kept = [one.candidate for one in weighed]
    relevant = tuple(one for one in observations.counted if is_affected(one.symptom, kept))
    findings = [Finding(probabilities(one.symptom, kept), one.failed) for one in relevant]
    found = posterior(prior_odds([one.weight for one in weighed]), findings)
    return Search(
        job,
        design,
        documented,
        tuple(_suspects(weighed, relevant, found)),
        found,
        relevant,
        observations,
        tuple(one for one in observations.counted if one.failed and one not in relevant),
        len(past),
        len(candidates) - len(kept),
        certain(design) if design else 0,
    )


def _candidates(job: Job, bench: Bench, design: Design | None) -> tuple[Candidate, ...]:
    """List the causes of a documented design, else those of the kind of board."""
    if design is None:
        return general_candidates(job.board.kind)
    return candidates_of(job, design, bench.settings.pad_limit)


def _weighed(one: Candidate, past: int, job: Job, observations: Observations) -> _Weighed:
    """Add to the weight of a cause the jobs that had it, and take from it where its part was replaced in vain."""
    replaced = _replaced_in_vain(one, job, observations)
    return _Weighed(one, (one.weight + past) * (REPLACED if replaced else 1), past, replaced)


def _replaced_in_vain(one: Candidate, job: Job, observations: Observations) -> str:
    if one.part is None or one.origin == "job":
        return ""
    for work in job.work:
        if work.part == one.part and work.did in FITTINGS and work.came != "same" and work.at:
            for seen in observations.counted:
                later = seen.failed and seen.at is not None and seen.at > work.at
                if later and seen.symptom.probability(one.affects) >= _SPEAKS:
                    return f"replaced on {work.at:%Y-%m-%d}, and {seen.words} after it"
    return ""


def probabilities(symptom: Symptom, causes: Sequence[Candidate]) -> list[float]:
    """Return with which probability each cause makes a symptom fail; a part that was off the board makes none."""
    return [0.0 if one.part in symptom.off else symptom.probability(one.affects) for one in causes]


def is_affected(symptom: Symptom, causes: Sequence[Candidate]) -> bool:
    """Whether any of the causes can make a symptom fail."""
    return any(probabilities(symptom, causes))


def _suspects(
    causes: Sequence[_Weighed], findings: Sequence[Observed], found: Posterior
) -> Iterator[Suspect]:
    """Yield the suspects, the most probable first."""
    marginals = found.marginals()
    for place in sorted(range(len(causes)), key=lambda place: -in_order(marginals[place])):
        one = causes[place]
        affected = [(each, probabilities(each.symptom, [one.candidate])[0]) for each in findings]
        yield Suspect(
            one.candidate,
            place,
            one.weight,
            marginals[place],
            tuple(each for each, p in affected if each.failed and p > 0),
            tuple(each for each, p in affected if not each.failed and p >= _SPEAKS),
            one.past,
            one.replaced,
        )
