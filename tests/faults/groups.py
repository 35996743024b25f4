"""The groups of trials: which fault, against which commands, and what each trial lost."""

from __future__ import annotations

import errno
from collections.abc import Callable, Iterator, Sequence
from functools import cache, partial
from itertools import product
from pathlib import Path
from typing import Any, NamedTuple

from tests.faults import hostile, judged, merges, random_kills, real_disk
from tests.faults.scenarios import SETTING_UP, WRITING, Bench, Scenario
from tests.faults.steps import KILL, Fault

Trial = Callable[[], Sequence[str]]
"""Tries something once or more, and gives for each time what was lost, "" for nothing."""

_DISK = {
    "the disk is full": (errno.ENOSPC, errno.EDQUOT),
    "permission is missing": (errno.EACCES, errno.EROFS),
    "the disk fails": (errno.EIO,),
}
_KILLS, _MERGES, _GIT_MERGES, _RANDOM_FILES = 500, 4000, 20, 4000


class Group(NamedTuple):
    """Trials of one fault, against what, and the share of the time that they may take."""

    fault: str
    against: str
    trials: Sequence[Trial]
    share: float


def groups(home: Path, seed: int) -> Iterator[Group]:
    """Yield every group; its books are made below `home`."""
    yield from _writing(home)
    yield _setting_up(home)
    yield _killed_at_random(home, seed)
    yield _full_disk(home)
    yield from _merges(home, seed)
    yield from _hostile(home, seed)


def _writing(home: Path) -> Iterator[Group]:
    courses = [_course(home, scenario) for scenario in WRITING]
    names = _names(courses)
    kills = [_judged(course, judged.killed, number) for course in courses for number in _steps(course)]
    yield Group("killed before a step, then `undo`", names, kills, 0.2)
    for fault, errors in _DISK.items():
        faults = [
            (course, Fault(error, number, on))
            for course in courses
            for number, error, on in product(_steps(course), errors, (False, True))
        ]
        trials = [_judged(course, judged.refused, one) for course, one in faults]
        yield Group(f"{fault} at a step, or from it on", names, trials, 0.12)


def _setting_up(home: Path) -> Group:
    courses = [_course(home, scenario) for scenario in SETTING_UP]
    trials = [
        _judged(course, judged.set_up_again, Fault(error, number, on=True))
        for course in courses
        for number, error in product(_steps(course), (KILL, errno.ENOSPC, errno.EACCES))
    ]
    return Group("killed or refused at a step, then run again", _names(courses), trials, 0.08)


def _killed_at_random(home: Path, seed: int) -> Group:
    """Kill commands in random order; the book of a command is made when it is killed for the first time."""
    command = cache(lambda name: random_kills.KilledCommand(home / "random" / name, name, seed))
    trials = [_once(lambda name: command(name).kill(), name) for name in random_kills.COMMANDS * _KILLS]
    return Group("killed at a random moment, git too", "every command that writes", trials, 0.2)


def _full_disk(home: Path) -> Group:
    names = ", ".join(dict.fromkeys(f"`{words[0]}`" for words in real_disk.FULL))
    folder = home / "full"
    folder.mkdir()
    fault = "a file system in memory with 0 to 15 pages left"
    return Group(fault, names, [partial(real_disk.full_disk, folder)], 1)


def _merges(home: Path, seed: int) -> Iterator[Group]:
    first = seed * 1_000_000
    trials = [_once(merges.merged, first + number) for number in range(_MERGES)]
    yield Group("two edits of one file", "the merge of entries", trials, 0.05)
    by_git: list[Trial] = [
        partial(merges.merged_by_git, home / f"merge-{number}", first + _MERGES + number * merges.FILES)
        for number in range(_GIT_MERGES)
    ]
    yield Group("two edits of one file", "`git merge` with the driver", by_git, 0.05)


def _hostile(home: Path, seed: int) -> Iterator[Group]:
    bench = Bench(home / "hostile", Scenario(("lint",)))
    commands = ", ".join(dict.fromkeys(f"`{words[0]}`" for words in hostile.COMMANDS))
    odd = [
        _once(hostile.odd_file, bench, place, kind, words)
        for place, kind, words in product(hostile.places_of(bench), hostile.KINDS, hostile.COMMANDS)
    ]
    yield Group("links, pipes, folders and huge files", commands, odd, 0.12)
    notes = list(hostile.forged_notes(bench))
    forged = [
        _once(hostile.forged_note, bench, note, words)
        for note, words in product(notes, (("undo",), ("undo", "--yes"), ("undo", "--forget")))
    ]
    yield Group("forged notes in .git/jobkit", "`undo`", forged, 0.06)
    fuzzed = [
        _once(hostile.random_bytes, bench, seed * _RANDOM_FILES + number) for number in range(_RANDOM_FILES)
    ]
    yield Group("random bytes in a file of the book or beside it", commands, fuzzed, 0.1)


def _course(home: Path, scenario: Scenario) -> judged.Course:
    return judged.Course(Bench(home / scenario.name.replace(" ", "-"), scenario), scenario)


def _names(courses: Sequence[judged.Course]) -> str:
    return ", ".join(f"`{course.scenario.name}`" for course in courses)


def _steps(course: judged.Course) -> range:
    return range(1, course.steps + 1)


def _once(trial: Callable[..., str], *given: Any) -> Trial:
    return lambda: [trial(*given)]


def _judged(course: judged.Course, judge: Callable[[judged.Course, Any], str], what: Any) -> Trial:
    def trial() -> list[str]:
        lost = judge(course, what)
        return [f"{course.scenario.name} at {what}: {lost}" if lost else ""]

    return trial
