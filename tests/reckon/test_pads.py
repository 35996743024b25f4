"""What a repaired pad may read, with the meter that read it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from jobkit.book.read.bench import read_meters, read_settings
from jobkit.book.toml.parse import parse
from jobkit.jobs.bench import Bench
from jobkit.jobs.entries import Pad
from jobkit.reckon.readings.pads import judge_pad, pad_limit
from jobkit.units.quantity import parse_quantity
from tests.at_the_bench import BENCH

METERS = """\
format = 1
[[meter]]
name = "dmm-1"
[[meter.range]]
kind = "resistance"
upto = "220 Ω"
percent = 0.5
counts = 8
step = "0.01 Ω"
lead = "0.12 Ω"
"""


def bench(more: str = '[decision]\nrule = "guarded"\n') -> Bench:
    settings, troubles = read_settings(parse((BENCH + more).encode()))
    assert troubles == ()
    return Bench(settings, read_meters(parse(METERS.encode()))[0])


def pad(reads: str, repaired: str | None = "film", meter: str | None = None) -> Pad:
    value = parse_quantity(reads, "resistance") if reads else None
    return Pad(("pad", 0), part="U3", ball="B4", repaired=repaired, reads=value, meter=meter)


VERDICTS = {
    "well inside": (pad("0.3 Ω", meter="dmm-1"), "in"),
    "1.10 Ω less the leads is 0.98 Ω, which the meter cannot tell from 1 Ω": (
        pad("1.10 Ω", meter="dmm-1"),
        "near",
    ),
    "2 Ω": (pad("2 Ω", meter="dmm-1"), "out"),
    "kilo-ohms": (pad("4.7 kΩ"), "out"),
    "open": (pad("OL"), "out"),
    "without a meter the leads stay in": (pad("1.10 Ω"), "out"),
    "exactly the limit, without a meter": (pad("1 Ω"), "in"),
}


@pytest.mark.parametrize(("one", "word"), VERDICTS.values(), ids=VERDICTS)
def test_the_verdict_on_a_pad(one: Pad, word: str) -> None:
    verdict = judge_pad(one, bench())
    assert verdict is not None
    assert verdict.word == word
    assert verdict.limit == pad_limit(bench())


@pytest.mark.parametrize(
    "one",
    [pad(""), pad("4.7 kΩ", None), pad("4.7 kΩ", "left-open")],
    ids=["not read", "not repaired", "left open"],
)
def test_what_is_no_repair_has_no_verdict(one: Pad) -> None:
    assert judge_pad(one, bench()) is None


def test_the_bench_may_have_a_limit_of_its_own() -> None:
    own = bench('[pads]\nlimit = "<= 500 mΩ"\n')
    assert pad_limit(own).text == "<= 500 mΩ"
    assert pad_limit(bench()).high is not None
    assert pad_limit(bench()).high.value == Decimal(1)  # type: ignore[union-attr]
    verdict = judge_pad(pad("0.6 Ω"), own)
    assert verdict is not None
    assert verdict.word == "out"
