"""What a person reads who wrote a quantity wrongly: what is wrong, and what to write instead."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.units.errors import MisuseError
from jobkit.units.grammar import LONGEST
from jobkit.units.kinds import KINDS
from jobkit.units.number_slips import TOLERANCE_LETTERS
from jobkit.units.quantity import OtherKindError, QuantityError, parse_quantity
from jobkit.units.slip import either, nearest, quoted
from tests.units.promised import check_promise
from tests.units.written_by_hand import ANY_KIND, kinds_and_quantities, smudged

OHMS = "give it in µΩ, mΩ, Ω, kΩ, MΩ or GΩ"
VOLTS = "give it in µV, mV, V or kV"
BASE_UNITS = "give it in Ω, V, A, F, H, Hz, °C, W, rpm or fps"
REFUSALS = [
    # text, kind, what is said of it, what to write instead
    # decimal commas and marks of thousands
    ("23,4 Ω", "resistance", '"23,4 Ω" has a decimal comma', 'write "23.4 Ω"'),
    ("0,125 V", None, '"0,125 V" has a decimal comma', 'write "0.125 V"'),
    (
        "1,234 Ω",
        None,
        'the comma in "1,234 Ω" may be a decimal point or a thousands separator',
        'write "1.234 Ω" or "1234 Ω"',
    ),
    ("1,234,567 Ω", None, '"1,234,567 Ω" has a comma among its digits', 'write "1234567 Ω"'),
    ("1,234.5 V", None, '"1,234.5 V" has a comma among its digits', 'write "1234.5 V"'),
    ("1.234,5 V", None, '"1.234,5 V" has a decimal comma', 'write "1234.5 V"'),
    ("1 000 Ω", None, '"1 000 Ω" has one space too many', 'write "1000 Ω"'),
    # no numbers
    ("nan V", None, '"nan V" is not a number', 'write "OL" for an open reading, or leave the value out'),
    ("-inf", "voltage", '"-inf" is not a number', 'write "OL" for an open reading, or leave the value out'),
    ("∞ Ω", None, '"∞ Ω" is not a number', 'write "OL" for an open reading, or leave the value out'),
    (
        "Infinity V",
        None,
        '"Infinity V" is not a number',
        'write "OL" for an open reading, or leave the value out',
    ),
    # exponents
    ("1e3 Ω", None, '"1e3 Ω" has an exponent', 'write "1 kΩ"'),
    ("1.2E-5 F", None, '"1.2E-5 F" has an exponent', 'write "12 µF"'),
    ("-4×10^2 °C", None, '"-4×10^2 °C" has an exponent', 'write "−400 °C"'),
    ("4.7e3", "resistance", '"4.7e3" has an exponent', 'write "4700 Ω"'),
    ("3e2 K", None, '"3e2 K" has an exponent', 'write "300 K"'),
    ("98.6e0 °F", "temperature", '"98.6e0 °F" has an exponent', 'write "98.6 °F"'),
    ("-4e−2 V", None, '"-4e−2 V" has an exponent', 'write "−40 mV"'),
    # spaces, signs and points
    ("23.4Ω", None, '"23.4Ω" has no space between number and unit', 'write "23.4 Ω"'),
    ("85°C", "temperature", '"85°C" has no space between number and unit', 'write "85 °C"'),
    ("5  V", None, '"5  V" has one space too many', 'write "5 V"'),
    ("5\u00a0V", None, '"5 V" has one space too many', 'write "5 V"'),
    (" 5 V\n", None, '" 5 V " has one space too many', 'write "5 V"'),
    ("- 5 V", None, 'the minus of "- 5 V" is a dash or is separated from its number', 'write "-5 V"'),
    ("–5 V", None, 'the minus of "–5 V" is a dash or is separated from its number', 'write "-5 V"'),
    (".31 V", None, 'the point in ".31 V" needs a digit on both sides', 'write "0.31 V"'),
    ("5. V", None, 'the point in "5. V" needs a digit on both sides', 'write "5 V"'),
    ("-.31 V", None, 'the point in "-.31 V" needs a digit on both sides', 'write "-0.31 V"'),
    ("5V", None, '"5V" has no space between number and unit', 'write "5 V"'),
    ("12V", "voltage", '"12V" has no space between number and unit', 'write "12 V"'),
    ("1 000 000 Ω", None, '"1 000 000 Ω" has one space too many', 'write "1000000 Ω"'),
    # nothing, or no unit
    ("", None, "the quantity is empty", 'write number, space and unit, such as "23.4 Ω"'),
    ("  ", "voltage", "the quantity is empty", 'write number, space and unit, such as "23.4 V"'),
    ("23.4", "resistance", '"23.4" has no unit', 'write "23.4 Ω"'),
    ("23.4", None, '"23.4" has no unit', 'write number, space and unit, such as "23.4 Ω"'),
    ("lots", None, '"lots" is not a number with a unit', 'write number, space and unit, such as "23.4 Ω"'),
    # open readings
    ("ol", "resistance", '"ol" is not how an open reading is written', 'write "OL"'),
    ("0.L", "diode", '"0.L" is not how an open reading is written', 'write "OL"'),
    ("ol", None, '"ol" is not how an open reading is written', 'write "OL"'),
    ("OL", None, '"OL" needs a kind of reading', "add the kind of reading"),
    # limits
    (">= 5 V", None, '">= 5 V" is a limit, not one value', 'write "5 V"'),
    (
        "12 V ± 5 %",
        "voltage",
        '"12 V ± 5 %" is a limit, not one value',
        'write number, space and unit, such as "23.4 V"',
    ),
    # component codes (IEC 60062)
    ("4K7", None, 'the code "4K7" does not tell what it measures', 'write "4.7 kΩ"'),
    ("4n7", None, 'the code "4n7" does not tell what it measures', 'write "4.7 nF" or "4.7 nH"'),
    ("3V3", "voltage", '"3V3" is not a component code for voltage', 'write "3.3 V"'),
    ("3V3", None, 'the code "3V3" does not tell what it measures', 'write "3.3 V"'),
    ("3V3", "resistance", '"3V3" is not a component code for resistance', OHMS),
    ("4R7", None, 'the code "4R7" does not tell what it measures', 'write "4.7 Ω"'),
    ("4R7", "voltage", '"4R7" is not a component code for voltage', VOLTS),
    ("4G7", "voltage", '"4G7" is not a component code for voltage', VOLTS),
    ("4k7", "inductance", '"4k7" is not a component code for inductance', "give it in pH, nH, µH, mH or H"),
    ("4x", "voltage", '"4x" has no space between number and unit', VOLTS),
    ("4x7", None, '"4x7" has no space between number and unit', BASE_UNITS),
    ("k", "resistance", '"k" is not a number with a unit', 'write number, space and unit, such as "23.4 Ω"'),
    ("V", "voltage", '"V" is not a number with a unit', 'write number, space and unit, such as "23.4 V"'),
    ("4m7", "resistance", '"4m7" is not a component code for resistance', 'write "4.7 mΩ"'),
    ("4R7", "inductance", '"4R7" is not a component code for inductance', 'write "4.7 µH"'),
    ("10k", "voltage", '"10k" is not a component code for voltage', 'write "10 kV"'),
    ("4K7J", "resistance", '"4K7J" ends in the tolerance letter J (5 %)', 'write "4K7"'),
    ("R47 G", "resistance", '"R47 G" ends in the tolerance letter G (2 %)', 'write "R47"'),
    ("4n7J", "capacitance", '"4n7J" ends in the tolerance letter J (5 %)', 'write "4n7"'),
    ("4K7J", None, '"4K7J" ends in the tolerance letter J (5 %)', 'write "4.7 kΩ"'),
    ("4K7J", "voltage", '"4K7J" has no space between number and unit', VOLTS),
    # units
    ("5 V", "resistance", '"5 V" has a unit of voltage, not of resistance', None),
    ("5 Ω", "temperature", '"5 Ω" has a unit of resistance, not of temperature', None),
    ("10 k", "resistance", 'the prefix "k" of "10 k" has no unit', 'write "10 kΩ"'),
    ("10 K", "resistance", 'the prefix "K" of "10 K" has no unit', 'write "10 kΩ"'),
    ("10 k", None, 'the prefix "k" of "10 k" has no unit', 'write "10 kΩ", "10 kV", "10 kHz" or "10 kW"'),
    ("10 u", "capacitance", 'the prefix "u" of "10 u" has no unit', 'write "10 µF"'),
    ("10 n", "resistance", '"n" is not a unit of resistance', OHMS),
    ("10 mkΩ", "resistance", '"mkΩ" has two prefixes', 'write "10 mΩ" or "10 kΩ"'),
    ("10 mkΩ", "voltage", '"mkΩ" is not a unit of voltage', VOLTS),
    ("10 TkΩ", None, '"TkΩ" has two prefixes', 'write "10 kΩ"'),
    ("10 kkΩ", None, '"kkΩ" has two prefixes', 'write "10 kΩ"'),
    ("10 fΩ", None, 'Ω does not take the prefix "f" here', OHMS),
    ("10 µmV", None, '"µmV" has two prefixes', 'write "10 µV" or "10 mV"'),
    ("10 m°C", "temperature", "°C takes no prefix", "give it in °C"),
    ("10 µHz", "frequency", 'Hz does not take the prefix "µ" here', "give it in Hz, kHz, MHz or GHz"),
    ("10 mHz", "frequency", '"mHz" is not a unit as capitals count in units', 'write "10 MHz"'),
    ("10 KΩ", None, '"KΩ" is not a unit as capitals count in units', 'write "10 kΩ"'),
    ("10 MOHM", "resistance", '"MOHM" is not a unit as capitals count in units', 'write "10 mΩ" or "10 MΩ"'),
    ("10 R", "resistance", '"R" is not a unit', 'write "10 Ω"'),
    ("4.7 kR", None, '"kR" is not a unit', 'write "4.7 kΩ"'),
    ("23.4 ohms", "resistance", '"ohms" is not a unit', 'write "23.4 Ω"'),
    ("85 C", "temperature", '"C" is not a unit', 'write "85 °C"'),
    ("85 ℃", "temperature", '"℃" is not a unit', 'write "85 °C"'),
    ("85 deg C", None, '"deg C" is not a unit', 'write "85 °C"'),
    # "degF" and "°F" are units: what is left of them is not the prefix of one
    ("85 deg", None, '"deg" is not a unit', 'write "85 °C"'),
    ("85 °", "temperature", '"°" is not a unit', 'write "85 °C"'),
    ("5 ohms", "voltage", '"ohms" is not a unit of voltage', VOLTS),
    ("5 kvolts", None, '"kvolts" is not a unit', 'write "5 kV"'),
    ("20 mVpp", "ripple", '"mVpp" is not a unit', 'write "20 mV"'),
    ("23.4 omh", "resistance", '"omh" is not a unit of resistance', 'write "23.4 Ω"'),
    ("5 kHx", "frequency", '"kHx" is not a unit of frequency', 'write "5 kHz"'),
    ("23.4 kg", "resistance", '"kg" is not a unit of resistance', OHMS),
    ("23.4 kg", "voltage", '"kg" is not a unit of voltage', VOLTS),
    ("3 mm", "capacitance", '"mm" is not a unit of capacitance', "give it in pF, nF, µF, mF or F"),
    ("23.4 kg", None, '"kg" is not a unit', BASE_UNITS),
    ("5 %", "voltage", '"%" is not a unit of voltage', VOLTS),
    # kinds
    ("5 V", "voltag", '"voltag" is not a kind of reading', 'use "voltage"'),
    ("4K7", "voltag", '"voltag" is not a kind of reading', 'use "voltage"'),
    ("OL", "voltag", '"voltag" is not a kind of reading', 'use "voltage"'),
    ("5 V", "colour", '"colour" is not a kind of reading', f"the kinds are {either(tuple(KINDS))}"),
    # several slips at once
    ("23,4Ohm", "resistance", '"23,4Ohm" has a decimal comma', 'write "23.4 Ω"'),
    (" ,5k", "resistance", '" ,5k" has a decimal comma', 'write "0.5 kΩ"'),
    (
        "5V",
        "resistance",
        '"5V" has no space between number and unit',
        f"{OHMS}, or change the kind to voltage, diode or ripple",
    ),
    # what is left once a slip is out is not taken for a mark that was read off a part
    ("1,03", "capacitance", '"1,03" has a decimal comma', 'add the unit, such as "1.03 µF"'),
    ("1e2", "capacitance", '"1e2" has an exponent', 'add the unit, such as "100 µF"'),
]


@pytest.mark.parametrize(
    ("text", "kind", "message", "mend"), REFUSALS, ids=[f"{text!r}-{kind}" for text, kind, *_ in REFUSALS]
)
def test_a_refusal_says_what_is_wrong_and_what_to_write(
    text: str, kind: str | None, message: str, mend: str | None
) -> None:
    with pytest.raises(QuantityError) as refused:
        parse_quantity(text, kind)
    assert refused.value.message == message
    assert mend is None or refused.value.mend == mend
    assert refused.value.text == text
    assert isinstance(refused.value, MisuseError)
    assert isinstance(refused.value, OtherKindError) == ("has a unit of" in message)


def test_a_unit_of_another_kind_names_the_units_and_the_kinds() -> None:
    with pytest.raises(OtherKindError) as refused:
        parse_quantity("5 V", "frequency")
    assert (
        refused.value.mend == "give it in Hz, kHz, MHz or GHz, or change the kind to voltage, diode or ripple"
    )


def test_tolerance_letters() -> None:
    # IEC 60062, letters for symmetrical relative tolerances (from a copy)
    assert TOLERANCE_LETTERS == {"F": 1, "G": 2, "J": 5, "K": 10, "M": 20}


@given(st.text(max_size=30), st.none() | ANY_KIND)
def test_any_text_is_read_or_refused_in_one_line(text: str, kind: str | None) -> None:
    check_any(text, kind)


@given(
    kinds_and_quantities().flatmap(
        lambda drawn: st.tuples(st.sampled_from([None, drawn[0]]), smudged(drawn[1]))
    )
)
def test_a_smudged_text_is_read_or_refused_in_one_line(drawn: tuple[str | None, str]) -> None:
    kind, text = drawn
    check_any(text, kind)


def check_any(text: str, kind: str | None) -> None:
    """Hold whatever comes to what reading it promises."""
    try:
        answer = parse_quantity(text, kind)
    except QuantityError as refused:
        check_promise(refused, lambda offer: parse_quantity(offer, kind))
        return
    assert answer.text == text
    assert kind is None or answer.unit == KINDS[kind].unit


@pytest.mark.parametrize("letter", ["9", ",", "-", "x", "1 ", "..", "5V", "± "])
def test_a_text_beyond_the_longest_is_refused_unread(letter: str) -> None:
    with pytest.raises(QuantityError, match="is too long for a quantity"):
        parse_quantity(letter * 200_000)


def test_the_longest_text_is_read() -> None:
    assert parse_quantity("9" * (LONGEST - 2) + " V").unit == "V"
    with pytest.raises(QuantityError, match="too long"):
        parse_quantity("9" * (LONGEST - 1) + " V")
    with pytest.raises(QuantityError, match="has no unit"):
        parse_quantity("9" * LONGEST)


@pytest.mark.parametrize(
    ("length", "shown"), [(40, "x" * 40), (41, "x" * 37 + "..."), (50, "x" * 37 + "...")]
)
def test_a_long_text_is_quoted_short(length: int, shown: str) -> None:
    assert quoted("x" * length) == f'"{shown}"'


@pytest.mark.parametrize(
    ("word", "known", "expected"),
    [
        ("voltgae", ("voltage", "diode"), "voltage"),
        ("omh", ("ohm", "V"), "ohm"),
        ("colour", ("voltage", "diode"), None),
        ("x", (), None),
    ],
)
def test_the_nearest_word(word: str, known: tuple[str, ...], expected: str | None) -> None:
    assert nearest(word, known) == expected


@pytest.mark.parametrize(
    ("words", "text"), [(("a",), "a"), (("a", "b"), "a or b"), (("a", "b", "c"), "a, b or c")]
)
def test_a_choice_in_words(words: tuple[str, ...], text: str) -> None:
    assert either(words) == text
