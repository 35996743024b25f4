"""What is wrong with a data line, as far as a log can tell.

A line is judged by the words in which it was read wrongly: in which direction, and what the other lines carried at
the time. Of two explanations the simpler one wins, a line that is stuck before a line that is bridged, unless the
other lines agree better than by accident.
"""

from __future__ import annotations

import math
from collections.abc import Set
from enum import StrEnum

from jobkit.named_tuple import NamedTuple
from jobkit.reckon.memory.channel_counts import PATTERNS_KEPT, pattern_count
from jobkit.reckon.memory.line_counts import LineCounts

STRAY = 0.02
"""So large a share of a line's errors may disagree with an explanation: other faults may add some."""

ALWAYS = 0.98
"""A line is stuck if it is wrong in at least this share of the words that would show it; below, it is so at times."""

_FEW_ERRORS = 10
_FEW_PATTERNS = 4
_CERTAIN, _LIKELY = 0.01, 0.1


class Sure(StrEnum):
    """How sure a log makes an explanation."""

    YES = "yes"
    LIKELY = "likely"
    NO = "no"


class Pattern(StrEnum):
    """The pattern to run next, by what it would show."""

    ONES = "all ones"
    ZEROS = "all zeros"
    WALKING = "walking ones and walking zeros"
    ADDRESS = "every address its own word"
    AGAIN = "the same test again"


class Patterns(NamedTuple):
    """Different words of a channel, those that were read wrongly and all; None if they are too many to keep."""

    wrong: Set[int] | None
    written: Set[int] | None

    def shown(self, line: int, other: int, direction: _Direction) -> int:
        """Return how many words were read wrongly, at most, in which a bridge of two lines would show."""
        return _count_among(self.wrong, line, other, direction.shown_in)

    def exposed(self, line: int, other: int, direction: _Direction) -> int:
        """Return how many words were written in which the line can fail, whether a bridge would show or not."""
        return _count_among(self.written, line, other, (*direction.shown_in, *direction.never_in))


def _count_among(words: Set[int] | None, line: int, other: int, values: tuple[int, ...]) -> int:
    if words is None:
        return PATTERNS_KEPT
    return sum(2 * (word >> line & 1) + (word >> other & 1) in values for word in words)


class LineFault(NamedTuple):
    """A line that stands out: its fault, and how sure the log makes that.

    `partner` is the line that it is bridged with, `how` the manner of the bridge. `maybe_with` are lines that could be
    partners where the log cannot tell. `agrees` is the share of its errors that fit the fault, `always` how often it
    failed in the words that would show the fault. `next` is the pattern that would make it surer.
    """

    line: int
    fault: str
    how: str = ""
    partner: int | None = None
    maybe_with: tuple[int, ...] = ()
    agrees: float = 1.0
    always: float = 1.0
    sure: Sure = Sure.NO
    next: Pattern | None = None


class _Direction(NamedTuple):
    """A way to fail. Words are 0 to 3 for 00, 01, 10 and 11: what was written to the line and to a partner."""

    stuck: str
    at_times: str
    shown_in: tuple[int, ...]
    """Words in which a bridge would show."""
    never_in: tuple[int, ...]
    """Words in which it would not, though the line can fail this way."""
    mutual: str
    one_sided: str


_HIGH = _Direction("stuck high", "high at times", (1,), (0,), "wired-OR", "dominant high")
_LOW = _Direction("stuck low", "low at times", (2,), (3,), "wired-AND", "dominant low")
_BOTH = _Direction("open", "open", (1, 2), (0, 3), "dominant", "dominant")


def line_fault(counts: LineCounts, line: int, patterns: Patterns) -> LineFault:
    """Judge a line that stands out."""
    direction = _direction(counts, line)
    partners = _partners(counts, line, direction)
    return _bridged(counts, line, partners, patterns) or _unbridged(counts, line, partners, patterns)


def _direction(counts: LineCounts, line: int) -> _Direction:
    errors = counts.errors(line)
    if counts.read_0[line] <= STRAY * errors:
        return _HIGH
    return _LOW if counts.read_1[line] <= STRAY * errors else _BOTH


def _partners(counts: LineCounts, line: int, direction: _Direction) -> tuple[int, ...]:
    """Return the lines to which a bridge would explain the errors of this line.

    Where several would, those that fail in the same way are meant, or those with which the line failed every time.
    """
    others = [other for other in range(len(counts.ones)) if other != line]
    fitting = [other for other in others if _stray(counts, line, other, direction) <= STRAY]
    alike = [other for other in fitting if _fails_alike(counts, other, line, direction)]
    every_time = [other for other in fitting if _rate(counts, line, other, direction.shown_in) >= ALWAYS]
    return tuple(alike or every_time or fitting)


def _stray(counts: LineCounts, line: int, other: int, direction: _Direction) -> float:
    """Return the share of a line's errors, in its direction, that a bridge with another line does not explain."""
    wrong = counts.wrong(line, other)
    against, shown = (
        sum(wrong[word] for word in words) for words in (direction.never_in, direction.shown_in)
    )
    return against / (against + shown) if against + shown else 1.0


def _fails_alike(counts: LineCounts, other: int, line: int, direction: _Direction) -> bool:
    """Whether another line fails the same way, and a bridge to this line would explain its errors."""
    return (
        direction is not _BOTH
        and counts.errors(other) > 0
        and _direction(counts, other) is direction
        and _stray(counts, other, line, direction) <= STRAY
    )


def _bridged(
    counts: LineCounts, line: int, partners: tuple[int, ...], patterns: Patterns
) -> LineFault | None:
    """Return the fault of a line that is bridged; None if the log does not bear that out."""
    if len(partners) != 1:
        return None
    direction, partner = _direction(counts, line), partners[0]
    elsewhere = _right_elsewhere(counts, line, partner, direction)
    chance = _accident(counts, line, partner, patterns)
    if chance > _LIKELY and not elsewhere:
        return None
    sure = Sure.LIKELY if chance <= _LIKELY else Sure.NO
    if chance <= _CERTAIN and counts.errors(line) >= _FEW_ERRORS:
        sure = Sure.YES
    mutual = _fails_alike(counts, partner, line, direction)
    return LineFault(
        line,
        "bridged",
        direction.mutual if mutual else direction.one_sided,
        partner,
        agrees=1 - _stray(counts, line, partner, direction),
        always=_rate(counts, line, partner, direction.shown_in),
        sure=sure,
        next=None if sure is Sure.YES else Pattern.WALKING,
    )


def _accident(counts: LineCounts, line: int, partner: int, patterns: Patterns) -> float:
    """Return the chance that a line which has nothing to do with this one explains its errors as the partner does.

    As if the words were random, each agrees with a line in one of two cases. A partner that fails alike was singled
    out by that. Any other one is the only one to agree with all words, and the next best disagrees with so many. Where
    the line was read rightly whenever a bridge would not show, the words without errors agree as well.
    """
    direction = _direction(counts, line)
    elsewhere = _right_elsewhere(counts, line, partner, direction)
    shown, exposed = patterns.shown(line, partner, direction), patterns.exposed(line, partner, direction)
    if _fails_alike(counts, partner, line, direction):
        # The words in which the partner fails are others than those in which this line does.
        shown += patterns.shown(partner, line, direction)
        return math.ldexp(1.0, -(max(shown, exposed) if elsewhere else shown))
    width = len(counts.ones)
    others = [other for other in range(width) if other not in {line, partner}]
    nearest = min((_stray(counts, line, other, direction) for other in others), default=1.0)
    alone = _at_least(math.ceil(nearest * shown), shown) ** len(others)
    chance = math.ldexp((width - 1) * alone, -shown)
    return min(chance, math.ldexp(width - 1, -exposed)) if elsewhere else chance


def _at_least(hits: int, trials: int) -> float:
    """Return the chance of so many heads or more when a coin is tossed."""
    return math.ldexp(sum(math.comb(trials, count) for count in range(hits, trials + 1)), -trials)


def _right_elsewhere(counts: LineCounts, line: int, partner: int, direction: _Direction) -> bool:
    """Whether the line was read rightly where a bridge would not show, and wrongly where it would."""
    written, wrong = counts.written(line, partner), counts.wrong(line, partner)
    right = min(written[word] - wrong[word] for word in direction.never_in)
    return right >= _FEW_ERRORS and _rate(counts, line, partner, direction.shown_in) >= ALWAYS


def _rate(counts: LineCounts, line: int, partner: int, words: tuple[int, ...]) -> float:
    """Return how often a line was wrong in words such as `words`; 0 if there are none."""
    written, wrong = counts.written(line, partner), counts.wrong(line, partner)
    shown = sum(written[word] for word in words)
    return sum(wrong[word] for word in words) / shown if shown else 0.0


def _unbridged(counts: LineCounts, line: int, maybe_with: tuple[int, ...], patterns: Patterns) -> LineFault:
    """Return the fault of a line by itself: stuck, wrong one way at times, or open."""
    direction = _direction(counts, line)
    as_1, as_0 = counts.ones[line], counts.words - counts.ones[line]
    wrong, shown, other = {
        _HIGH: (counts.read_1[line], as_0, as_1),
        _LOW: (counts.read_0[line], as_1, as_0),
        _BOTH: (counts.errors(line), counts.words, counts.words),
    }[direction]
    always = wrong / shown
    if maybe_with:
        sure, pattern = Sure.NO, Pattern.WALKING
    elif not other:
        # Nothing shows that the line is read rightly when it is written the other way.
        sure, pattern = Sure.LIKELY, Pattern.ONES if direction is _HIGH else Pattern.ZEROS
    elif always < ALWAYS and pattern_count(patterns.written) < _FEW_PATTERNS:
        # A line that fails with some words only may depend on more than these few words show.
        sure, pattern = Sure.LIKELY, Pattern.WALKING
    elif wrong < _FEW_ERRORS:
        sure, pattern = Sure.LIKELY, Pattern.AGAIN
    else:
        sure, pattern = Sure.YES, None
    return LineFault(
        line,
        direction.stuck if always >= ALWAYS else direction.at_times,
        maybe_with=maybe_with,
        agrees=wrong / counts.errors(line),
        always=always,
        sure=sure,
        next=pattern,
    )
