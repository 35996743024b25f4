"""Heat: warm boards and damaged pads."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from datetime import datetime, timedelta
from heapq import heappop, heappush

from jobkit.jobs.bench import Bench
from jobkit.jobs.entries import Reading, Work
from jobkit.jobs.job import Job
from jobkit.lint.registry import Found, rule
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.heat.fittings import fitted_on, fittings_by_part, pad_lack
from jobkit.reckon.heat.warm import end_of, is_warming


@rule("warning")
def reading_while_warm(job: Job, bench: Bench) -> Iterator[Found]:
    """A resistance was read before the board had cooled down.

    What it finds: a reading of resistance without `state = "warm"`, taken after work with heat (remove, fit, swap,
    reflow, prepare, bake of the board, or any with a heat log) began and before the bench's cooling time
    (`cooling_minutes` under [heat] in bench.toml) after its end was over.

    Why it matters: junctions and copper read differently when warm, so the limit for a cold board does not apply.

    How to fix: wait and read again. If the board was warm and the reading is not a proof, write `state = "warm"`; if
    the work was not on the board, add a waiver with the reason.

    Example: `did = "fit"` at 11:30 for 30 minutes, and a resistance at 12:05 where the cooling time is 20.
    """
    cooling = timedelta(minutes=bench.settings.cooling_minutes)
    spells = [
        _Spell(work, work.at, end, end + cooling)
        for work in job.work
        if work.at and is_warming(work) and (end := end_of(work)) is not None
    ]
    cold = [
        (one, one.at) for one in job.readings if one.kind == "resistance" and one.state != "warm" and one.at
    ]
    warm = _warm_at({at for _, at in cold}, spells) if spells else {}
    for reading, at in cold if warm else ():
        if at in warm:
            yield Found(
                (*reading.path, "at"),
                reading.point or "",
                f"{reading.point} was read {_since(at, warm[at])}; "
                f"the cooling time is {bench.settings.cooling_minutes} minutes",
                _read_again(reading, warm[at].cool),
            )


class _Spell(NamedTuple):
    """How long a piece of work keeps the board warm: from its beginning until the board has cooled after its end."""

    work: Work
    begin: datetime
    end: datetime
    cool: datetime


def _warm_at(moments: Set[datetime], spells: Sequence[_Spell]) -> Mapping[datetime, _Spell]:
    """Tell at which moments the board was warm, and by which piece of work: the first in the file, where several fit.

    One walk through time: whatever has cooled by one moment has cooled by the next.
    """
    found = {}
    to_come = sorted(range(len(spells)), key=lambda place: spells[place].begin, reverse=True)
    begun: list[int] = []
    for moment in sorted(moments):
        while to_come and spells[to_come[-1]].begin < moment:
            heappush(begun, to_come.pop())
        while begun and spells[begun[0]].cool <= moment:
            heappop(begun)
        if begun:
            found[moment] = spells[begun[0]]
    return found


def _read_again(reading: Reading, cool: datetime) -> str:
    """Say when to read again; a proof reading marked warm would still need its limit."""
    again = f"read it again after {cool:%H:%M}"
    return again if reading.stage == "proof" else f'{again}, or say state = "warm"'


def _since(at: datetime, spell: _Spell) -> str:
    what = f'"{spell.work.did}"' + (f" of {spell.work.part}" if spell.work.part else "")
    minutes = int((at - spell.end).total_seconds() // 60)
    return f"{minutes} minutes after {what} was over" if minutes >= 0 else f"before {what} was over"


@rule("error")
def pad_open(job: Job, _bench: Bench) -> Iterator[Found]:
    """A part was fitted on a pad that is not whole.

    What it finds: a [[pad]] of the board that is lifted or torn off and carries something (all but no-connect), on
    whose part a `fit` or `swap` follows, and which is not repaired, is left open, or has no reading (`reads`) to show
    that it conducts. Pads torn off a package (`side = "package"`) count where the same package was fitted again
    (`came = "same"`).

    Why it matters: under a package the pad cannot be reached again; the part has to come off once more, with one more
    heating.

    How to fix: repair the pad and read it through before the part goes on, and write down both. If it carries nothing,
    write `carries = "no-connect"`.

    Example: `damage = "torn-off"`, `carries = "data"`, `repaired = "left-open"`, and the part fitted that afternoon.
    """
    fittings = fittings_by_part(job.work)
    for pad in job.pads:
        if pad.damage not in {"lifted", "torn-off"} or pad.carries == "no-connect":
            continue
        lack = pad_lack(pad)
        fitted = fitted_on(pad, fittings) if lack else None
        if lack and fitted and not (pad.of_package and fitted.came != "same"):
            key, words = lack
            when = f" on {fitted.at.date()}" if fitted.at else ""
            on = "again with its own" if pad.of_package else "on its"
            message = f"{pad.part} was fitted{when} {on} {pad.damage} pad {pad.ball}, which {words}"
            mend = "repair the pad and measure it before you fit a part on it"
            yield Found((*pad.path, key), f"{pad.part} {pad.ball}", message, mend)
