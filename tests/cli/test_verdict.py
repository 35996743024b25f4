"""`jobkit verdict` and `jobkit show`: one limit, two meters, and why the verdicts differ."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.books import EXAMPLE, make_book
from tests.conftest import Run
from tests.schema.schemas import fast

LIMIT = "0.25 Ω .. 1.2 Ω"


def test_the_coarse_meter_is_near_and_the_good_one_in_and_both_say_why(run: Run) -> None:
    coarse = run("verdict", "0.43 Ω", LIMIT, "--meter", "dmm-1", "--book", EXAMPLE)
    assert coarse.status == 1
    assert " ".join(coarse.out.split()) == (
        "0.43 Ω on dmm-1 (up to 220 Ω), minus 0.12 Ω lead resistance = 0.31 Ω, U = 0.13 Ω (k = 2): near, because it is "
        "60 mΩ inside 0.25 Ω .. 1.2 Ω, no more than U (guarded); 82 % sure to be inside."
    )
    good = run("verdict", "0.341 Ω", LIMIT, "--meter", "dmm-2", "--book", EXAMPLE)
    assert good.status == 0
    assert " ".join(good.out.split()) == (
        "0.341 Ω on dmm-2 (up to 100 Ω), U = 4.7 mΩ (k = 2): in, because it is 91 mΩ inside 0.25 Ω .. 1.2 Ω, more "
        "than U (guarded)."
    )


AS_TYPED = [
    ("23.4", "10 .. 30 Ω", "23.4 Ω: in"),
    ("23,4", "10 .. 30 Ω", "23.4 Ω: in"),
    ("12.60V", "12 V ± 5 %", "12.60 V: in"),
    ("46m", "<= 60 mΩ", "46 mΩ: in"),
    ("3k2", ">= 200 Ω", "3.2 kΩ: in"),
    ("o", ">= 200 Ω", "OL: in"),
    ("-5V", "-5 V ± 5 %", "−5 V: in"),
]


@pytest.mark.parametrize(("value", "limit", "said"), AS_TYPED, ids=[value for value, _, _ in AS_TYPED])
def test_a_value_is_read_as_it_is_typed_at_the_bench(run: Run, value: str, limit: str, said: str) -> None:
    ran = run("verdict", value, limit)
    assert (ran.status, ran.err) == (0, "")
    assert ran.out.startswith(said)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("23.4", "10 .. 30"), "has no unit"),
        (("1,234", "10 .. 30 Ω"), "may be a decimal point or a thousands separator"),
        (("12.60V", "10 .. 30 Ω"), "resistance"),
        (("23.4 Ω", "10 .. 30 Ω", "--decision", "wild"), '"wild" is not a decision rule'),
        (("23.4 Ω", "10 .. 30 Ω", "--kind", "wild"), '"wild" is not a kind of reading'),
    ],
)
def test_what_cannot_be_read_is_said(run: Run, words: tuple[str, ...], said: str) -> None:
    ran = run("verdict", *words)
    assert (ran.status, said in ran.err) == (2, True), ran


def test_names_are_taken_in_any_case(run: Run) -> None:
    words = ("--kind", "RESISTANCE", "--meter", "DMM-2", "--range", "100", "--decision", "Guarded")
    ran = run("verdict", "0.341 Ω", LIMIT, *words, "--book", EXAMPLE)
    assert (ran.status, ran.err) == (0, "")


def test_the_job_shows_the_same_two_verdicts_and_why(run: Run) -> None:
    readings = run("show", "41", "--on", "2026-11-20", "--book", EXAMPLE, "--format", "json").data["readings"]
    coarse, good = [
        one
        for one in readings
        if (one["point"], one["stage"], one["kind"]) == ("VCORE", "proof", "resistance")
    ]
    assert [one["verdict"] for one in (coarse, good)] == ["near", "in"]
    assert "minus 0.12 Ω lead resistance = 0.31 Ω, U = 0.13 Ω" in coarse["why"]
    assert "60 mΩ inside 0.25 Ω .. 1.2 Ω, no more than U" in coarse["why"]
    assert "91 mΩ inside 0.25 Ω .. 1.2 Ω, more than U" in good["why"]
    # ± (0.5 % of reading + 8 × 0.01 Ω), of the reading and of the leads, rectangular, k = 2: worked by hand
    assert coarse["uncertainty"]["value"] == pytest.approx(0.132891, abs=5e-7)
    assert good["uncertainty"]["value"] == pytest.approx(2 * (0.0003 * 0.341 + 0.004) / 3**0.5, rel=1e-9)


def test_figures_that_would_look_alike_get_more_digits(run: Run) -> None:
    # U of 0.38 Ω is 0.1332 Ω: 0.13 Ω inside is less, and two digits would not show it
    told = " ".join(run("verdict", "0.50 Ω", LIMIT, "--meter", "dmm-1", "--book", EXAMPLE).out.split())
    assert "U = 0.133 Ω (k = 2): near, because it is 0.13 Ω inside" in told


@pytest.mark.parametrize(("r", "word"), [("0.4", "in"), ("0.5", "near"), ("2", "near")])
def test_the_bench_may_set_the_guard_factor(run: Run, tmp_path: Path, r: str, word: str) -> None:
    settings, meters = (
        (EXAMPLE / f"{name}.toml").read_text(encoding="utf-8") for name in ("bench", "meters")
    )
    files = {
        "bench.toml": settings.replace("[decision]\n", f"[decision]\nr = {r}\n"),
        "meters.toml": meters,
    }
    book = make_book(tmp_path / "book", files)
    ran = run("verdict", "0.43 Ω", LIMIT, "--meter", "dmm-1", "--book", book)
    told = " ".join(ran.out.split())
    assert f": {word}, because it is 60 mΩ inside" in told
    assert f"than {r} U = " in told


def test_the_answer_keeps_to_its_schema(run: Run) -> None:
    for words in (
        ("0.43 Ω", LIMIT, "--meter", "dmm-1"),
        ("OL", ">= 1 MΩ", "--meter", "dmm-1"),
        ("5 V", ">= 4 V"),
    ):
        ran = run("verdict", *words, "--format", "json", "--book", EXAMPLE)
        assert fast("answers/verdict").is_valid(ran.data), words


def test_the_decision_rule_may_be_named(run: Run) -> None:
    words = ("verdict", "0.43 Ω", LIMIT, "--meter", "dmm-1", "--format", "json", "--book", EXAMPLE)
    assert [run(*words, "--decision", rule).data["verdict"] for rule in ("plain", "guarded")] == [
        "in",
        "near",
    ]
    without = run("verdict", "0.26 Ω", LIMIT, "--decision", "guarded")
    assert "as the uncertainty is not known: no meter is named" in " ".join(without.out.split())


def test_no_book_is_needed_without_a_meter(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert run("verdict", "23.4 Ω", "10 .. 30 Ω").status == 0
    ran = run("verdict", "23.4 Ω", "10 .. 30 Ω", "--meter", "dmm-1")
    assert ran.status == 2
    assert "bench.toml" in ran.err


def test_range_and_wires_may_be_named(run: Run) -> None:
    ran = run("verdict", "25 Ω", ">= 20 Ω", "--meter", "dmm-1", "--range", "22 kΩ", "--book", EXAMPLE)
    assert "up to 22 kΩ" in ran.out
    four = run("verdict", "41.6 mΩ", "<= 60 mΩ", "--meter", "mohm-1", "--four-wire", "--book", EXAMPLE)
    assert (four.status, "four wires, up to 2 Ω" in four.out) == (0, True)


def test_a_unit_of_several_kinds_is_read_as_the_meter_has_it(run: Run) -> None:
    assert run("verdict", "15 mV", "<= 30 mV", "--meter", "scope-1", "--book", EXAMPLE).status == 0


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("5 V", ">= 4 V", "--meter", "dmm-11"), "dmm-1"),
        (("25 V", ">= 4 V", "--meter", "dmm-1"), "ends at 22 V"),
        (("25 Ω", ">= 4 Ω", "--meter", "dmm-1", "--range", "2 kΩ"), "220 Ω, 22 kΩ, 22 MΩ"),
        (("25 Ω", ">= 4 Ω", "--meter", "mohm-1"), "four wires"),
        (("25 Ω", ">= 4 Ω", "--meter", "dmm-1", "--decision", "bold"), "plain"),
        (("25 Ω", ">= 4 Ω", "--range", "2 kΩ"), "--meter"),
        (("25 Ω", ">= 4 V"), "V"),
    ],
    ids=lambda value: value if isinstance(value, str) else " ".join(value),
)
def test_misuse_is_one_line(run: Run, words: tuple[str, ...], told: str) -> None:
    ran = run("verdict", *words, "--book", EXAMPLE)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.count("\n") == 1
    assert told in ran.err


def test_a_book_without_meters_says_so(run: Run, tmp_path: Path) -> None:
    ran = run("verdict", "5 V", ">= 4 V", "--meter", "dmm-1", "--book", make_book(tmp_path))
    assert (ran.status, "has none yet" in ran.err) == (2, True)
