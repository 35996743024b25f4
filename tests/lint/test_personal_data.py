"""How often personal data is found, and how often something else is taken for it.

The lines in tests/lint/personal_data were written for the purpose: hits hold one mail address, phone number or account
each, misses hold none. Both figures are printed (`pytest -s`) and held; every line that is judged wrong is named.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobkit.lint.rules.personal import personal_data
from jobkit.lint.rules.personal_data import ibans, numbered_lines, phones

CORPUS = Path(__file__).parent / "personal_data"
KINDS = {"mail": "mail address", "phone": "phone number", "iban": "IBAN"}


NOT_FOUND = {"# 06-39980142"}
"""Hits that are not found: without a word about calling, serial numbers look just the same."""


def lines_of(name: str) -> list[str]:
    """Read the lines below the first empty one: what stands above it is about the file."""
    return (CORPUS / name).read_text("utf-8").partition("\n\n")[2].splitlines()


def told(text: str) -> list[str]:
    return [found.about for found in personal_data(text)]


HITS = [tuple(line.split(" | ", 1)) for line in lines_of("hits.txt")]
MISSES = lines_of("misses.txt")


def test_recall_and_precision(capsys: pytest.CaptureFixture[str]) -> None:
    found = [(kind, line, told(line)) for kind, line in HITS]
    missed = {line for kind, line, kinds in found if KINDS[kind] not in kinds}
    false = {line: kinds for line in MISSES if (kinds := told(line))}
    right = len(HITS) - len(missed)
    alarms = right + sum(map(len, false.values()))
    with capsys.disabled():
        print(
            f"\npersonal-data: recall {right}/{len(HITS)}, precision {right}/{alarms}, "
            f"{len(false)} of {len(MISSES)} innocent lines taken for personal data"
        )
    assert missed == NOT_FOUND
    assert false == {}


@pytest.mark.parametrize(("kind", "line"), [hit for hit in HITS if hit[1] not in NOT_FOUND])
def test_each_is_found_once_and_as_what_it_is(kind: str, line: str) -> None:
    assert told(line) == [KINDS[kind]]


def test_the_corpus_is_large_enough_to_say_something() -> None:
    kinds = Counter(kind for kind, _ in HITS)
    assert min(kinds.values()) >= 7
    assert len(MISSES) >= 70


def test_all_hits_in_one_text_are_found_at_their_lines() -> None:
    hits = [line for _, line in HITS if line not in NOT_FOUND]
    text = "\n".join(hits)
    lines = [text.count("\n", 0, found.start) for found in personal_data(text)]
    assert sorted(lines) == list(range(len(hits)))


def test_the_message_does_not_repeat_what_it_found() -> None:
    (found,) = personal_data('complaint = "write to mara.lind@post.example"')
    assert "mara" not in found.message + found.mend


@given(st.text(alphabet="0123456789", min_size=11, max_size=26), st.sampled_from(["DE", "IS", "FR", "NL"]))
def test_an_account_with_other_check_digits_is_none(digits: str, country: str) -> None:
    """ISO 7064 mod 97-10, worked out here from its definition: 98 less the remainder with 00 in their place."""
    letters = "".join(str(ord(letter) - 55) for letter in country)
    check = 98 - int(f"{digits}{letters}00") % 97
    for other in (check, (check + 1) % 100):
        expected = [0] if other == check else []
        assert list(ibans(f"{country}{other:02}{digits} ")) == expected


def account(country: str, own: str) -> str:
    """Put the right check digits in front of an account, by the definition of ISO 7064 mod 97-10."""
    letters = "".join(str(int(letter, 36)) for letter in f"{own}{country}00")
    return f"{country}{98 - int(letters) % 97:02}{own}"


@pytest.mark.parametrize(("length", "found"), [(33, True), (34, True), (35, False)])
def test_an_account_has_34_characters_at_most(length: int, *, found: bool) -> None:
    """ISO 13616: two letters, two check digits, and up to thirty characters."""
    line = account("MT", "7" * (length - 4))
    assert len(line) == length
    assert list(ibans(line)) == [0] * found


def test_an_account_does_not_begin_within_a_word() -> None:
    line = account("IS", "1234567890")
    assert list(ibans(f"to {line}")) == [3]
    assert list(ibans(f"x{line}")) == list(ibans(f" 7{line}")) == []


_SCRAPS = (
    "tel", "phone ", "Rang ", "no.", " ", ": ", '"', "+1", "+49", "(", ")", "0", "00", "170", "(0170) ", "12",
    "34 56", "IT60X0542811101000000123456", "IT60 X0542811101000000123456", "IT60 X054 2811 1010 0000 0123 456",
    "SM86U0322509800000000270100", "555 0142", "/", "-", ".", ",", "_", "#", "K17-", "T",
    "DE89 3704 0044 0532 0130 00", "DE89370400440532013000",
)  # fmt: skip


@settings(max_examples=500)
@given(st.lists(st.sampled_from(_SCRAPS), max_size=9).map("".join))
def test_no_number_hides_from_the_first_glance(line: str) -> None:
    closely = [*phones(line), *ibans(line)]
    assert not closely or [text for _, text in numbered_lines(line)] == [line]


@pytest.mark.parametrize(
    "account",
    # The registry of ISO 13616 (SWIFT): its examples for countries with letters in the account; from memory.
    [
        "IT60X0542811101000000123456",
        "IT60 X0542811101000000123456",
        "IT60 X054 2811 1010 0000 0123 456",
        "SM86U0322509800000000270100",
        "GB29NWBK60161331926819",
        "FR1420041010050500013M02606",
        "MT84MALT011000012345MTLCAST001S",
    ],
)
def test_accounts_with_letters_are_found(account: str) -> None:
    assert told(f'note = "pay to {account} please"') == ["IBAN"]


@given(st.text())
def test_no_text_is_too_odd(text: str) -> None:
    for found in personal_data(text):
        assert 0 <= found.start < len(text)


def test_a_long_word_before_a_mail_address_takes_no_time() -> None:
    # Gone through from each of its letters, this word would take the better part of an hour.
    assert told(f"{'a' * 1_000_000} ida@post.example") == ["mail address"]
