"""What a person reads who wrote a limit wrongly."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.units.grammar import LONGEST
from jobkit.units.limit import LimitError, LimitMismatchError, parse_limit, usual_limit_spelling
from tests.units.promised import check_promise
from tests.units.written_by_hand import ANY_KIND, kinds_and_limits, smudged

OHM_LIMITS = 'write it like ">= 10 Ω", "<= 60 Ω", "10 .. 60 Ω", "35 Ω ± 5 %" or "OL"'
REFUSALS = [
    # text, kind, what is said of it, what to write instead
    ("> 5 V", None, 'the limit "> 5 V" needs its lower limit written with >=', 'write ">= 5 V"'),
    ("< 5 V", None, 'the limit "< 5 V" needs its upper limit written with <=', 'write "<= 5 V"'),
    ("=> 5V", None, 'the limit "=> 5V" needs its lower limit written with >=', 'write ">= 5 V"'),
    ("max. 95 °C", None, 'the limit "max. 95 °C" needs its upper limit written with <=', 'write "<= 95 °C"'),
    ("10 - 60 Ω", None, 'the limit "10 - 60 Ω" has no .. between its ends', 'write "10 .. 60 Ω"'),
    ("10-60 Ω", "resistance", 'the limit "10-60 Ω" has no .. between its ends', 'write "10 .. 60 Ω"'),
    ("10 Ω – 60 Ω", None, 'the limit "10 Ω – 60 Ω" has no .. between its ends', 'write "10 Ω .. 60 Ω"'),
    ("10 to 60 Ω", None, 'the limit "10 to 60 Ω" has no .. between its ends', 'write "10 .. 60 Ω"'),
    ("10…60 Ω", None, 'the limit "10…60 Ω" needs exactly two points between its ends', 'write "10 .. 60 Ω"'),
    (
        "10 ... 60 Ω",
        None,
        'the limit "10 ... 60 Ω" needs exactly two points between its ends',
        'write "10 .. 60 Ω"',
    ),
    (".. 60 Ω", None, 'the limit ".. 60 Ω" has no lower end', 'write "<= 60 Ω"'),
    ("10 Ω ..", None, 'the limit "10 Ω .." has no upper end', 'write ">= 10 Ω"'),
    ("10 Ω .. 60", None, 'the limit "10 Ω .. 60" has no unit at its upper end', 'write "10 Ω .. 60 Ω"'),
    ("10 .. 60", "resistance", 'in the limit "10 .. 60": "60" has no unit', 'write "10 .. 60 Ω"'),
    (
        "12 V +- 5 %",
        None,
        'the limit "12 V +- 5 %" needs its tolerance written with ± or +/-',
        'write "12 V ± 5 %"',
    ),
    (
        "12 V +/− 5 %",
        None,
        'the limit "12 V +/− 5 %" needs its tolerance written with ± or +/-',
        'write "12 V ± 5 %"',
    ),
    (
        "12 V ± 5",
        None,
        'the limit "12 V ± 5" has a tolerance without a unit',
        'write "12 V ± 5 %" or "12 V ± 5 V"',
    ),
    ("85 °C ± 5", None, 'the limit "85 °C ± 5" has a tolerance without a unit', 'write "85 °C ± 5 °C"'),
    ("12 V ± -5 %", None, 'the limit "12 V ± -5 %" has a sign after its ±', 'write "12 V ± 5 %"'),
    (
        "12 V + 5 %",
        None,
        'the limit "12 V + 5 %" has a tolerance to one side only',
        'write "12 V +5 % / −0 %" or "12 V ± 5 %"',
    ),
    (
        "12 V - 5 %",
        None,
        'the limit "12 V - 5 %" has a tolerance to one side only',
        'write "12 V −5 % / +0 %" or "12 V ± 5 %"',
    ),
    ("± 0.5 V", None, 'the limit "± 0.5 V" has an empty tolerance', 'write "−0.5 .. 0.5 V"'),
    ("5 V", None, '"5 V" is one value, not a limit', 'write ">= 5 V", "<= 5 V" or "5 V ± 5 %"'),
    ("85 °C", None, '"85 °C" is one value, not a limit', 'write ">= 85 °C" or "<= 85 °C"'),
    ("5 V", "voltage", '"5 V" is one value, not a limit', 'write ">= 5 V", "<= 5 V" or "5 V ± 5 %"'),
    ("5", None, '"5" is not a limit', OHM_LIMITS),
    ("4K7X", "resistance", '"4K7X" is not a limit', OHM_LIMITS),
    ("goodJ", None, '"goodJ" is not a limit', OHM_LIMITS),
    ("5", "voltage", '"5" is one value, not a limit', 'write ">= 5 V", "<= 5 V" or "5 V ± 5 %"'),
    ("4K7J", "resistance", '"4K7J" writes its tolerance as a letter', 'write "4K7 ± 5 %"'),
    ("ol", "resistance", 'the limit "ol" is not how an open reading is written', 'write "OL"'),
    (">= 5 V ", None, 'the limit ">= 5 V " has one space too many', 'write ">= 5 V"'),
    ("12\u00a0V ± 5\u00a0%", None, 'the limit "12 V ± 5 %" has one space too many', 'write "12 V ± 5 %"'),
    # a percentage of a Celsius temperature means nothing
    (
        "85 °C ± 5 %",
        None,
        (
            'in the limit "85 °C ± 5 %": a percentage of a temperature has no meaning, '
            "because the zero of the scale is arbitrary"
        ),
        'give the tolerance in °C, such as "± 5 °C"',
    ),
    # parts that are no quantities
    (
        "12,5 V ± 5 %",
        None,
        'in the limit "12,5 V ± 5 %": "12,5 V" has a decimal comma',
        'write "12.5 V ± 5 %"',
    ),
    ("12V±5%", None, 'in the limit "12V±5%": "12V" has no space between number and unit', 'write "12 V±5%"'),
    (">= 200 ohms", "resistance", 'in the limit ">= 200 ohms": "ohms" is not a unit', 'write ">= 200 Ω"'),
    (
        "5V .. 15V",
        None,
        'in the limit "5V .. 15V": "15V" has no space between number and unit',
        'write "5 V .. 15 V"',
    ),
    (">= OL", "resistance", 'in the limit ">= OL": "OL" is not an end of a limit', None),
    (
        "4K7 ± 5 %",
        None,
        'in the limit "4K7 ± 5 %": the code "4K7" does not tell what it measures',
        'write "4.7 kΩ ± 5 %"',
    ),
    ("12 V ± 0.5V", None, 'in the limit "12 V ± 0.5V": "0.5V" is not a tolerance', 'write "12 V ± 0.5 V"'),
    ("12 V ± 0,5 V", None, 'in the limit "12 V ± 0,5 V": "0,5 V" is not a tolerance', 'write "12 V ± 0.5 V"'),
    (
        "5V ± 0.5V",
        "voltage",
        'in the limit "5V ± 0.5V": "5V" has no space between number and unit',
        'write "5 V ± 0.5 V"',
    ),
    # what is mended is the part itself, not letters of another one that look like it
    (
        "10.5 V .. .5 V",
        None,
        'in the limit "10.5 V .. .5 V": the point in ".5 V" needs a digit on both sides',
        'write "10.5 V .. 0.5 V"',
    ),
    (
        "15V .. 5V",
        "voltage",
        'in the limit "15V .. 5V": "5V" has no space between number and unit',
        'write "15 V .. 5 V"',
    ),
    ("0.5 V ± .5 V", None, 'in the limit "0.5 V ± .5 V": ".5 V" is not a tolerance', 'write "0.5 V ± 0.5 V"'),
    (
        "5 Ohms .. 5 Ohm",
        None,
        'in the limit "5 Ohms .. 5 Ohm": "Ohm" is not a unit as capitals count in units',
        'write "5 Ω .. 5 Ω"',
    ),
    (
        "1.5V..5V",
        None,
        'in the limit "1.5V..5V": "5V" has no space between number and unit',
        'write "1.5 V..5 V"',
    ),
    (
        "12 V + 500mV / - .2 V",
        None,
        'in the limit "12 V + 500mV / - .2 V": ".2 V" is not a tolerance',
        'write "12 V + 500 mV / - 0.2 V"',
    ),
    (
        "12 V ± R47",
        None,
        'in the limit "12 V ± R47": "R47" is not a tolerance',
        'write it like "5 %" or "0.5 V"',
    ),
    (
        "12 V ± nan %",
        None,
        'in the limit "12 V ± nan %": "nan %" is not a tolerance',
        'write it like "5 %" or "0.5 V"',
    ),
    (
        "",
        None,
        "the limit is empty",
        OHM_LIMITS,
    ),
    (
        "good",
        "temperature",
        '"good" is not a limit',
        'write it like ">= 10 °C", "<= 60 °C", "10 .. 60 °C", "35 °C ± 5 °C" or "OL"',
    ),
    ("5 V", "voltag", '"voltag" is not a kind of reading', 'use "voltage"'),
]


@pytest.mark.parametrize(
    ("text", "kind", "message", "mend"), REFUSALS, ids=[f"{text!r}-{kind}" for text, kind, *_ in REFUSALS]
)
def test_a_refusal_says_what_is_wrong_and_what_to_write(
    text: str, kind: str | None, message: str, mend: str | None
) -> None:
    with pytest.raises(LimitError) as refused:
        parse_limit(text, kind)
    assert refused.value.message == message
    assert mend is None or refused.value.mend == mend


@pytest.mark.parametrize("text", [">= 5 V", "5 .. 7 V", "5 V ± 5 %", "10 Ω .. 60 V", "10 Ω ± 1 V"])
def test_a_limit_in_another_kind_s_unit_is_a_mismatch(text: str) -> None:
    with pytest.raises(LimitMismatchError) as refused:
        parse_limit(text, "resistance")
    assert '" has a unit of voltage, not of resistance' in refused.value.message


@pytest.mark.parametrize("text", ["10 Ω .. 60 V", "12 V ± 5 Ω", "12 V + 5 % / - 1 A"])
def test_a_limit_that_mixes_kinds_is_refused(text: str) -> None:
    with pytest.raises(LimitError) as refused:
        parse_limit(text)
    assert not isinstance(refused.value, LimitMismatchError)


def test_the_usual_spelling_of_no_limit_is_refused_alike() -> None:
    with pytest.raises(LimitError, match="needs its lower limit written"):
        usual_limit_spelling("> 5 V")


@given(st.text(max_size=30), st.none() | ANY_KIND)
def test_any_text_is_read_or_refused_in_one_line(text: str, kind: str | None) -> None:
    check_any(text, kind)


@given(
    kinds_and_limits().flatmap(lambda drawn: st.tuples(st.sampled_from([None, drawn[0]]), smudged(drawn[1])))
)
def test_a_smudged_text_is_read_or_refused_in_one_line(drawn: tuple[str | None, str]) -> None:
    kind, text = drawn
    check_any(text, kind)


@pytest.mark.parametrize("letter", ["9", " .", "-", "+ ", "± ", "1 ", "..", "5V/", ">= "])
def test_a_text_beyond_the_longest_is_refused_unread(letter: str) -> None:
    with pytest.raises(LimitError, match="too"):
        parse_limit(letter * 200_000)


def test_the_longest_limit_is_read() -> None:
    longest = f"10 .. {'9' * (LONGEST - 8)} V"
    assert parse_limit(longest).text == longest
    with pytest.raises(LimitError, match="is too long for a limit; write it like"):
        parse_limit(longest.replace("9", "99", 1))
    with pytest.raises(LimitError, match=r"has no \.\. between its ends"):
        parse_limit(longest.replace("..", "to"))


def check_any(text: str, kind: str | None) -> None:
    """Hold whatever comes to what reading it promises."""
    try:
        answer = parse_limit(text, kind)
    except LimitError as refused:
        check_promise(refused, lambda offer: parse_limit(offer, kind))
        return
    assert answer.text == text
