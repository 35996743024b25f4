"""Texts as a person may write them: strategies shared by the tests of this room."""

from decimal import Decimal

from hypothesis import strategies as st

from jobkit.units.kinds import KINDS, SPELLINGS, spellings

ANY_KIND = st.sampled_from(sorted(KINDS))
UNSIGNED = st.from_regex(r"[0-9]{1,7}(\.[0-9]{1,7})?", fullmatch=True, alphabet="0123456789.")
SIGN = st.sampled_from(["", "+", "-", "−"])
NUMBER = st.builds(str.__add__, SIGN, UNSIGNED)
EXACT_DECIMALS = st.decimals(
    allow_nan=False, allow_infinity=False, min_value=-(10**12), max_value=10**12, places=12
)

_CODE_LETTERS = {"resistance": "RKkMGL", "capacitance": "Fpnuµ\u03bcm", "inductance": "pnuµ\u03bcm"}


@st.composite
def codes(draw: st.DrawFn, kind: str) -> str:
    """Draw a component code of a kind that has codes."""
    before, after = draw(
        st.sampled_from([("4", "7"), ("", "47"), ("470", ""), ("0", "22"), ("47", "3"), ("1", "0")])
    )
    return before + draw(st.sampled_from(_CODE_LETTERS[kind])) + after


@st.composite
def quantities(draw: st.DrawFn, kind: str) -> str:
    """Draw a sound text of a kind, a code now and then."""
    if kind in _CODE_LETTERS and draw(st.integers(0, 4)) == 0:
        return draw(codes(kind))
    return f"{draw(NUMBER)} {draw(st.sampled_from(spellings(kind)))}"


@st.composite
def kinds_and_quantities(draw: st.DrawFn) -> tuple[str, str]:
    """Draw a kind and a sound text of it."""
    kind = draw(ANY_KIND)
    return kind, draw(quantities(kind))


@st.composite
def _tolerances(draw: st.DrawFn, kind: str) -> str:
    if kind != "temperature" and draw(st.booleans()):
        return draw(UNSIGNED) + draw(_GAPS) + "%"
    return f"{draw(UNSIGNED)} {draw(st.sampled_from(spellings(kind)))}"


_GAPS = st.sampled_from([" ", "", "  "])


@st.composite
def limits(draw: st.DrawFn, kind: str) -> str:
    """Draw a sound limit of a kind, by the grammar."""
    gap, other_gap = draw(_GAPS), draw(_GAPS)
    form = draw(
        st.sampled_from(["OL", "compared", "range", "bare range", "even", "plus minus", "minus plus"])
    )
    quantity = draw(quantities(kind))
    first, second = draw(_tolerances(kind)), draw(_tolerances(kind))
    minus = draw(st.sampled_from("-−"))
    return {
        "OL": "OL",
        "compared": draw(st.sampled_from([">=", "≥", "<=", "≤"])) + gap + quantity,
        "range": draw(quantities(kind)) + gap + ".." + other_gap + quantity,
        "bare range": draw(NUMBER) + gap + ".." + other_gap + quantity,
        "even": quantity + gap + draw(st.sampled_from(["±", "+/-"])) + other_gap + first,
        "plus minus": f"{quantity}{gap}+{other_gap}{first}{gap}/{other_gap}{minus}{gap}{second}",
        "minus plus": f"{quantity}{gap}{minus}{other_gap}{first}{gap}/{other_gap}+{gap}{second}",
    }[form]


@st.composite
def kinds_and_limits(draw: st.DrawFn) -> tuple[str, str]:
    """Draw a kind and a sound limit of it."""
    kind = draw(ANY_KIND)
    return kind, draw(limits(kind))


@st.composite
def smudged(draw: st.DrawFn, text: str) -> str:
    """Draw the text with a few letters lost, doubled or replaced, as a tired hand would."""
    for _ in range(draw(st.integers(1, 3))):
        at = draw(st.integers(0, len(text)))
        put = draw(
            st.sampled_from(
                ["", "", " ", ".", "..", "-", "+", "/", "%", "±", "Ω", "k", "m", "R", "7", ",", ">", "°"]
            )
        )
        text = text[:at] + put + text[at + draw(st.integers(0, 1)) :]
    return text


UNIT_TEXTS = st.sampled_from(sorted(SPELLINGS))


def tiny(value: Decimal) -> Decimal:
    """Give a step far below the last digit of a value."""
    exponent = value.as_tuple().exponent
    assert isinstance(exponent, int)
    return Decimal(1).scaleb(min(exponent, 0) - 9)
