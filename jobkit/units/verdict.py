"""Verdicts: a value checked against a limit by a stated decision rule.

Plain ("simple acceptance", JCGM 106:2012, 8.2.1; ILAC-G8:09/2019, 4.2.1): the limits are the ends of the
limit, and belong to it.

Guarded (guard band w = r U, JCGM 106:2012, 8.3; ILAC-G8:09/2019, 4.2.2 and table 1; w = U unless the bench sets another
r): inside by more than w is `in`, outside by more than w `out`, the rest `near`. Exactly w from a limit is `near`.
ILAC-G8 would let the acceptance limit TL − w itself pass; this room claims neither conformity nor the lack of it until
the distance is beyond w. Where U is 0 the guarded rule is the plain one.
"""

from collections.abc import Iterable
from decimal import Decimal

from jobkit.named_tuple import NamedTuple
from jobkit.units.conformity import conformance_probability
from jobkit.units.errors import MisuseError
from jobkit.units.exact import EXACT, ROOT
from jobkit.units.limit import Limit
from jobkit.units.quantity import Quantity, plain
from jobkit.units.written import plain_digits, show


class VerdictError(MisuseError):
    """A value cannot be checked against this limit."""


RULES = ("plain", "guarded")
"""The decision rules."""


class Decision(NamedTuple):
    """A decision rule, `plain` or `guarded`, the coverage factor k of U, and the guard factor r of w = r U."""

    rule: str = "plain"
    k: Decimal = Decimal(2)
    r: Decimal = Decimal(1)


class Verdict(NamedTuple):
    """The answer to whether a value is within a limit.

    `word` is `in`, `out` or `near`; `margin` the distance to the nearest limit, positive inside, None where
    reading or limit is open; `uncertainty` the expanded one that was given; `rule` the rule used, in plain
    words. `guard` is the guard band w, None where none was used; `inside` the probability that the true value is within
    the limit, told for `near` alone (JCGM 106:2012, 7.2 to 7.4).
    """

    word: str
    margin: Quantity | None
    uncertainty: Quantity | None
    rule: str
    guard: Quantity | None = None
    inside: float | None = None


PLAIN = Decision()

_WORST = ("out", "", "near", "in")


def severity(word: str) -> int:
    """Rank the word of a check, the worst first: out, "" (it could not be made), near, in."""
    return _WORST.index(word)


def worst_word(words: Iterable[str]) -> str:
    """Give the one word for several checks, "" for one that could not be made and for none at all.

    >>> worst_word(["in", "near"]), worst_word(["in", ""]), worst_word(["out", ""])
    ('near', '', 'out')
    """
    return min(words, key=severity, default="")


def judge(
    value: Quantity,
    limit: Limit,
    *,
    uncertainty: Quantity | None = None,
    decision: Decision = PLAIN,
    reach: Quantity | None = None,
) -> Verdict:
    """Check a value against a limit; raises VerdictError where their units differ or the rule is unknown.

    `uncertainty` is the expanded one, with the k of `decision`; `reach` is the upper end of the meter's
    range, which tells how much an open reading says. A guarded decision without uncertainty falls back to
    plain, and says so.

    >>> from jobkit.units.quantity import parse_quantity
    >>> from jobkit.units.limit import parse_limit
    >>> judge(parse_quantity("11.40 V"), parse_limit("12 V ± 5 %")).word
    'in'
    >>> value, expanded = parse_quantity("0.4 Ω"), parse_quantity("0.3 Ω")
    >>> judge(value, parse_limit("<= 0.5 Ω"), uncertainty=expanded, decision=Decision("guarded")).word
    'near'
    """
    _comparable(value, limit, uncertainty, decision)
    if value.open or limit.open:
        return _judge_open(value, limit, reach)
    margin, rule = _margin(value.value, limit), _rule_in_words(decision, uncertainty)
    distance = plain(margin, value.unit)
    if decision.rule == "plain" or uncertainty is None or not uncertainty.value:
        return Verdict("in" if margin >= 0 else "out", distance, uncertainty, rule)
    guard = _times(uncertainty, decision.r)
    word = _guarded_word(margin, guard.value)
    inside = _inside(value, limit, uncertainty, decision.k) if word == "near" else None
    return Verdict(word, distance, uncertainty, rule, guard, inside)


def _margin(value: Decimal, limit: Limit) -> Decimal:
    margins = []
    if limit.low is not None:
        margins.append(EXACT.subtract(value, limit.low.value))
    if limit.high is not None:
        margins.append(EXACT.subtract(limit.high.value, value))
    return min(margins)


def _times(uncertainty: Quantity, r: Decimal) -> Quantity:
    """Give the guard band w = r U; its text has two significant digits, as that of U."""
    if r == 1:
        return uncertainty
    value = EXACT.multiply(r, uncertainty.value)
    return Quantity(value, uncertainty.unit, show(value, uncertainty.unit, 2))


def _inside(value: Quantity, limit: Limit, expanded: Quantity, k: Decimal) -> float:
    standard = plain(ROOT.divide(expanded.value, k), expanded.unit)
    return conformance_probability(value, limit, standard)


def _guarded_word(margin: Decimal, guard: Decimal) -> str:
    if margin > guard:
        return "in"
    return "out" if margin < -guard else "near"


def _judge_open(value: Quantity, limit: Limit, reach: Quantity | None) -> Verdict:
    """Judge where the reading or the limit is open; no distance can be told then.

    An open reading is beyond the meter's range: within a lower limit alone, unless the range ends below that
    limit.
    """
    if limit.open:
        return Verdict("in" if value.open else "out", None, None, "plain, the reading should be open")
    if limit.high is not None or limit.low is None:
        return Verdict("out", None, None, "plain, an open reading is above any upper limit")
    if reach is not None and reach.value < limit.low.value:
        return Verdict(
            "near", None, None, f"plain, the meter's range ends at {reach.text}, short of the limit"
        )
    return Verdict("in", None, None, "plain, an open reading is above the lower limit")


def _rule_in_words(decision: Decision, uncertainty: Quantity | None) -> str:
    if decision.rule == "plain":
        return "plain"
    if uncertainty is None:
        return "plain, as the uncertainty is not known"
    guard = "" if decision.r == 1 else f"w = {plain_digits(decision.r)} U, "
    return f"guarded, {guard}U = {uncertainty.text} (k = {plain_digits(decision.k)})"


def _comparable(value: Quantity, limit: Limit, uncertainty: Quantity | None, decision: Decision) -> None:
    if decision.rule not in ("plain", "guarded"):
        raise VerdictError(f'"{decision.rule}" is not a decision rule', 'choose "plain" or "guarded"')
    if limit.unit not in ("", value.unit):
        raise VerdictError(
            f'"{value.text}" cannot be checked against the limit "{limit.text}"',
            f"give both in {value.unit} or both in {limit.unit}",
        )
    if uncertainty is not None and uncertainty.unit != value.unit:
        raise VerdictError(
            f'"{uncertainty.text}" is not an uncertainty of "{value.text}"', f"give it in {value.unit}"
        )
