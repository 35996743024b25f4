"""Limits learned from good boards, put into the text of a board file."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.book.toml.parse import parse_text
from jobkit.book.write.propose import Learned, propose
from jobkit.jobs.manner import Manner
from tests.books import BOARD

DAY = date(2026, 11, 20)
VMEM = Learned(Manner("VMEM", "resistance", "", "", "cold", ()), "21.6 Ω .. 25.1 Ω", 19)
RIPPLE = Learned(Manner("VMEM", "ripple", "", "", "powered", ()), "<= 21 mV", 5)
FULL = Learned(Manner("VMEM", "diode", "VCORE", "ground", "cold", ("U1", "U5")), "0.45 V .. 0.55 V", 7)
BRACES = """\
format = 1
design = "d"
[[point]]
name = "VMEM"
limit = [{ kind = "resistance", state = "cold", limit = "10 Ω .. 60 Ω" }]
"""


def _how(text: str, *learned: Learned) -> list[tuple[str, str]]:
    return [(put.how, put.why) for put in propose(text, learned, DAY).put]


def test_a_limit_written_by_hand_stays_and_gets_a_remark() -> None:
    proposed = propose(BOARD, [VMEM], DAY)
    assert [put.how for put in proposed.put] == ["beside"]
    assert proposed.text == BOARD + "# usual of 19 boards, 2026-11-20: 21.6 Ω .. 25.1 Ω\n"
    assert parse_text(proposed.text) == parse_text(BOARD)


def test_a_manner_without_a_limit_gets_one() -> None:
    proposed = propose(BOARD, [RIPPLE, FULL], DAY)
    assert [put.how for put in proposed.put] == ["new", "new"]
    assert proposed.text == BOARD + (
        '\n[[point.limit]]\nkind = "ripple"\nstate = "powered"\nlimit = "<= 21 mV"\n'
        "# usual of 5 boards, 2026-11-20: <= 21 mV\n"
        '\n[[point.limit]]\nkind = "diode"\nstate = "cold"\nto = "VCORE"\nred_on = "ground"\nremoved = ["U1", "U5"]\n'
        'limit = "0.45 V .. 0.55 V"\n# usual of 7 boards, 2026-11-20: 0.45 V .. 0.55 V\n'
    )


def test_the_remark_says_that_boards_were_dropped() -> None:
    once = propose(BOARD, [RIPPLE._replace(dropped=2)], DAY).text
    assert once.endswith("# usual of 5 boards (2 outliers dropped, no confidence), 2026-11-20: <= 21 mV\n")
    again = propose(once, [RIPPLE._replace(limit="<= 22 mV")], DAY)
    assert [put.how for put in again.put] == ["renewed"]
    assert again.text.endswith("# usual of 5 boards, 2026-11-20: <= 22 mV\n")


def test_a_second_run_changes_nothing() -> None:
    once = propose(BOARD, [VMEM, RIPPLE, FULL], DAY).text
    twice = propose(once, [VMEM, RIPPLE, FULL], DAY)
    assert twice.text == once
    assert [put.how for put in twice.put] == ["beside", "same", "same"]


def test_what_was_proposed_before_is_renewed_unless_a_person_changed_it() -> None:
    once = propose(BOARD, [VMEM, RIPPLE], DAY).text
    later = [VMEM._replace(limit="21 Ω .. 26 Ω", boards=20), RIPPLE._replace(limit="<= 22 mV", boards=6)]
    twice = propose(once, later, date(2026, 12, 1))
    assert [put.how for put in twice.put] == ["beside", "renewed"]
    assert 'limit = "10 Ω .. 60 Ω"\n# usual of 20 boards, 2026-12-01: 21 Ω .. 26 Ω\n' in twice.text
    assert 'limit = "<= 22 mV"\n# usual of 6 boards, 2026-12-01: <= 22 mV\n' in twice.text
    by_hand = once.replace('limit = "<= 21 mV"', 'limit = "<= 30 mV"')
    kept = propose(by_hand, later, date(2026, 12, 1))
    assert [put.how for put in kept.put] == ["beside", "beside"]
    assert 'limit = "<= 30 mV"\n# usual of 6 boards, 2026-12-01: <= 22 mV\n' in kept.text


def test_other_remarks_and_line_ends_stay() -> None:
    text = BOARD.replace(
        'limit = "10 Ω .. 60 Ω"\n', 'limit = "10 Ω .. 60 Ω"  # from the first ten\n# and wide\n'
    )
    text = text.replace("\n", "\r\n")
    proposed = propose(text, [VMEM], DAY).text
    line = "# usual of 19 boards, 2026-11-20: 21.6 Ω .. 25.1 Ω\r\n"
    assert proposed == text.replace("# and wide\r\n", f"{line}# and wide\r\n")
    assert propose(proposed, [VMEM], DAY).text == proposed


def test_a_file_without_a_last_line_end_keeps_that() -> None:
    text = BOARD.removesuffix("\n")
    proposed = propose(text, [VMEM], DAY).text
    assert proposed == text + "\n# usual of 19 boards, 2026-11-20: 21.6 Ω .. 25.1 Ω"
    assert propose(proposed, [VMEM], DAY).text == proposed


@pytest.mark.parametrize(
    ("text", "learned", "why"),
    [
        (BOARD, VMEM._replace(manner=VMEM.manner._replace(point="V9")), "the board file has no point V9"),
        (BOARD.replace('state = "cold"\n', ""), VMEM, "a limit without a state covers it"),
        (
            BRACES,
            VMEM,
            "its limit is in braces",
        ),
    ],
    ids=["no such point", "a limit for every state", "braces"],
)
def test_what_cannot_be_written_is_left_with_the_reason(text: str, learned: Learned, why: str) -> None:
    assert _how(text, learned) == [("left", why)]
    assert propose(text, [learned], DAY).text == text
    assert _how(text, learned, VMEM._replace(manner=VMEM.manner._replace(point="V8")))[1][0] == "left"


@given(
    st.lists(st.sampled_from(["cold", "warm", "powered"]), min_size=1, max_size=3, unique=True),
    st.sampled_from(["resistance", "ripple", "diode"]),
    st.integers(4, 400),
    st.text(st.characters(exclude_categories=["Cc", "Cs"]), max_size=20),
)
def test_only_what_was_proposed_differs(states: list[str], kind: str, boards: int, remark: str) -> None:
    text = BOARD.replace("[[point]]\n", f"[[point]]  # {remark}\n")
    learned = [Learned(Manner("VMEM", kind, "", "", state, ()), "<= 5 Ω", boards) for state in states]
    proposed = propose(text, learned, DAY).text
    lines = proposed.splitlines(keepends=True)
    rest = iter(lines)
    assert all(line in rest for line in text.splitlines(keepends=True)), "every old line is there, in order"
    old, new = parse_text(text), parse_text(proposed)
    limits = new["point"][0].pop("limit")
    assert limits[:1] == old["point"][0].pop("limit")
    assert new == old
    assert len(limits) == 1 + sum((kind, state) != ("resistance", "cold") for state in states)
