"""What the log of a trial says that need not be typed: how long the board was under load, and the result."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import ROUND_FLOOR, Decimal
from typing import Any

from jobkit.reckon.entry.value_parsing import JotError
from jobkit.reckon.load_run.trial import Evidence, check_words


def filled_in(entry: Mapping[str, Any], evidence: Evidence) -> dict[str, Any]:
    """Give a trial the minutes and the result of its log where it has none; raises JotError where the log tells none.

    A trial whose log is inside its limits, or too near to tell, is passed; one outside has failed.
    """
    found = dict(entry)
    if "minutes" not in found and evidence.run:
        found["minutes"] = _minutes(evidence.run.minutes + evidence.run.interval / 60)
    if "result" not in found:
        found["result"] = _result(evidence)
    return found


def _minutes(minutes: float) -> Decimal:
    """Round down to whole minutes, short runs to a tenth; half a second is forgiven.

    >>> _minutes(29.997), _minutes(4.96)
    (Decimal('30'), Decimal('4.9'))
    """
    exact = Decimal(str(minutes + 0.01))
    whole = exact.to_integral_value(ROUND_FLOOR)
    tenths = exact.quantize(Decimal("0.1"), ROUND_FLOOR)
    return whole if exact >= 10 or tenths == whole else tenths


def _result(evidence: Evidence) -> str:
    if evidence.word == "out":
        return "fail"
    if evidence.word in {"in", "near"}:
        return "pass"
    why = "; ".join(map(check_words, evidence.worst)) or "there are no limits to check it against"
    raise JotError(f"the log does not tell the result: {why}", "say pass, fail or stopped")
