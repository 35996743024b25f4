"""How long boards stay away: the share not yet come back, day by day, with its band."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import exp, log, sqrt

from jobkit.named_tuple import NamedTuple
from jobkit.reckon.statistics.proportion import two_sided_z
from jobkit.reckon.statistics.quantile import SampleError

BAND = "log-log, from Greenwood's standard error"
"""The band's name, for the page: it stays within 0 and 1, which the plain one does not."""

_HALF = Fraction(1, 2)


class Stay(NamedTuple):
    """Whole days a board stayed away, and whether it came back then; if not, only so long was it watched."""

    days: int
    came_back: bool


class SurvivalStep(NamedTuple):
    """A day with comebacks: boards watched up to it, comebacks, the share still away, its error and band.

    Error and band are None where the share has come down to 0: no board is left to calculate them from.
    """

    day: int
    at_risk: int
    comebacks: int
    survival: Fraction
    error: float | None
    low: float | None
    high: float | None


def kaplan_meier(stays: Iterable[Stay], confidence: float = 0.95) -> tuple[SurvivalStep, ...]:
    """Give the product-limit estimate, a step for each day with comebacks, in fractions; raises SampleError.

    A board that is last watched on the day of a comeback still counts as watched on it. Source: Kaplan and
    Meier, Nonparametric estimation from incomplete observations, Journal of the American Statistical
    Association 53 (1958), 457-481; error after Greenwood (1926); band S^exp(± z e / (S ln S)), the log-log
    one of Kalbfleisch and Prentice, The statistical analysis of failure time data, 2nd ed. 2002, 1.4.
    """
    z = two_sided_z(confidence)
    watched = tuple(stays)
    came_back, left = _by_day(watched)
    at_risk, survival, greenwood = len(watched), Fraction(1), Fraction(0)
    steps = []
    for day in sorted(came_back | left):
        comebacks = came_back[day]
        if comebacks:
            survival *= 1 - Fraction(comebacks, at_risk)
            greenwood += Fraction(comebacks, at_risk * (at_risk - comebacks)) if survival else 0
            steps.append(SurvivalStep(day, at_risk, comebacks, survival, *_band(survival, greenwood, z)))
        at_risk -= comebacks + left[day]
    return tuple(steps)


def median_stay(curve: Sequence[SurvivalStep]) -> int | None:
    """Give the first day on which at most half are still away, None if more than half always were.

    Decided on fractions: where the curve touches one half exactly, that very day is the answer (Kalbfleisch
    and Prentice; some programs take the middle of the flat stretch instead).
    """
    return next((step.day for step in curve if step.survival <= _HALF), None)


def _by_day(stays: tuple[Stay, ...]) -> tuple[Counter[int], Counter[int]]:
    early = next((stay for stay in stays if stay.days < 0), None)
    if early is not None:
        raise SampleError(f"a stay of {early.days} days ends before it begins", "fix the dates of the job")
    came_back = Counter(stay.days for stay in stays if stay.came_back)
    left = Counter(stay.days for stay in stays if not stay.came_back)
    return came_back, left


def _band(
    survival: Fraction, greenwood: Fraction, z: float
) -> tuple[float | None, float | None, float | None]:
    if not survival:
        return None, None, None
    share, root = float(survival), sqrt(greenwood)
    reach = z * root / log(share)
    return share * root, share ** exp(-reach), share ** exp(reach)
