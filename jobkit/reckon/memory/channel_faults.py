"""What is wrong with a channel: whole words, whole bytes, or single data lines."""

from __future__ import annotations

import math

from jobkit.named_tuple import NamedTuple
from jobkit.reckon.memory.channel_counts import ChannelCounts, pattern_count
from jobkit.reckon.memory.line_counts import LineCounts
from jobkit.reckon.memory.line_faults import LineFault, Pattern, Patterns, Sure, line_fault

STANDS_OUT = 0.01
"""A line stands out if errors that fall on all lines alike give it so many with less than this chance …"""

SHARE = 1.5
"""… and if it has so many times its even share of them."""

_ACTIVE = 0.1
"""A line or byte takes part in some errors if it fails in at least this share of them."""

_FEW_ERRORS = 10
_TOO_FEW = 3
"""Two errors on one line are no more than an accident."""
_MANY_PATTERNS = 8


class WordFault(NamedTuple):
    """Errors that are not those of single lines: in how many words, and in which bytes (0 is the low one)."""

    fault: str
    words: int
    bytes: tuple[int, ...] = ()
    sure: Sure = Sure.LIKELY
    next: Pattern | None = None


class ChannelFaults(NamedTuple):
    """The faults of a channel. No word of the log has the lines `unwritten_0` as 0, or the lines `unwritten_1` as 1."""

    lines: tuple[LineFault, ...]
    words: tuple[WordFault, ...]
    unwritten_0: tuple[int, ...]
    unwritten_1: tuple[int, ...]


def channel_faults(counts: ChannelCounts) -> ChannelFaults:
    """Judge a channel by its counts."""
    inverted, whole = _inverted_bytes(counts), _whole_words(counts)
    single = _of_single_lines(counts, inverted, whole)
    standing = standing_out(single)
    words = [inverted] if inverted else []
    if whole and not standing and single.wrong_words <= whole.words:
        # The tail of the whole words: in some of them few lines happen to differ.
        whole = whole._replace(words=counts.errors - sum(fault.words for fault in words))
    elif lanes := _failing_lanes(single, standing):
        words.append(WordFault(_lane_fault(single, lanes), single.wrong_words, lanes))
        standing = ()
    elif _is_spread(single, standing):
        words.append(_spread(single.wrong_words))
    patterns = Patterns(counts.wrong_patterns, counts.written_patterns)
    ones = [sum(part.ones[line] for part in counts.parts) for line in range(counts.width)]
    return ChannelFaults(
        tuple(line_fault(single, line, patterns) for line in standing),
        tuple([*words, whole] if whole else words),
        tuple(line for line, written in enumerate(ones) if written == counts.words),
        tuple(line for line, written in enumerate(ones) if not written),
    )


def _of_single_lines(
    counts: ChannelCounts, inverted: WordFault | None, whole: WordFault | None
) -> LineCounts:
    """Return the counts of the words whose errors are to be explained by single lines."""
    single = LineCounts(counts.width)
    single.merge(counts.few)
    if not inverted and not whole:
        single.merge(counts.bytes)
    if not whole:
        single.merge(counts.many)
    return single


def standing_out(counts: LineCounts) -> tuple[int, ...]:
    """Return the lines that have more errors than errors spread over all lines alike would give them.

    Lines are judged from the one with the most errors on, by itself or together with the next ones, then the rest by
    what is left without them. The chance is Chernoff's bound of the binomial tail (Hoeffding 1963, theorem 1), for any
    group of so many lines.
    """
    lines = sorted(range(len(counts.ones)), key=lambda line: (-counts.errors(line), line))
    found: list[int] = []
    while group := _group(lines[len(found) :], counts):
        found += group
    return tuple(sorted(found))


def _group(lines: list[int], counts: LineCounts) -> list[int]:
    """Return the fewest of the first lines that stand out together from all of them."""
    left = sum(map(counts.errors, lines))
    errors = 0
    for size in range(1, len(lines) // 2 + 1):
        more = counts.errors(lines[size - 1])
        if not more or more * len(lines) < SHARE * left:
            break
        errors += more
        groups = math.comb(len(lines), size)
        if _chance(errors, left, size / len(lines)) * groups <= STANDS_OUT:
            return lines[:size]
    return []


def _chance(hits: int, trials: int, even: float) -> float:
    """Return a bound of the chance of so many hits or more, each with the chance `even`, for more than their share."""
    share = hits / trials
    divergence = share * math.log(share / even)
    if share < 1:
        divergence += (1 - share) * math.log((1 - share) / (1 - even))
    return math.exp(-trials * divergence)


def _inverted_bytes(counts: ChannelCounts) -> WordFault | None:
    """Return the fault if whole bytes are inverted, both ways; eight lines that fail one way are another fault."""
    part = counts.bytes
    taking_part = [byte for byte in range(len(counts.inverted)) if _is_often_inverted(counts, byte)]
    both_ways = tuple(byte for byte in taking_part if _fails_both_ways(part, byte))
    if not both_ways:
        return None
    certain = part.words >= _FEW_ERRORS and pattern_count(counts.wrong_patterns) >= _MANY_PATTERNS
    return WordFault(
        "whole bytes inverted",
        part.words,
        both_ways,
        Sure.YES if certain else Sure.LIKELY,
        None if certain else Pattern.ADDRESS,
    )


def _is_often_inverted(counts: ChannelCounts, byte: int) -> bool:
    """Whether a byte is inverted more often than by accident: its lines have few errors in other words."""
    elsewhere = sum(part.errors(line) for part in (counts.few, counts.many) for line in _lines_of(byte))
    return 8 * counts.inverted[byte] > _ACTIVE * (8 * counts.inverted[byte] + elsewhere)


def _whole_words(counts: ChannelCounts) -> WordFault | None:
    """Return the fault if errors of many lines at once take in most lines, not confined to some bytes."""
    part = counts.many
    active = [line for line in range(counts.width) if part.errors(line) > _ACTIVE * part.words]
    bytes_active = {line // 8 for line in active}
    confined = counts.width % 8 == 0 and len(bytes_active) < counts.width // 8
    if not active or len(active) <= counts.width / 2 or confined:
        return None
    many_patterns = pattern_count(counts.wrong_patterns) >= _MANY_PATTERNS
    if counts.inverted_words < part.words:
        certain = part.words >= _FEW_ERRORS and many_patterns
        return WordFault(
            "whole words", part.words, sure=Sure.YES if certain else Sure.LIKELY, next=Pattern.ADDRESS
        )
    if counts.wrong_patterns is None and counts.width % 8 == 0:
        return WordFault("whole bytes inverted", part.words, tuple(sorted(bytes_active)), Sure.YES)
    # With a pattern and its complement a word from another address looks like one with all its bytes inverted.
    return WordFault("whole words", part.words, sure=Sure.NO, next=Pattern.ADDRESS)


def _failing_lanes(counts: LineCounts, standing: tuple[int, ...]) -> tuple[int, ...]:
    """Return the bytes if the lines that stand out are just all lines of some bytes, and fail alike."""
    lanes = tuple(sorted({line // 8 for line in standing}))
    return lanes if len(standing) == 8 * len(lanes) and _lane_fault(counts, lanes) else ()


def _lane_fault(counts: LineCounts, lanes: tuple[int, ...]) -> str:
    """Return the fault of whole bytes: stuck one way, or failing both ways; "" if their lines differ."""
    lines = [line for lane in lanes for line in _lines_of(lane)]
    if not any(counts.read_0[line] for line in lines):
        return "whole bytes stuck high"
    if not any(counts.read_1[line] for line in lines):
        return "whole bytes stuck low"
    return "whole bytes" if all(_fails_both_ways(counts, lane) for lane in lanes) else ""


def _fails_both_ways(counts: LineCounts, byte: int) -> bool:
    as_1 = sum(counts.read_1[line] for line in _lines_of(byte))
    as_0 = sum(counts.read_0[line] for line in _lines_of(byte))
    return min(as_1, as_0) > _ACTIVE * (as_1 + as_0)


def _lines_of(byte: int) -> range:
    return range(8 * byte, 8 * byte + 8)


def _spread(words: int) -> WordFault:
    """Return the fault of errors that no line explains."""
    if words < _TOO_FEW:
        return WordFault("too few errors", words, sure=Sure.NO, next=Pattern.AGAIN)
    return WordFault(
        "spread", words, sure=Sure.YES if words >= _FEW_ERRORS else Sure.LIKELY, next=Pattern.AGAIN
    )


def _is_spread(counts: LineCounts, standing: tuple[int, ...]) -> bool:
    """Whether there are errors that no line explains: more than a tenth as many as those of the lines."""
    left = sum(counts.errors(line) for line in range(len(counts.ones)) if line not in standing)
    return left > _ACTIVE * sum(map(counts.errors, standing))
