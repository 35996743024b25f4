"""Every target holds of its seeds, of what searches have found, and of seeds that were altered at random."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from random import Random

import pytest

from tests.fuzz.__main__ import CASES, How, searched
from tests.fuzz.targets import TARGETS
from tests.long_run import LONG

ALTERED = 100 if LONG else 20
RUNS = 100 if LONG else 20
PIECES = (
    b"\n",
    b"\0",
    b"\xff",
    b'"""',
    b"[[",
    b"\xe2\x80\xae",
    b"1e999",
    b"-",
    b",",
    b"\x1b[2J",
    b" " * 40,
    b"= {",
    b"=====\n",
)


def found() -> list[Path]:
    return sorted(path for path in CASES.glob("*/*") if path.is_file())


@pytest.mark.parametrize("case", found(), ids=[f"{path.parent.name}-{path.name[:16]}" for path in found()])
def test_what_a_search_found_is_mended(case: Path) -> None:
    TARGETS[case.parent.name].run(case.read_bytes())


@pytest.mark.parametrize("name", TARGETS)
def test_seeds_altered_at_random(name: str) -> None:
    target, dice = TARGETS[name], Random(name)  # noqa: S311 - the same each time
    seeds = list(target.seeds())
    for seed in seeds[:6]:
        target.run(seed)
    for _ in range(ALTERED):
        target.run(altered(dice.choice(seeds), dice))


@pytest.mark.skipif(
    importlib.util.find_spec("atheris") is None, reason="atheris, extra `fuzz`, is not installed"
)
def test_short_guided_searches_find_nothing(tmp_path: Path) -> None:
    for name, search in searched(TARGETS, How(runs=RUNS, seconds=0, seed=1, keep=tmp_path)).items():
        assert search.failed == [], search.said
        assert search.inputs >= RUNS, name
        assert search.reached > 10, name
        assert len([*(tmp_path / name).iterdir()]) >= len([*TARGETS[name].seeds()]), name
    blind = searched(["quantity"], How(runs=2000, seconds=0, seed=1, keep=tmp_path, blind=True))["quantity"]
    assert (blind.failed, blind.inputs) == ([], 2000), blind.said


def altered(content: bytes, dice: Random) -> bytes:
    """Cut, repeat, put in and swap pieces of a text."""
    text = bytearray(content)
    for _ in range(dice.randint(1, 4)):
        start = dice.randint(0, len(text))
        end = min(len(text), start + dice.randint(0, 12))
        piece = dice.choice(
            [b"", bytes(text[start:end]) * 2, dice.choice(PIECES), bytes([dice.randrange(256)])]
        )
        text[start:end] = piece
    return bytes(text)
