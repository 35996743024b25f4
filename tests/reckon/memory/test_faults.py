"""Fault models of the textbook, injected into simulated tests, are found again, alone and in pairs."""

from __future__ import annotations

import random
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

from jobkit.reckon.memory.channel_counts import ChannelCounts
from jobkit.reckon.memory.channel_faults import ChannelFaults, channel_faults, standing_out
from jobkit.reckon.memory.line_faults import Pattern, Sure
from tests.reckon.memory.confusion import OUTCOMES, SIZE, WIDTH, log_of, outcome, pairs, table, told_by
from tests.reckon.memory.marches import MARCH_C_MINUS, MATS_PLUS, TESTS, backgrounds, parsed
from tests.reckon.memory.models import Array, array_with, line_models


def same_dice(seed: int) -> random.Random:
    return random.Random(seed)  # noqa: S311 - the same words each time


def judged(text: str, width: int = 16) -> ChannelFaults:
    """Judge rows of written and read words."""
    counts = ChannelCounts(width)
    counts.add("\n".join(text.split()))
    return channel_faults(counts)


@pytest.mark.parametrize(
    ("text", "operations"), [(MARCH_C_MINUS, 10), (MATS_PLUS, 5)], ids=["March C−", "MATS+"]
)
def test_a_march_has_as_many_operations_as_the_book_says(text: str, operations: int) -> None:
    assert sum(len(element.operations) for element in parsed(text)) == operations


def test_a_word_of_16_lines_has_five_backgrounds() -> None:
    """Log2 of the width, and the solid one; any two lines differ in one of them."""
    words = backgrounds(16)
    assert len(words) == 5
    codes = {tuple(word >> line & 1 for word in words) for line in range(16)}
    assert len(codes) == 16


@pytest.mark.parametrize("name", TESTS)
def test_a_good_memory_has_no_errors(name: str) -> None:
    assert all(one.written == one.read for one in TESTS[name](Array(SIZE, WIDTH)))
    assert told_by(TESTS[name], errors_only=False) is None


def summed(outcomes: dict[str, Counter[str]]) -> dict[str, int]:
    total = sum(outcomes.values(), Counter[str]())
    return {one: total[one] for one in OUTCOMES}


@pytest.mark.parametrize("errors_only", [False, True], ids=["all words", "only errors"])
def test_march_c_minus_finds_every_model_and_says_nothing_wrong(errors_only: bool) -> None:  # noqa: FBT001
    told = table(TESTS["March C−"], errors_only=errors_only, rounds=6)
    assert summed(told).keys() == set(OUTCOMES)
    assert {one: summed(told)[one] for one in ("wrong", "missed", "unseen")} == {
        "wrong": 0,
        "missed": 0,
        "unseen": 0,
    }
    for model in ("SAF 0", "SAF 1", "TF ↑", "TF ↓", "CFin ↑", "open", "AF A", "AF B", "AF C", "AF D"):
        assert told[model] == {"right": 6}, model


@pytest.mark.parametrize("errors_only", [False, True], ids=["all words", "only errors"])
def test_walking_ones_and_zeros_settle_what_a_march_leaves_open(errors_only: bool) -> None:  # noqa: FBT001
    told = table(TESTS["walking"], errors_only=errors_only, rounds=6)
    for model in ("CFst 1,1", "CFst 0,0", "dominant", "wired-AND", "wired-OR", "SAF 0", "SAF 1"):
        assert told[model] == {"right": 6}, model
    assert summed(told)["wrong"] == 0


@pytest.mark.parametrize("errors_only", [False, True], ids=["all words", "only errors"])
def test_a_checkerboard_alone_is_never_sure(errors_only: bool) -> None:  # noqa: FBT001
    """It writes every line opposite to half of the others, so each may be bridged with eight of them."""
    told = table(TESTS["checkerboard"], errors_only=errors_only, rounds=4)
    assert told["SAF 0"] == {"named": 4}
    assert told["SAF 1"] == {"named": 4}
    assert summed(told)["wrong"] == 0


@pytest.mark.parametrize("errors_only", [False, True], ids=["all words", "only errors"])
@pytest.mark.parametrize("name", ["March C−", "walking"])
def test_two_faults_in_one_channel_are_told_apart(name: str, errors_only: bool) -> None:  # noqa: FBT001
    found = pairs(TESTS[name], 40, errors_only=errors_only)
    assert found["right"] + found["named"] >= 78
    assert found["missed"] == 0


STUCK = st.sampled_from(["SAF 0", "SAF 1", "wired-AND", "wired-OR"])


@given(st.permutations(range(16)), STUCK, st.sampled_from(["March C−", "walking"]))
def test_line_numbers_do_not_matter(lines: list[int], model: str, name: str) -> None:
    """A fault is told alike wherever it is: boards swap bits and bytes."""
    injected = next(one for one in line_models(lines[0], lines[1]) if one.model == model)
    told = told_by(TESTS[name], injected, errors_only=True)
    assert outcome(injected, told) in {"right", "named"}


@given(st.integers(0, 15), st.integers(0, 15), st.randoms(use_true_random=False))
def test_shuffled_reads_tell_the_same(line: int, other: int, dice: random.Random) -> None:
    injected = line_models(line, (other if other != line else (line + 1) % 16))[dice.randrange(18)]
    reads = list(TESTS["March C−"](array_with(SIZE, WIDTH, injected)))
    told = log_of(reads, errors_only=True)
    dice.shuffle(reads)
    assert log_of(reads, errors_only=True) == told


@pytest.mark.parametrize(
    ("text", "line", "fault", "sure", "following"),
    [
        pytest.param("0000 0040 " * 3, 6, "stuck high", Sure.LIKELY, Pattern.ONES, id="never written as 1"),
        pytest.param("FFFF FF7F " * 30, 7, "stuck low", Sure.LIKELY, Pattern.ZEROS, id="never written as 0"),
        pytest.param("0000 0040 FFFF FFFF " * 20, 6, "stuck high", Sure.YES, None, id="both written"),
        pytest.param(
            "0000 0040 FFFF FFFF " * 4, 6, "stuck high", Sure.LIKELY, Pattern.AGAIN, id="few errors"
        ),
        pytest.param(
            "0000 0040 0000 0000 FFFF FFFF " * 20,
            6,
            "high at times",
            Sure.LIKELY,
            Pattern.WALKING,
            id="at times",
        ),
        pytest.param("0000 0001 FFFF FFFE " * 20, 0, "open", Sure.YES, None, id="both ways in solid words"),
        pytest.param("5555 5557 " * 20, 1, "stuck high", Sure.NO, Pattern.WALKING, id="stripes tell little"),
    ],
)
def test_how_sure_a_log_makes_it(
    text: str, line: int, fault: str, sure: Sure, following: Pattern | None
) -> None:
    (told,) = judged(text).lines
    assert (told.line, told.fault, told.sure, told.next) == (line, fault, sure, following)


def test_lines_that_no_word_toggles_cannot_be_accused() -> None:
    told = judged("FF00 FF01 FFF0 FFF1")
    assert told.unwritten_0 == tuple(range(8, 16))
    assert told.unwritten_1 == (0, 1, 2, 3)


def test_random_words_tell_a_bridge_surely() -> None:
    dice = same_dice(3)
    words = [dice.getrandbits(16) for _ in range(400)]
    text = " ".join(f"{word:04x} {word & ~(word >> 4 & 1 ^ 1):04x}" for word in words)
    (told,) = judged(text).lines
    assert (told.line, told.fault, told.how, told.partner, told.sure) == (
        0,
        "bridged",
        "dominant low",
        4,
        Sure.YES,
    )


def inverted(mask: int, count: int = 40) -> str:
    dice = same_dice(4)
    words = [dice.getrandbits(16) for _ in range(count)]
    return " ".join(f"{word:04x} {word ^ mask:04x}" for word in words)


def test_whole_bytes_inverted() -> None:
    told = judged(inverted(0xFF00))
    assert told.lines == ()
    (fault,) = told.words
    assert (fault.fault, fault.words, fault.bytes, fault.sure) == ("whole bytes inverted", 40, (1,), Sure.YES)


@pytest.mark.parametrize(
    ("text", "fault", "lanes"),
    [
        ("0000 00FF 0F0F 0FFF 00F0 00FF FF00 FFFF FFFF FFFF", "whole bytes stuck high", (0,)),
        ("FFFF 00FF 0000 0000", "whole bytes stuck low", (1,)),
    ],
)
def test_a_byte_that_is_stuck_one_way_is_not_inverted(text: str, fault: str, lanes: tuple[int, ...]) -> None:
    told = judged(f"{text} " * 20)
    assert told.lines == ()
    assert [(one.fault, one.bytes) for one in told.words] == [(fault, lanes)]


def test_eight_lines_of_two_bytes_are_told_one_by_one() -> None:
    told = judged("0000 0FF0 F00F FFFF FFFF FFFF " * 20)
    assert [one.line for one in told.lines] == list(range(4, 12))
    assert {one.fault for one in told.lines} == {"stuck high"}


def test_a_byte_that_fails_both_ways_without_being_inverted() -> None:
    dice = same_dice(6)
    rows = [(dice.getrandbits(16), dice.getrandbits(8)) for _ in range(600)]
    told = judged(" ".join(f"{word:04x} {word & 0xFF00 | low:04x}" for word, low in rows))
    assert told.lines == ()
    assert [(fault.fault, fault.bytes) for fault in told.words] == [("whole bytes", (0,))]


def test_words_of_another_address() -> None:
    dice = same_dice(5)
    told = judged(" ".join(f"{dice.getrandbits(16):04x}" for _ in range(800)))
    assert told.lines == ()
    (fault,) = told.words
    assert (fault.fault, fault.sure) == ("whole words", Sure.YES)


def test_a_word_and_its_complement_may_be_inverted_or_of_another_address() -> None:
    (fault,) = judged("0000 FFFF FFFF 0000 " * 20).words
    assert (fault.fault, fault.words, fault.sure, fault.next) == ("whole words", 40, Sure.NO, Pattern.ADDRESS)


def test_errors_on_any_line_are_spread() -> None:
    dice = same_dice(7)
    words = [dice.getrandbits(16) for _ in range(400)]
    told = judged(" ".join(f"{word:04x} {word ^ 1 << dice.randrange(16):04x}" for word in words))
    assert told.lines == ()
    assert [(fault.fault, fault.words) for fault in told.words] == [("spread", 400)]


def test_two_errors_are_too_few() -> None:
    told = judged("0000 0001 0000 0002")
    assert [(fault.fault, fault.sure) for fault in told.words] == [("too few errors", Sure.NO)]


def test_a_channel_without_errors_has_no_faults() -> None:
    told = judged("0000 0000 FFFF FFFF")
    assert (told.lines, told.words) == ((), ())


@given(st.lists(st.tuples(st.integers(0, 15), st.integers(0, 65535)), min_size=1, max_size=30))
def test_no_log_breaks_the_judgement(rows: list[tuple[int, int]]) -> None:
    told = judged(" ".join(f"{word:04x} {word ^ (1 << line) - 1:04x}" for line, word in rows))
    standing = {fault.line for fault in told.lines}
    assert all(fault.partner is None or fault.partner != fault.line for fault in told.lines)
    assert all(0 <= fault.agrees <= 1 and 0 <= fault.always <= 1 for fault in told.lines)
    assert standing <= set(range(16))


def test_standing_out_by_the_exact_binomial_tail() -> None:
    """Chernoff's bound is never below the binomial tail: scipy's is the oracle."""
    for trials in (3, 5, 20, 100):
        for hits in range(1, trials + 1):
            counts = ChannelCounts(16)
            rows = ["0000 0001"] * hits + [
                f"0000 {1 << 1 + place % 15:04x}" for place in range(trials - hits)
            ]
            counts.add("\n".join(" ".join(rows).split()))
            if 0 in standing_out(counts.few):
                assert binom.sf(hits - 1, trials, 1 / 16) * 16 <= 0.01
