"""What is typed at the bench is read as it is meant, or refused; nothing is guessed."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobkit.units.kinds import KINDS, SPELLINGS, UNITS
from jobkit.units.number_slips import NEVER_WHOLE
from jobkit.units.quantity import QuantityError, parse_quantity
from jobkit.units.typed import as_written, is_unit, kinds_told, looks_like_value


@pytest.mark.parametrize(
    ("typed", "kind", "written"),
    [
        ("23.4", "resistance", "23.4 Ω"),
        ("23.40", "resistance", "23.40 Ω"),
        (".31", "resistance", "0.31 Ω"),
        ("5.", "resistance", "5 Ω"),
        ("23,4", "resistance", "23.4 Ω"),
        ("0,123", "resistance", "0.123 Ω"),
        ("1,2345", "voltage", "1.2345 V"),
        ("1.35V", "voltage", "1.35 V"),
        ("1.35v", "diode", "1.35 V"),
        ("12mv", "ripple", "12 mV"),
        ("-0.012", "voltage", "−0.012 V"),
        ("-5 V", "voltage", "−5 V"),
        ("0." + "1" * 196 + " V", "voltage", "0." + "1" * 196 + " V"),
        ("−0.012V", "voltage", "−0.012 V"),
        ("46m", "resistance", "46 mΩ"),
        ("46 mohm", "resistance", "46 mΩ"),
        ("3.2k", "resistance", "3.2 kΩ"),
        ("1.5M", "resistance", "1.5 MΩ"),
        ("4.7u", "capacitance", "4.7 µF"),
        ("100n", "capacitance", "100 nF"),
        ("3k2", "resistance", "3.2 kΩ"),
        ("R47", "resistance", "0.47 Ω"),
        ("4R7", "resistance", "4.7 Ω"),
        ("2u2", "capacitance", "2.2 µF"),
        ("25.1C", "temperature", "25.1 °C"),
        ("77 °F", "temperature", "77 °F"),
        ("OL", "resistance", "OL"),
        ("o", "diode", "OL"),
        ("0.L", "resistance", "OL"),
        # As bench meters answer over a serial line: IEEE 488.2 number form NR3, a unit in capitals (from memory).
        ("+2.3400E+01 OHM", "resistance", "23.400 Ω"),
        ("1.5E-3 VDC", "voltage", "0.0015 V"),
        # SCPI-99 7.2.1.4: 9.9E37 stands for infinity (from memory).
        ("+9.90000000E+37", "resistance", "OL"),
        ("-9.9E+37", "resistance", "OL"),
        ("9.8E37", "resistance", "98" + "0" * 36 + " Ω"),
        ("0." + "0" * 36 + "1", "resistance", "0." + "0" * 36 + "1 Ω"),
        # prefix and unit in any case, as long as the prefix is told
        ("5 kHZ", "frequency", "5 kHz"),
        ("5MHZ", "frequency", "5 MHz"),
        ("298 K", "temperature", "298 K"),
        ("10F", "capacitance", "10 F"),
    ],
)
def test_a_typed_value_is_written_as_files_have_it(typed: str, kind: str, written: str) -> None:
    assert as_written(typed, kind) == written


@pytest.mark.parametrize(
    ("typed", "kind", "message", "mend"),
    [
        ("1,234", "resistance", "may be a decimal point or a thousands separator", 'write "1.234" or "1234"'),
        (
            "-12,345V",
            "voltage",
            "may be a decimal point or a thousands separator",
            'write "-12.345" or "-12345"',
        ),
        ("1.234,5", "resistance", "", ""),
        ("1.2.3", "resistance", "is not a number", ""),
        ("12MV", "voltage", "", ""),
        ("ol", "voltage", '"ol" is not a voltage', "only resistance or diode can be open"),
        ("9.9E37", "current", "is not a current", ""),
        ("1.35V", "resistance", "has a unit of voltage, not of resistance", ""),
        ("5n", "resistance", '"5n" does not fit resistance', ""),
        ("nan", "resistance", "not a number", ""),
        ("", "resistance", "the quantity is empty", ""),
        ("ol", "inductance", '"ol" is not an inductance', "only resistance or diode can be open"),
        ("5k", "temperature", '"5k" does not fit temperature', 'write it like "5°C"'),
        ("4k7", "voltage", "is not a component code for voltage", 'write "4.7 kV"'),
        ("9" * 201, "resistance", "is too long for a quantity", ""),
        *(
            (text, "voltag", '"voltag" is not a kind', 'use "voltage"')
            for text in ("5", "5 V", "OL", "k", "4k7")
        ),
    ],
)
def test_what_is_ambiguous_or_no_value_is_refused(typed: str, kind: str, message: str, mend: str) -> None:
    with pytest.raises(QuantityError) as refused:
        as_written(typed, kind)
    assert message in refused.value.message
    assert mend in refused.value.mend
    assert refused.value.mend


@pytest.mark.parametrize(
    ("typed", "kinds"),
    [
        ("23.4", ()),
        ("1.35V", ("voltage", "diode", "ripple")),
        ("2A", ("current",)),
        ("23.4ohm", ("resistance",)),
        ("3k2", ("resistance",)),
        ("4u7", ("capacitance", "inductance")),
        ("OL", ("resistance", "diode")),
        ("100n", ("current", "capacitance", "inductance")),
        ("10G", ("resistance", "frequency")),
        ("4F7", ("capacitance",)),
        ("25C", ("temperature",)),
        ("298 K", ()),
        (" o ", ("resistance", "diode")),
        ("", ()),
        ("nonsense", ()),
    ],
)
def test_a_unit_tells_which_kinds_it_may_be(typed: str, kinds: tuple[str, ...]) -> None:
    assert kinds_told(typed) == kinds


@pytest.mark.parametrize(
    ("word", "is_value", "is_apart"),
    [
        ("23.4", True, False),
        ("-.5V", True, False),
        ("3k2", True, False),
        ("OL", True, False),
        ("VMEM", False, False),
        ("U3", False, False),
        ("R", False, False),
        ("47R", True, False),
        ("r47", False, False),
        ("", False, False),
        ("c", False, True),
        ("ohm", False, True),
        ("mV", False, True),
        ("V", False, True),
    ],
)
def test_a_word_is_told_to_be_a_value_a_unit_or_a_name(word: str, is_value: bool, is_apart: bool) -> None:  # noqa: FBT001
    assert (looks_like_value(word), is_unit(word)) == (is_value, is_apart)


_NUMBERS = st.decimals(min_value=0, max_value=999, places=3)


@settings(deadline=None)
@given(
    number=_NUMBERS,
    kind=st.sampled_from(sorted(KINDS)),
    apart=st.sampled_from(["", " "]),
    comma=st.booleans(),
    data=st.data(),
)
def test_a_value_with_its_unit_means_what_it_says(
    number: Decimal,
    kind: str,
    apart: str,
    comma: bool,  # noqa: FBT001
    data: st.DataObject,
) -> None:
    """The reader of files is the oracle: the same number and unit, written out by hand."""
    units = [name for name, spelling in SPELLINGS.items() if spelling.unit == KINDS[kind].unit]
    unit = data.draw(st.sampled_from(units))
    text = f"{number:f}"
    typed = text.replace(".", ",") if comma and number < 1 else text
    written = as_written(f"{typed}{apart}{unit}", kind)
    assert parse_quantity(written, kind).value == parse_quantity(f"{text} {unit}", kind).value


@settings(deadline=None)
@given(number=_NUMBERS, kind=st.sampled_from(sorted(KINDS)), data=st.data())
def test_a_prefix_alone_takes_the_unit_of_the_kind(number: Decimal, kind: str, data: st.DataObject) -> None:
    unit = UNITS[KINDS[kind].unit]
    # Nothing on a board has whole farads or henries: a number alone is refused there.
    prefixes = [prefix for prefix in unit.prefixes if prefix or unit.symbol not in NEVER_WHOLE]
    prefix = data.draw(st.sampled_from(prefixes))
    written = as_written(f"{number:f}{prefix}", kind)
    assert (
        parse_quantity(written, kind).value == parse_quantity(f"{number:f} {prefix}{unit.symbol}", kind).value
    )
    assert not prefix or kind in kinds_told(f"{number:f}{prefix}")


@settings(deadline=None)
@given(st.text(max_size=12), st.sampled_from(sorted(KINDS)))
def test_anything_is_read_or_refused_in_words(text: str, kind: str) -> None:
    try:
        written = as_written(text, kind)
    except QuantityError as refused:
        words = refused.message, refused.mend
        assert all(words), words
    else:
        assert parse_quantity(written, kind).unit == KINDS[kind].unit
