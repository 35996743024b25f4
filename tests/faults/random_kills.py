"""Kill commands that write at random moments, with the git that they have started, and look at what is left.

A parent that has all of jobkit loaded forks for each trial, and puts the book back by writing again what has changed.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import redirect_stderr, redirect_stdout, suppress
from fnmatch import fnmatch
from functools import partial
from importlib import import_module
from io import StringIO
from itertools import product
from multiprocessing import get_context
from pathlib import Path
from random import Random
from time import monotonic
from typing import NamedTuple

from jobkit.book.setup.new_book import GIT_IGNORE
from jobkit.cli.start.main import main
from tests.at_the_bench import NOW, bench_book
from tests.book.repo import GitRepo
from tests.faults.every_writing import KEPT, MADE, SET_UP, UNDONE
from tests.faults.judged import Book, Course, not_plain, set_up, undone
from tests.faults.scenarios import OWN_HOOK, Bench, Scenario, load_all
from tests.faults.snapshot import Snapshot
from tests.faults.steps import Ended, call_killed

KILLED = -9
_OWN_NOTES = ".jobkit-*.json"
"""Lists of what is in a folder, which `site` and `export` write twice."""

_TOLD_EACH = 50
_LATER = (("jot", "note", "later"), ("jot", "price", "charged", "155"), ("jot", "invoice"))
"""Commands after which nothing may be left of one that was killed."""

_LOADED_LATE = ("tomlkit", "jsonschema", "jsonschema_rs", "jinja2", "segno", "icalendar", "pyarrow.parquet")


class KilledCommand:
    """A command, the book on which it is killed, and how that book is before and after."""

    def __init__(self, folder: Path, name: str, seed: int) -> None:
        """Make the book, and run the command once to its end."""
        scenario, self._judge = _JUDGED[name]
        os.environ["XDG_CACHE_HOME"] = str(folder / "cache")
        self.name, self.scenario, self._cache = name, scenario, folder / "cache"
        self.bench = Bench(folder, scenario._replace(files={**scenario.files, ".gitignore": GIT_IGNORE}))
        self.made_before = self.bench.new_book()
        self.course = Course(self.bench, scenario)
        self.whole = self.call()
        self.made = self.bench.new_book()
        self.longest = self._longest()
        self._snapshot = Snapshot(folder)
        self._chance = Random(f"{seed} {name}")  # noqa: S311 - nothing secret

    def kill(self) -> str:
        """Kill the command at a random moment, and say what was lost, "" for nothing."""
        os.environ["XDG_CACHE_HOME"] = str(self._cache)
        while True:
            moment = self._chance.uniform(0, self.longest)
            self._snapshot.put_back()
            ended = call_killed(self.scenario.words, self.bench.root, moment, pipe=self.scenario.pipe, at=NOW)
            if ended.status == KILLED:
                break
        lost = self._lost()
        return f"{self.name} at {moment * 1000:.1f} ms: {lost}" if lost else ""

    def call(self) -> Ended:
        """Run the command without a fault."""
        return self.bench.call(self.scenario.words, pipe=self.scenario.pipe)

    def _longest(self) -> float:
        """Measure the command in seconds: the middle of three."""
        return sorted(self._once() for _ in range(3))[1]

    def _once(self) -> float:
        self.bench.put_back()
        begun = monotonic()
        self.call()
        taken = monotonic() - begun
        self.bench.put_back()
        return taken

    def _lost(self) -> str:
        """Say what a kill has cost; where the disk is as it was, the next command finds what it would have found."""
        if not self._snapshot.changed():
            return ""
        left = self.bench.book()
        return (
            self.course.torn(left)
            or self._torn_beside()
            or self._added()
            or self._judge(self, left)
            or self._left_over()
        )

    def _torn_beside(self) -> str:
        """Say which file that was made beside the book is not whole."""
        for path, content in self.bench.new_book().items():
            is_whole = content in {self.made_before.get(path), self.made.get(path)}
            if not is_whole and not fnmatch(path, _OWN_NOTES):
                return f"{path}, beside the book, is neither the old nor the new one"
        return ""

    def _added(self) -> str:
        """Say what is left that git would add."""
        if not self._temporaries():
            return ""
        untracked = GitRepo(self.bench.root).git("ls-files", "--others", "--exclude-standard").split("\n")
        return next((f"git would add {path}" for path in untracked if path.endswith(".tmp")), "")

    def _left_over(self) -> str:
        """Say what is left although the command has been called again, and another entry written."""
        if self._temporaries():
            self.call()
            for words in _LATER:
                self.bench.call(words)
        return next((f"{path} is left for good" for path in self._temporaries()), "")

    def _temporaries(self) -> list[str]:
        places = (self.bench.root, self.bench.root.with_name("new"))
        return [str(path) for place in places for path in place.rglob("*.tmp")]


def _undone(killed: KilledCommand, left: Book) -> str:
    return undone(killed.course, left)


def _made_again(killed: KilledCommand, _left: Book) -> str:
    """Call the command again, which must come to what an undisturbed call comes to."""
    ended = killed.call()
    if spoken := not_plain(ended):
        return f"the next call: {spoken}"
    if ended.status != killed.whole.status:
        return f"the next call ended with {ended.status}: {ended.err}"
    if killed.bench.book() != killed.course.after:
        return "after the next call the book is another one"
    is_whole = _without_notes(killed.bench.new_book()) == _without_notes(killed.made)
    return "" if is_whole else "the next call did not make what it makes"


def _without_notes(made: Book) -> Book:
    return {path: content for path, content in made.items() if not fnmatch(path, _OWN_NOTES)}


def _kept(killed: KilledCommand, left: Book) -> str:
    """Call the command again: what was kept may not change its answer."""
    if left != killed.course.before:
        return "a file of the book was changed"
    again = killed.call()
    plain = killed.bench.call(("--no-cache", *killed.scenario.words))
    return "" if again[:3] == plain[:3] else "what was kept changed the answer"


def _set_up(killed: KilledCommand, _left: Book) -> str:
    (killed.bench.root / ".git/config.lock").unlink(missing_ok=True)  # git's own, of a git that was killed
    if OWN_HOOK not in killed.bench.hooks().values():
        return "the user's own hook is gone"
    return set_up(killed.course)


_Judge = Callable[[KilledCommand, Book], str]
_KINDS: dict[str, tuple[_Judge, Mapping[str, Scenario]]] = {
    "then `undo`": (_undone, UNDONE),
    "then run again": (_made_again, MADE),
    "then asked again, with and without kept answers": (_kept, KEPT),
    "then set up again": (_set_up, SET_UP),
}
_JUDGED = {name: (scenario, judge) for judge, table in _KINDS.values() for name, scenario in table.items()}
COMMANDS = tuple(_JUDGED)
"""Every command that is killed, by name."""


class Killed(NamedTuple):
    """How often a command was killed, and what that has cost."""

    command: str
    times: int
    losses: int


def kill_each(home: Path, names: Sequence[str], kills: int, seed: int, seconds: float) -> list[Killed]:
    """Kill each command so many times, or as often as there is time for, several commands at once."""
    warm_up(home)
    count = os.cpu_count() or 1
    with get_context("fork").Pool(count) as workers:
        parts = [names[number::count] for number in range(count)]
        done = workers.map(partial(_kill_part, home, kills, seed, monotonic() + seconds), parts, chunksize=1)
    return [one for part in done for one in part]


def _kill_part(home: Path, kills: int, seed: int, until: float, names: Sequence[str]) -> list[Killed]:
    """Kill commands in turn, so that each is killed as often as the others if time runs out."""
    commands = [KilledCommand(home / name.replace(" ", "-"), name, seed) for name in names]
    verdicts: dict[str, list[str]] = {name: [] for name in names}
    for number, command in product(range(kills), commands):
        if monotonic() > until:
            break
        lost = command.kill()
        verdicts[command.name].append(lost)
        if lost or (command is commands[-1] and not (number + 1) % _TOLD_EACH):
            print(lost or f"{names[0]} to {names[-1]}: {number + 1} times", file=sys.stderr, flush=True)
    return [Killed(name, len(said), sum(map(bool, said))) for name, said in verdicts.items()]


def by_kind(done: Iterable[Killed]) -> Iterator[tuple[str, list[Killed]]]:
    """Yield what was done after the kills, with what came of the commands to which that was done."""
    found = {one.command: one for one in done}
    for then, (_, table) in _KINDS.items():
        yield then, [found[name] for name in table if name in found]


def warm_up(home: Path) -> None:
    """Load what commands load late, and run a few in this process, so that the trials need not do so each time."""
    load_all()
    for name in _LOADED_LATE:
        with suppress(ImportError):
            import_module(name)
    book = str(bench_book(home / "warm"))
    with redirect_stdout(StringIO()), redirect_stderr(StringIO()):
        for words in (("lint",), ("read", "v12", "30", "--job", "7"), ("jot", "note", "x", "--job", "7")):
            main([*words, "--book", book])
