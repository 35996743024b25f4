"""Verdicts: the very edge of a limit, guard bands, and open readings."""

from decimal import Decimal, localcontext
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.units.kinds import KINDS
from jobkit.units.limit import parse_limit
from jobkit.units.quantity import Quantity, parse_quantity, plain
from jobkit.units.verdict import Decision, VerdictError, judge, worst_word
from tests.units.written_by_hand import UNSIGNED, kinds_and_limits, tiny

GUARDED = Decision("guarded")
SMALL = st.decimals(-1000, 1000, allow_nan=False, places=3)
SIZES = st.decimals(0, 50, allow_nan=False, places=3)


@pytest.mark.parametrize(
    ("value", "limit", "word", "margin"),
    [
        # our own format: 12 V ± 5 % is 11.40 V to 12.60 V, and 11.40 V is in
        ("11.40 V", "12 V ± 5 %", "in", "0 V"),
        ("11.39999 V", "12 V ± 5 %", "out", "−10 µV"),
        ("12.60 V", "12 V ± 5 %", "in", "0 V"),
        ("12.60001 V", "12 V ± 5 %", "out", "−10 µV"),
        ("12 V", "12 V ± 5 %", "in", "0.6 V"),
        ("23.4 Ω", "10 .. 30 Ω", "in", "6.6 Ω"),
        ("0.4 Ω", ">= 200 Ω", "out", "−199.6 Ω"),
        ("200 Ω", ">= 200 Ω", "in", "0 Ω"),
        ("46 mΩ", "<= 1 MΩ", "in", "999.999954 kΩ"),
        ("46 MΩ", "<= 1 MΩ", "out", "−45 MΩ"),
        ("95 °C", "<= 95 °C", "in", "0 °C"),
        ("203 °F", "<= 95 °C", "in", "0 °C"),
        ("-12.5 V", "-12 V ± 5 %", "in", "0.1 V"),
        ("0 V", "0 V ± 0 %", "in", "0 V"),
        # a limit that nothing can meet
        ("30 Ω", "60 Ω .. 10 Ω", "out", "−30 Ω"),
    ],
)
def test_plain_verdicts(value: str, limit: str, word: str, margin: str) -> None:
    verdict = judge(parse_quantity(value), parse_limit(limit))
    assert (verdict.word, verdict.margin and verdict.margin.text) == (word, margin)
    assert (verdict.uncertainty, verdict.rule) == (None, "plain")


@given(UNSIGNED, UNSIGNED, st.sampled_from(["V", "mV", "kV"]))
def test_a_limit_lets_its_end_pass_and_not_the_least_bit_beyond(middle: str, percent: str, unit: str) -> None:
    limit = parse_limit(f"{middle} {unit} ± {percent} %")
    assert limit.low is not None
    assert limit.high is not None
    with localcontext() as context:
        context.prec = 60
        below = limit.low.value - tiny(limit.low.value)
        above = limit.high.value + tiny(limit.high.value)
    assert judge(limit.low, limit).word == judge(limit.high, limit).word == "in"
    assert judge(plain(below, "V"), limit).word == judge(plain(above, "V"), limit).word == "out"


def test_the_edge_is_exact_beyond_the_28_digits_of_the_default_context() -> None:
    digits = "1.0000000000000000000000000000000000001"
    assert judge(parse_quantity("1 V"), parse_limit(f">= {digits} V")).word == "out"
    assert judge(parse_quantity(f"{digits} V"), parse_limit(f">= {digits} V")).word == "in"
    assert judge(parse_quantity(f"{digits} V"), parse_limit("<= 1 V")).margin == plain(Decimal("-1E-37"), "V")


@pytest.mark.parametrize("limit", [f">= 0.{'0' * 36}1 V", f"<= 1.{'9' * 37} V"])
def test_a_margin_and_its_guard_band_keep_every_digit(limit: str) -> None:
    # the distance has 37 digits, so that the default context would round it up to 1 V
    value, a_hair_less_than_1 = parse_quantity("1 V"), f"0.{'9' * 37}"
    for guard, word in (
        ("1 V", "near"),
        (f"{a_hair_less_than_1} V", "near"),
        (f"{a_hair_less_than_1[:-1]} V", "in"),
    ):
        verdict = judge(value, parse_limit(limit), uncertainty=parse_quantity(guard), decision=GUARDED)
        assert verdict.word == word
        assert verdict.margin == plain(Decimal(a_hair_less_than_1), "V")


@pytest.mark.parametrize(
    ("value", "word"),
    [
        # w = U (ILAC-G8:09/2019, 4.2.2), worked by hand: TL 0.003, U 0.001 -> AL 0.002
        ("0.0017 V", "in"),
        ("0.0025 V", "near"),
        ("0.001999 V", "in"),
        ("0.0020 V", "near"),  # exactly U from the limit: the design says "by more than U"
        ("0.0030 V", "near"),
        ("0.0040 V", "near"),
        ("0.004001 V", "out"),
    ],
)
def test_a_guard_band_of_u(value: str, word: str) -> None:
    verdict = judge(
        parse_quantity(value),
        parse_limit("<= 0.003 V"),
        uncertainty=parse_quantity("0.001 V"),
        decision=GUARDED,
    )
    assert verdict.word == word
    assert verdict.rule == "guarded, U = 0.001 V (k = 2)"


def test_without_a_guard_band_the_acceptance_limit_is_the_limit() -> None:
    # ILAC-G8:09/2019, 4.2.1: w = 0 gives AL = TL
    none = parse_quantity("0 V")
    for value, word in (("0.003 V", "in"), ("0.0030001 V", "out")):
        assert (
            judge(parse_quantity(value), parse_limit("<= 0.003 V"), uncertainty=none, decision=GUARDED).word
            == word
        )


def test_the_plain_rule_shows_the_uncertainty_and_does_not_use_it() -> None:
    expanded = parse_quantity("0.3 Ω")
    verdict = judge(parse_quantity("0.4 Ω"), parse_limit("<= 0.5 Ω"), uncertainty=expanded)
    assert (verdict.word, verdict.uncertainty, verdict.rule) == ("in", expanded, "plain")


def test_a_coarse_meter_is_near_where_a_good_one_is_in() -> None:
    value, limit = parse_quantity("0.4 Ω"), parse_limit("<= 0.5 Ω")
    coarse = judge(value, limit, uncertainty=parse_quantity("0.3 Ω"), decision=GUARDED)
    good = judge(value, limit, uncertainty=parse_quantity("0.02 Ω"), decision=GUARDED)
    assert (coarse.word, good.word) == ("near", "in")
    assert (coarse.rule, good.rule) == ("guarded, U = 0.3 Ω (k = 2)", "guarded, U = 0.02 Ω (k = 2)")


def test_a_guarded_decision_without_uncertainty_is_plain_and_says_so() -> None:
    verdict = judge(parse_quantity("0.4 Ω"), parse_limit("<= 0.5 Ω"), decision=GUARDED)
    assert (verdict.word, verdict.rule) == ("in", "plain, as the uncertainty is not known")


def test_the_rule_names_the_coverage_factor_of_the_bench() -> None:
    decision = Decision("guarded", Decimal("2.50"))
    verdict = judge(
        parse_quantity("1 V"), parse_limit(">= 0 V"), uncertainty=parse_quantity("0.1 V"), decision=decision
    )
    assert verdict.rule == "guarded, U = 0.1 V (k = 2.5)"


@pytest.mark.parametrize(
    ("r", "risk"),
    [
        # ILAC-G8:09/2019, table 1: guard band w = r U (k = 2) and the risk at the acceptance limit TL - w. It prints
        # < 1 ppm, < 0.16 %, < 2.5 % and < 5 %; the digits are those of the normal distribution.
        ("3", 1e-6),
        ("1.5", 0.0016),
        ("1", 0.025),
        ("0.83", 0.05),
    ],
)
def test_the_guard_factor_sets_the_risk_at_the_acceptance_limit(r: str, risk: float) -> None:
    decision, expanded = Decision("guarded", r=Decimal(r)), parse_quantity("1 V")
    at_the_limit = plain(10 - Decimal(r), "V")
    verdict = judge(at_the_limit, parse_limit("<= 10 V"), uncertainty=expanded, decision=decision)
    assert verdict.word == "near"
    assert verdict.inside is not None
    assert 0.8 * risk < 1 - verdict.inside < risk or r == "3"
    assert 1 - verdict.inside < risk
    inner = plain(at_the_limit.value - tiny(at_the_limit.value), "V")
    assert judge(inner, parse_limit("<= 10 V"), uncertainty=expanded, decision=decision).word == "in"


def test_another_guard_factor_is_named() -> None:
    decision = Decision("guarded", r=Decimal("0.83"))
    verdict = judge(
        parse_quantity("9.5 V"), parse_limit("<= 10 V"), uncertainty=parse_quantity("1 V"), decision=decision
    )
    assert verdict.rule == "guarded, w = 0.83 U, U = 1 V (k = 2)"
    assert verdict.guard is not None
    assert (verdict.guard.value, verdict.guard.text) == (Decimal("0.83"), "0.83 V")


@pytest.mark.parametrize(
    ("r", "expanded", "guard"),
    [("1", "0.001 V", "0.001 V"), ("2", "1 V", "2 V"), ("0.83", "0.15 V", "0.12 V")],
)
def test_the_guard_band_is_told_as_u_is_or_to_two_digits(r: str, expanded: str, guard: str) -> None:
    decision = Decision("guarded", r=Decimal(r))
    verdict = judge(
        parse_quantity("1 V"), parse_limit(">= 0 V"), uncertainty=parse_quantity(expanded), decision=decision
    )
    assert verdict.guard is not None
    assert verdict.guard.text == guard
    assert verdict.guard.value == Decimal(r) * parse_quantity(expanded).value


@pytest.mark.parametrize(
    ("words", "worst"),
    [
        (["in", "near", "out", ""], "out"),
        (["in", "near", ""], ""),
        (["in", "near"], "near"),
        (["in"], "in"),
        ([], ""),
    ],
)
def test_the_worst_of_several_checks(words: list[str], worst: str) -> None:
    assert worst_word(words) == worst_word(words[::-1]) == worst


def test_how_sure_it_is_to_be_inside_is_told_where_the_meter_cannot_tell() -> None:
    # JCGM 106:2012, clause 7 (from memory): 13.6 with u = 1.8 and limits 12.5 and 16.3 is inside with 0.663
    limit = parse_limit("12.5 V .. 16.3 V")
    near = judge(parse_quantity("13.6 V"), limit, uncertainty=parse_quantity("3.6 V"), decision=GUARDED)
    assert near.word == "near"
    assert near.inside == pytest.approx(0.663, abs=5e-4)
    clear = judge(parse_quantity("13.6 V"), limit, uncertainty=parse_quantity("0.1 V"), decision=GUARDED)
    assert (clear.word, clear.inside) == ("in", None)
    plainly = judge(parse_quantity("13.6 V"), limit, uncertainty=parse_quantity("3.6 V"))
    assert (plainly.inside, plainly.guard) == (None, None)


@given(SMALL, SMALL, SMALL, SIZES)
def test_verdicts_follow_from_the_distances_to_both_ends(
    value: Decimal, low: Decimal, high: Decimal, guard: Decimal
) -> None:
    limit = parse_limit(f"{low} V .. {high} V")
    margin = min(Fraction(value) - Fraction(low), Fraction(high) - Fraction(value))
    plain_verdict = judge(plain(value, "V"), limit)
    guarded = judge(plain(value, "V"), limit, uncertainty=plain(guard, "V"), decision=GUARDED)
    assert plain_verdict.margin is not None
    assert Fraction(plain_verdict.margin.value) == margin
    assert plain_verdict.word == ("in" if low <= value <= high else "out")
    if guard:
        assert guarded.word == ("in" if margin > guard else "out" if margin < -guard else "near")


@given(SMALL, SMALL, SIZES, SIZES)
def test_a_wider_guard_band_only_ever_moves_a_verdict_to_near(
    value: Decimal, end: Decimal, one: Decimal, more: Decimal
) -> None:
    limit = parse_limit(f"<= {end} V")
    words = [
        judge(plain(value, "V"), limit, uncertainty=plain(guard, "V"), decision=GUARDED).word
        for guard in (one, one + more)
    ]
    assert words[1] in {words[0], "near"}


@pytest.mark.parametrize(
    ("limit", "reach", "word"),
    [
        # our own format: OL against a lower limit is in if the range reaches it, or if the meter is unknown
        (">= 1 MΩ", None, "in"),
        (">= 1 MΩ", "10 MΩ", "in"),
        (">= 1 MΩ", "1 MΩ", "in"),
        (">= 1 MΩ", "220 Ω", "near"),
        ("<= 1 MΩ", None, "out"),
        ("<= 1 MΩ", "220 Ω", "out"),
        ("10 .. 60 Ω", None, "out"),
        ("OL", None, "in"),
        ("OL", "220 Ω", "in"),
    ],
)
def test_an_open_reading(limit: str, reach: str | None, word: str) -> None:
    reading = parse_quantity("OL", "resistance")
    verdict = judge(reading, parse_limit(limit, "resistance"), reach=parse_quantity(reach) if reach else None)
    assert verdict.word == word
    assert verdict.margin is None
    assert verdict.uncertainty is None


def test_an_open_reading_beyond_a_short_range_says_where_the_range_ends() -> None:
    verdict = judge(
        parse_quantity("OL", "resistance"),
        parse_limit(">= 1 MΩ"),
        reach=parse_quantity("220 Ω"),
        decision=GUARDED,
    )
    assert verdict.rule == "plain, the meter's range ends at 220 Ω, short of the limit"


@pytest.mark.parametrize("limit", [parse_limit("OL"), parse_limit("OL", "resistance")])
def test_a_number_where_the_reading_should_be_open_is_out(limit: Any) -> None:
    verdict = judge(parse_quantity("30 MΩ"), limit)
    assert (verdict.word, verdict.margin) == ("out", None)


@given(kinds_and_limits())
def test_an_open_reading_is_never_within_an_upper_limit(drawn: tuple[str, str]) -> None:
    kind, text = drawn
    limit = parse_limit(text, kind)
    verdict = judge(Quantity(Decimal("Infinity"), KINDS[kind].unit, "OL"), limit)
    assert verdict.word == ("in" if limit.open or limit.high is None else "out")


@pytest.mark.parametrize(
    ("value", "limit", "options", "message"),
    [
        (
            "5 V",
            ">= 200 Ω",
            {},
            '"5 V" cannot be checked against the limit ">= 200 Ω"; give both in V or both in Ω',
        ),
        (
            "5 V",
            ">= 2 V",
            {"decision": Decision("strict")},
            '"strict" is not a decision rule; choose "plain" or "guarded"',
        ),
        (
            "5 V",
            ">= 2 V",
            {"uncertainty": parse_quantity("1 Ω")},
            '"1 Ω" is not an uncertainty of "5 V"; give it in V',
        ),
    ],
)
def test_what_cannot_be_judged_is_refused(
    value: str, limit: str, options: dict[str, Any], message: str
) -> None:
    with pytest.raises(VerdictError) as refused:
        judge(parse_quantity(value), parse_limit(limit), **options)
    assert str(refused.value) == message
