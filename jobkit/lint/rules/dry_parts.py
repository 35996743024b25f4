"""Dry parts: floor life and bakes, before a package is soldered."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from jobkit.jobs.bench import Bench
from jobkit.jobs.job import Job
from jobkit.jobs.memoise import memoise_last
from jobkit.lint.registry import Found, rule
from jobkit.reckon.heat.dryness import LIFE_OVER, NOT_BAKED, TOO_SHORT, Wet, wet_board, wet_fittings
from jobkit.reckon.heat.floor_life import FLOOR_LIFE_HOURS
from jobkit.reckon.heat.warm import end_of

HOT_FOR_A_BOARD = Decimal(105)
"""°C above which a whole board is not baked: usual electrolytic capacitors are rated for no more (common practice)."""


@rule("warning")
def dry_life_over(job: Job, bench: Bench) -> Iterator[Found]:
    """A package was soldered after its floor life was over.

    What it finds: a `fit` or `swap` of a package from stock later than its floor life (by its moisture level, from the
    day on which its bag was `opened`, or `baked` since) and without a bake of the part; the same after a bake that is
    longer ago than a floor life. Of the packages on the board, a note: the last bake of the whole board is longer ago
    than that.

    Why it matters: moisture in a package turns to steam in soldering and cracks it, often unseen until the client's
    desk. Floor life is that of J-STD-020 (revisions C to E) at no more than 30 °C and 60 % relative humidity.

    How to fix: bake the package before you fit it, and write that down: `did = "bake"` with part, hours and oven. A dry
    cabinet stops the clock: add a waiver that says so.

    Example: level 3 (168 hours), the bag opened on 5 October, and the package fitted on 23 October.
    """
    for wet in _wet(job, bench, LIFE_OVER):
        hours = FLOOR_LIFE_HOURS.get(wet.package.level)
        life = f"its floor life at level {wet.package.level} is {hours} h"
        since = _bake(wet) if wet.bake else f"its bag was opened or last baked on {wet.since}"
        yield _found(wet, f"{_soldered(wet)}, but {since}, and {life}", _MEND)


@rule("warning")
def bake_missing(job: Job, bench: Bench) -> Iterator[Found]:
    """A package was soldered that was never baked dry.

    What it finds: a package off a donor board that was fitted without a bake of it in this job, or one of level 6. Of
    the packages on the board, a note: the first soldering that heats one (`part`, or `near`) without a bake of the
    whole board before (`did = "bake"` without a part), from the day `board_bake_since` under [heat] of bench.toml on,
    where it is given. Only packages whose moisture level (2 to 6) is in the board file or in stock.toml.

    Why it matters: a board that was used in a room is as wet as the room. J-STD-033 asks for dry boards and packages
    before the body of a package goes above 200 °C in rework.

    How to fix: bake it before the next heating, and write it down with hours and oven; if its bodies stayed below 200
    °C, or it was in a dry cabinet, add a waiver with the reason.

    Example: `did = "fit"`, `part = "U6"`, `came = "donor"`, and no bake of U6.
    """
    for wet in _wet(job, bench, NOT_BAKED):
        bare = f"the board was not baked in this stay (level {wet.package.level})"
        lone = f"it was not baked, and counts as wet (level {wet.package.level})"
        why = _still_ran(wet) or (bare if wet.on_board else lone)
        yield _found(wet, f"{_soldered(wet)}, but {why}", _MEND)


@rule("warning")
def bake_short(job: Job, bench: Bench) -> Iterator[Found]:
    """A bake was too short or too cool to dry the package.

    What it finds: a bake of a package or (a note) of the whole board before soldering, shorter than J-STD-033 asks for
    by moisture level, thickness (`body_mm`; without it the longest) and oven: 125, 90 or 40 °C, an oven in between
    counting as the cooler one; or one without `oven`. Where copies of the standard disagree, the longer bake counts. Of
    a board, the package that needs the longest of those that were heated counts.

    Why it matters: half a bake leaves the moisture where it cracks the package.

    How to fix: bake it again for as long; or correct hours, oven, `moisture` or `body_mm`. If you measured that a
    shorter bake dries such boards, add a waiver that says so.

    Example: level 3, 1.1 mm thick, off a donor, baked for 5 hours at 125 °C: 9 hours are asked for.
    """
    for wet in _wet(job, bench, TOO_SHORT):
        bake = wet.bake
        asked = f"level {wet.package.level} needs {wet.hours} h there"
        if bake and bake.oven is None:
            asked = "its oven temperature is not written down"
        elif wet.hours is None:
            asked = "nothing dries below 40 °C"
        yield _found(wet, f"{_soldered(wet)}, but {_bake(wet)}, and {asked}", _MEND)


@rule("warning")
def bake_hot(job: Job, _bench: Bench) -> Iterator[Found]:
    """A whole board was baked hotter than its weakest parts bear.

    What it finds: `did = "bake"` without a part, in an oven above 105 °C.

    Why it matters: the weakest part decides. Usual electrolytic capacitors are rated for 85 or 105 °C, and plugs, fans
    and labels soften (common practice, no source); 125 °C is for bare packages on a tray.

    How to fix: bake whole boards at 90 °C for longer, with fans, plastics and cells off. If it was one package, name it
    as `part`.

    Example: `did = "bake"`, `hours = 24`, `oven = "125 °C"` of a board with electrolytic capacitors.
    """
    for work in job.work:
        if work.did == "bake" and not work.part and work.oven and work.oven.value > HOT_FOR_A_BOARD:
            message = f"the whole board was baked at {work.oven.text}, and its weakest parts bear {HOT_FOR_A_BOARD} °C"
            mend = "bake boards at 90 °C for longer, or name the part that was baked"
            yield Found((*work.path, "oven"), "", message, mend)


_MEND = "bake it before it is soldered, and write down hours and oven"


def _wet(job: Job, bench: Bench, fault: str) -> Iterator[Wet]:
    if job.work and not job.is_broken("work") and not job.is_broken("used"):
        yield from (wet for wet in _wet_packages(job, bench) if wet.fault == fault)


@memoise_last
def _wet_packages(job: Job, bench: Bench) -> tuple[Wet, ...]:
    return (*wet_fittings(job, bench), *wet_board(job, bench))


def _found(wet: Wet, message: str, mend: str) -> Found:
    place = (*wet.work.path, "did")
    return Found(place, wet.part, message, mend, "note" if wet.on_board else None)


def _soldered(wet: Wet) -> str:
    on = f" on {wet.work.at.date()}" if wet.work.at else ""
    if wet.on_board:
        return f"{wet.part} was heated{on} on the board"
    return f"{wet.part} was fitted{on}"


def _still_ran(wet: Wet) -> str:
    """Say that a bake had begun and was not over; "" where none had."""
    begun, end = (wet.bake.at, end_of(wet.bake)) if wet.bake else (None, None)
    if begun is None or end is None:
        return ""
    whose = "the bake of the board" if wet.on_board else "its bake"
    return (
        f"{whose} of {begun:%Y-%m-%d %H:%M} still ran, until {end:%Y-%m-%d %H:%M} (level {wet.package.level})"
    )


def _bake(wet: Wet) -> str:
    """Say what the bake was that did not dry the package."""
    bake, what = wet.bake, "the board" if wet.on_board else "it"
    if bake is None or bake.at is None:
        return f"{what} was not baked"
    oven = f" at {bake.oven.text}" if bake.oven else ""
    return f"{what} was baked on {bake.at.date()} for {bake.hours} h{oven}"
