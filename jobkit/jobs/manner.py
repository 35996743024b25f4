"""How a reading was taken, and which proof reading of each manner is the last."""

from __future__ import annotations

from collections.abc import Mapping

from jobkit.jobs.entries import Reading
from jobkit.jobs.memoise import memoise_last
from jobkit.named_tuple import NamedTuple


class Manner(NamedTuple):
    """How a reading was taken: two readings compare only where all of this agrees."""

    point: str
    kind: str
    to: str
    red_on: str
    state: str
    removed: tuple[str, ...]

    def words(self) -> str:
        """Say it in one phrase.

        >>> Manner("VMEM", "resistance", "VCORE", "ground", "cold", ("U5",)).words()
        'VMEM to VCORE resistance, cold, red on ground, without U5'
        """
        first = f"{self.point} to {self.to} {self.kind}" if self.to else f"{self.point} {self.kind}"
        red_on = f"red on {self.red_on}" if self.red_on else ""
        removed = f"without {', '.join(self.removed)}" if self.removed else ""
        return ", ".join(filter(None, (first, self.state, red_on, removed)))


def manner(reading: Reading) -> Manner:
    """Tell in which manner a reading was taken; the order in which packages were removed makes no difference."""
    return Manner(
        reading.point or "",
        reading.kind or "",
        reading.to or "",
        reading.red_on or "",
        reading.state or "",
        tuple(sorted(reading.removed)) if reading.removed else (),
    )


def last_proofs(readings: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """Keep the last proof reading of each point and manner: by time, and in the order written where there is none."""
    return tuple(readings[row] for row in last_proof_rows(readings))


def last_proof_rows(readings: tuple[Reading, ...]) -> tuple[int, ...]:
    """Tell which of the readings, counted from 0, are the last proof readings."""
    return tuple(proofs_by_manner(readings).values())


@memoise_last
def proofs_by_manner(readings: tuple[Reading, ...]) -> Mapping[Manner, int]:
    """Tell which of the readings, counted from 0, is the last proof reading of each point and manner."""
    last: dict[Manner, int] = {}
    for row, reading in enumerate(readings):
        if reading.stage != "proof":
            continue
        how = manner(reading)
        known = readings[last[how]].at if how in last else None
        if known is None or reading.at is None or known <= reading.at:
            last[how] = row
    return last
