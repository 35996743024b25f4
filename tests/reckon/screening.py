"""What dropping outliers does to a tolerance interval, by simulation: `python -m tests.reckon.screening`.

Samples of normal boards, without any fault, are screened as `usual --drop-outliers` does (modified z beyond 3.5), and
the interval mean ± k sd of what is left is compared with the share of all boards that it really contains. Where nothing
was dropped 95 % confidence is kept: which readings are odd depends on the shape of a sample alone, and for normal
samples that is independent of mean and sd (Basu's theorem). Where something was dropped it is lost.
"""

from __future__ import annotations

from decimal import Decimal
from math import erf, sqrt
from random import Random
from statistics import fmean, stdev
from typing import NamedTuple

from jobkit.reckon.readings.usual import CONFIDENCE, CONTENT, FEWEST
from jobkit.reckon.statistics.outliers import odd_ones
from jobkit.reckon.statistics.tolerance import two_sided_factor


class Kept(NamedTuple):
    """Of `samples` of one size: how many were dropped from, and the share of each sort whose interval holds 95 %."""

    samples: int
    dropped_from: int
    where_none: float
    where_some: float


def screened(n: int, samples: int, seed: int = 1) -> Kept:
    """Screen so many samples of n standard normal values each; those of which fewer than four are left do not count."""
    random = Random(seed)  # noqa: S311 - a simulation
    held: dict[bool, list[bool]] = {False: [], True: []}
    for _ in range(samples):
        values = [Decimal(f"{random.gauss(0, 1):.9f}") for _ in range(n)]
        odd = odd_ones(values)
        kept = [float(value) for place, value in enumerate(values) if place not in odd]
        if len(kept) >= FEWEST:
            held[bool(odd)].append(holds(kept))
    return Kept(
        samples, len(held[True]), *(fmean(answers) if answers else float("nan") for answers in held.values())
    )


def holds(kept: list[float]) -> bool:
    """Tell whether the interval of a sample contains the content that is claimed, of a standard normal."""
    reach = two_sided_factor(len(kept), CONTENT, CONFIDENCE) * stdev(kept)
    low, high = fmean(kept) - reach, fmean(kept) + reach
    return (erf(high / sqrt(2)) - erf(low / sqrt(2))) / 2 >= float(CONTENT)


def main() -> None:
    """Print the table of the developers' notes."""
    for n in (6, 10, 20, 60):
        kept = screened(n, 4000)
        print(
            f"| {n} | {kept.dropped_from / kept.samples:.0%} | {kept.where_none:.0%} | {kept.where_some:.0%} |"
        )


if __name__ == "__main__":
    main()
