"""What a repaired pad reads, checked against the bench's limit with the meter's uncertainty."""

from __future__ import annotations

from functools import lru_cache

from jobkit.jobs.bench import Bench
from jobkit.jobs.entries import Pad, Reading
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.readings.limits import judge_reading
from jobkit.reckon.readings.meters import CorrectedReading
from jobkit.units.limit import Limit, parse_limit


class PadVerdict(NamedTuple):
    """The verdict on a repaired pad (in, out or near), its limit, and what it reads, corrected for the meter."""

    word: str
    limit: Limit
    corrected: CorrectedReading


def pad_limit(bench: Bench) -> Limit:
    """Return the limit for the resistance of a repaired pad: the bench's, else 1 Ω."""
    return bench.settings.pad_limit or _usual()


def judge_pad(pad: Pad, bench: Bench) -> PadVerdict | None:
    """Check the reading of a repaired pad against the bench's limit; None where it was not repaired or not read.

    It is decided as any reading is: by the bench's decision rule, with the leads and the uncertainty of its meter.
    """
    if not pad.is_repaired or pad.reads is None:
        return None
    limit = pad_limit(bench)
    reading = Reading(pad.path, kind="resistance", value=pad.reads, limit=limit, meter=pad.meter)
    judged = judge_reading(reading, bench, None)
    if judged.corrected is None or judged.verdict is None:
        return None
    return PadVerdict(judged.verdict.word, limit, judged.corrected)


@lru_cache(maxsize=1)
def _usual() -> Limit:
    """Return the limit where bench.toml has none: common practice, no source."""
    return parse_limit("<= 1 Ω", "resistance")
