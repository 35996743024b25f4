"""Marks on parts: what they stand for, and what is said of them where a value is wanted."""

from __future__ import annotations

import pytest

from jobkit.units.part_marks import marked
from jobkit.units.quantity import QuantityError, parse_quantity
from jobkit.units.refusals import why_no_quantity
from jobkit.units.typed import as_written

# The E96 series of IEC 60063:2015, table of preferred values for a tolerance of 1 % (from memory).
E96 = """\
100 102 105 107 110 113 115 118 121 124 127 130 133 137 140 143 147 150 154 158 162 165 169 174
178 182 187 191 196 200 205 210 215 221 226 232 237 243 249 255 261 267 274 280 287 294 301 309
316 324 332 340 348 357 365 374 383 392 402 412 422 432 442 453 464 475 487 499 511 523 536 549
562 576 590 604 619 634 649 665 681 698 715 732 750 768 787 806 825 845 866 887 909 931 953 976
"""


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        # IEC 60062:2016, three and four characters (from memory)
        ("103", "capacitance", "10 nF"),
        ("104", "capacitance", "0.1 µF"),
        ("475", "capacitance", "4.7 µF"),
        ("100", "capacitance", "10 pF"),
        ("103K", "capacitance", "10 nF"),
        ("103", "resistance", "10 kΩ"),
        ("470", "resistance", "47 Ω"),
        ("4702", "resistance", "47 kΩ"),
        ("1000", "resistance", "100 Ω"),
        # EIA-198 (from memory)
        ("229", "capacitance", "2.2 pF"),
        ("478", "capacitance", "0.47 pF"),
        # the largest power of ten on a part, common practice, no source
        ("106", "capacitance", "10 µF"),
        ("106", "resistance", "10 MΩ"),
        ("107", "capacitance", None),
        ("107", "resistance", None),
        ("108", "inductance", None),
        # coils, in µH: common practice, no source
        ("101", "inductance", "100 µH"),
        ("220", "inductance", "22 µH"),
        # EIA-96 (from memory)
        ("01C", "resistance", "10 kΩ"),
        ("68X", "resistance", "49.9 Ω"),
        ("96F", "resistance", "97.6 MΩ"),
        ("30Y", "resistance", "2 Ω"),
        # not marks
        ("47", "capacitance", None),
        ("012", "resistance", None),
        ("97A", "resistance", None),
        ("00A", "resistance", None),
        ("01C", "capacitance", None),
        ("103", "voltage", None),
        ("109", "resistance", None),
        ("12345", "resistance", None),
    ],
)
def test_what_a_mark_stands_for(text: str, kind: str, value: str | None) -> None:
    found = marked(text, kind)
    expected = value and parse_quantity(value, kind).value
    assert (found and parse_quantity(found, kind).value) == expected


def test_the_two_digits_of_eia_96_are_the_place_in_the_e96_series() -> None:
    shown = [marked(f"{place:02}A", "resistance") for place in range(1, 97)]
    assert shown == [f"{figures} Ω" for figures in E96.split()]


@pytest.mark.parametrize(
    ("text", "kind", "mend"),
    [
        ("103", "capacitance", 'as the mark on a part it is 10 nF: write "10 nF"'),
        ("103", "resistance", 'write "103 Ω", or "10 kΩ" if it is the mark on a part'),
        ("01C", "resistance", 'write "10 kΩ"'),
        ("47", "inductance", 'add the unit, such as "47 µH"'),
        ("12", "resistance", 'write "12 Ω"'),
    ],
)
def test_the_hint_names_the_value_of_the_mark(text: str, kind: str, mend: str) -> None:
    assert why_no_quantity(text, kind).mend == mend


def test_a_bare_number_is_not_typed_as_farads() -> None:
    with pytest.raises(QuantityError, match="10 nF"):
        as_written("103", "capacitance")
    with pytest.raises(QuantityError, match="add the unit"):
        as_written("47", "capacitance")
    with pytest.raises(QuantityError, match="10 kΩ"):
        as_written("01C", "resistance")
    assert as_written("103", "resistance") == "103 Ω"
    assert as_written("10R", "resistance") == "10 Ω"
    assert as_written("103n", "capacitance") == "103 nF"
