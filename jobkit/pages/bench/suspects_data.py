"""Suspects and next checks as data."""

from __future__ import annotations

from jobkit.pages.forms.data import Data
from jobkit.reckon.suspects.next_check import Gain
from jobkit.reckon.suspects.ranking import Search, Suspect


def suspects_data(found: Search) -> Data:
    """Give all suspects and all checks; an undocumented board has an order, and no figures."""
    return {
        "job": found.job.id,
        "design": found.job.board.design,
        "documented": found.documented,
        "none_of_these": _figure(found, found.none_of_these),
        "suspects": [_suspect(found, one) for one in found.suspects],
        "next": [_check(found, one) for one in found.next],
        "held_back": [_check(found, one) for one in found.held_back],
        "unread": list(found.cold.unread),
        "outside": list(found.cold.outside),
        "near": [{"point": one.point, "finer": list(one.finer)} for one in found.cold.near],
        "contradictions": [
            f"{one.earlier.words}; {one.later.words}" for one in found.observations.contradictions
        ],
        "set_aside": [one.observed.words for one in found.observations.set_aside],
        "unexplained": [one.words for one in found.unexplained],
        "unknown": list(found.observations.unknown),
    }


def _figure(found: Search, value: float) -> float | None:
    return round(value, 6) if found.documented else None


def _suspect(found: Search, one: Suspect) -> Data:
    return {
        "cause": one.candidate.name,
        "part": one.candidate.part,
        "from": one.candidate.origin,
        "weight": _figure(found, one.weight),
        "probability": _figure(found, one.probability),
        "supports": [each.words for each in one.supports],
        "contradicts": [*(each.words for each in one.contradicts), *filter(None, (one.replaced,))],
    }


def _check(found: Search, one: Gain) -> Data:
    return {
        "check": one.check.name,
        "state": one.check.state,
        "gain_bits": _figure(found, one.bits),
        "minutes": one.check.minutes,
        "gain_per_minute": _figure(found, one.per_minute),
        "how": one.check.how or None,
    }
