"""Kill jobkit, refuse it the disk, hand it hostile files, and count what is lost.

    python -m tests.faults                  # a few minutes
    python -m tests.faults --seconds 20     # a quick look
    python -m tests.faults --seed 7         # other random trials
    python -m tests.faults --kills 500      # each command that writes killed so many times, and nothing else

Prints a Markdown table of the faults, how often each was tried, and how often anything was lost; each loss goes to
stderr as well, and then the status is 1. All of it happens in a temporary folder. Trials are taken in random order, so
a short run is a fair sample of a long one.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from random import Random
from typing import NamedTuple

from tests.faults.groups import Group, groups
from tests.faults.random_kills import COMMANDS, by_kind, kill_each
from tests.faults.scenarios import load_all, quiet_environment


class Row(NamedTuple):
    """What came of a group: how many trials, and how many of them lost something."""

    fault: str
    against: str
    times: int
    losses: int


def main() -> int:
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--seconds", type=float, default=240.0, help="about how long (default: 240)")
    words.add_argument("--seed", type=int, default=1)
    words.add_argument(
        "--kills", type=int, default=0, help="kill each command so many times at random moments"
    )
    words.add_argument("--only", default="", help="only faults, or with --kills commands, with this word")
    chosen = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        quiet_environment(Path(folder))
        load_all()
        if chosen.kills:
            rows = list(killed_rows(Path(folder), chosen))
            print(as_table(rows))
            return int(any(row.losses for row in rows))
        wanted = (group for group in groups(Path(folder), chosen.seed) if chosen.only in group.fault)
        rows = [run(group, chosen.seconds, chosen.seed) for group in wanted]
    print(as_table(rows))
    return int(any(row.losses for row in rows))


def killed_rows(home: Path, chosen: argparse.Namespace) -> Iterator[Row]:
    """Kill each command so many times, and yield a row for what was done afterwards."""
    names = [name for name in COMMANDS if chosen.only in name]
    done = kill_each(home, names, chosen.kills, chosen.seed, chosen.seconds)
    for then, those in by_kind(done):
        named = ", ".join(f"`{one.command}`" for one in those)
        fewest, most = (choice((one.times for one in those), default=0) for choice in (min, max))
        each = f"{fewest} times each" if fewest == most else f"{fewest} to {most} times each"
        times, losses = sum(one.times for one in those), sum(one.losses for one in those)
        yield Row(f"killed at a random moment, git too, {each}; {then}", named, times, losses)


def run(group: Group, seconds: float, seed: int) -> Row:
    """Try what there is time for, in random order."""
    until = time.monotonic() + seconds * group.share
    trials = list(group.trials)
    Random(seed).shuffle(trials)  # noqa: S311 - nothing secret
    done: list[str] = []
    for trial in trials:
        if time.monotonic() > until:
            break
        done += trial()
    lost = [one for one in done if one]
    for one in lost:
        print(f"{group.fault}: {one}", file=sys.stderr)
    return Row(group.fault, group.against, len(done), len(lost))


def as_table(rows: list[Row]) -> str:
    """Write the rows as a Markdown table."""
    lines = [f"| {row.fault} | {row.against} | {row.times} | {row.losses} |" for row in rows]
    lines.append(f"| all | | {sum(row.times for row in rows)} | {sum(row.losses for row in rows)} |")
    return "\n".join(["| fault | against | times | losses |", "| --- | --- | --- | --- |", *lines])


if __name__ == "__main__":
    sys.exit(main())
