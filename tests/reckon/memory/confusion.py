"""Inject faults, read the logs, and print what was told of them: the confusion table.

    python -m tests.reckon.memory.confusion               # each fault alone
    python -m tests.reckon.memory.confusion --pairs 300   # two faults at once in one channel

Each fault of a line is injected into random lines of a 16-bit channel of 32 words, with a random other line as
aggressor or partner. `right` is told surely or as likely and is what was injected; `named` is told as open to doubt,
and what was injected is among what it may be; `wrong` is told surely or as likely and is something else; `missed` is
not told, or told as open to doubt and as something else. Where a test leaves no error there is nothing to tell:
`unseen`.
"""

from __future__ import annotations

import argparse
import random
from collections import Counter
from collections.abc import Iterator, Sequence

from jobkit.reckon.memory.channel_faults import ChannelFaults, channel_faults
from jobkit.reckon.memory.line_faults import Sure
from jobkit.reckon.memory.log_counts import LogCounts
from tests.reckon.memory.marches import TESTS, Read, Run
from tests.reckon.memory.models import Injected, address_models, array_with, line_models

WIDTH, SIZE = 16, 32
OUTCOMES = ("right", "named", "wrong", "missed", "unseen")


def log_of(reads: Sequence[Read], *, errors_only: bool) -> ChannelFaults | None:
    """Return what a log of these reads tells; None if it would be empty."""
    rows = [one for one in reads if not errors_only or one.written != one.read]
    if not any(one.written != one.read for one in reads):
        return None
    log = LogCounts(WIDTH)
    log.add("1L", "\n".join(f"{one.written:04x}\n{one.read:04x}" for one in rows))
    return channel_faults(log.channels()["1L"])


def told_by(run: Run, *injected: Injected, errors_only: bool) -> ChannelFaults | None:
    return log_of(list(run(array_with(SIZE, WIDTH, *injected))), errors_only=errors_only)


def outcome(injected: Injected, told: ChannelFaults | None) -> str:
    """Compare what was injected with what was told."""
    if told is None:
        return "unseen"
    if injected.words:
        found = [fault for fault in told.words if fault.fault in injected.words]
        return "right" if found else "wrong" if told.words or told.lines else "missed"
    outcomes = {_line_outcome(line, expected, injected, told) for line, expected in injected.lines.items()}
    return next(one for one in ("missed", "wrong", "named", "right") if one in outcomes)


def _line_outcome(line: int, expected: frozenset[str], injected: Injected, told: ChannelFaults) -> str:
    fault = next((one for one in told.lines if one.line == line), None)
    if fault is None:
        return "missed"
    fits = fault.fault in expected and (fault.partner is None or fault.partner in injected.partners)
    if fault.sure is not Sure.NO:
        return "right" if fits else "wrong"
    may_be_bridged = "bridged" in expected and not injected.partners.isdisjoint(fault.maybe_with)
    return "named" if fits or may_be_bridged else "missed"


def models(dice: random.Random) -> Iterator[Injected]:
    """Yield each fault once, at random lines and addresses."""
    line, other = dice.sample(range(WIDTH), 2)
    yield from line_models(line, other)
    address, another = dice.sample(range(SIZE), 2)
    yield from address_models(address, another)


def table(run: Run, *, errors_only: bool, rounds: int = 40) -> dict[str, Counter[str]]:
    """Return how often each fault was told how."""
    dice = random.Random(20)  # noqa: S311 - the same faults each time
    found: dict[str, Counter[str]] = {}
    for _ in range(rounds):
        for injected in models(dice):
            told = told_by(run, injected, errors_only=errors_only)
            found.setdefault(injected.model, Counter())[outcome(injected, told)] += 1
    return found


def pairs(run: Run, count: int, *, errors_only: bool) -> Counter[str]:
    """Return how often a fault was told how, of two that were injected together on four different lines."""
    dice = random.Random(21)  # noqa: S311 - the same faults each time
    found: Counter[str] = Counter()
    for _ in range(count):
        first, second, third, fourth = dice.sample(range(WIDTH), 4)
        both = (dice.choice(line_models(first, second)), dice.choice(line_models(third, fourth)))
        told = told_by(run, *both, errors_only=errors_only)
        for one in both:
            seen = told_by(run, one, errors_only=errors_only) is not None
            found[outcome(one, told) if seen else "unseen"] += 1
    return found


def main() -> None:
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--pairs", type=int, default=0)
    asked = words.parse_args()
    for errors_only in (False, True):
        for name, run in TESTS.items():
            print(f"{name}, {'only words with errors' if errors_only else 'all words'} in the log")
            if asked.pairs:
                rows = {f"{asked.pairs} pairs": pairs(run, asked.pairs, errors_only=errors_only)}
            else:
                rows = table(run, errors_only=errors_only)
            print(" " * 10, *(f"{one:>7}" for one in OUTCOMES))
            rows["all"] = sum(rows.values(), Counter())
            for model, counts in rows.items():
                print(f"{model:10}", *(f"{counts[one] or '':>7}" for one in OUTCOMES))
            print()


if __name__ == "__main__":
    main()
