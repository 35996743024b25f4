"""What contradicts itself is said at the moment it is written: by `jot`, by the hook and by lint alike."""

from __future__ import annotations

import shlex
from typing import NamedTuple

import pytest

from tests.at_the_bench import BENCH, JOB, JOB_PATH, work
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import put
from tests.cli.conftest import AtBench

DONOR = (
    JOB.replace("K26-0007", "K26-0003").replace("title", 'outcome = "beyond-repair"\ntitle')
    + '[fate]\nis = "kept-for-parts"\nowner_agreed = true\n'
)
DONOR = DONOR.replace("[fate]", "finished = 2026-10-21\n[fate]", 1)
OTHER = JOB.replace("K26-0007", "K26-0005")
USED = '\n[[used]]\nat = 2026-10-22T09:00:00\npart = "U4"\nitem = "memory package"\nfrom = "K26-0003"\n'
STAGES = '\n[[used]]\nat = 2026-10-22T09:00:00\npart = "Q214"\nitem = "stage-50a-5x6"\nqty = 14\n'
OFF = work("remove", "U3", at="2026-10-22T09:00:00")


@pytest.fixture(autouse=True)
def _no_git_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    forget_git_settings(monkeypatch)


class Slip(NamedTuple):
    """A book beside the job, the words of `jot`, and what is said of them."""

    more: str
    words: tuple[str, ...]
    rule: str
    says: str


SLIPS = {
    "a part of a donor used twice": Slip(
        "",
        ("used", "memory package", "part", "u4", "from", "K26-0003"),
        "donor-twice",
        "U4 of K26-0003 was used already",
    ),
    "more than there is": Slip(
        "",
        ("used", "stage-50a-5x6", "q214"),
        "stock-negative",
        "14 of stage-50a-5x6 counted on 2026-09-30, and 15",
    ),
    "removed twice": Slip(
        OFF, ("work", "remove", "u3"), "removed-twice", "off the board since 2026-10-22 09:00"
    ),
    "fitted though never removed": Slip("", ("work", "fit", "u4"), "never-removed", "it was never removed"),
    "new, off a donor": Slip(
        OFF + USED.replace("U4", "U3"), ("work", "fit", "u3", "new"), "came-mismatch", "taken from K26-0003"
    ),
    "a pad that reads kilo-ohms": Slip(
        "",
        ("pad", "u3", "b4", "lifted", "data", "repaired", "wire", "reads", "4k7"),
        "pad-outside",
        "reads 4.7 kΩ",
    ),
}


def _sits(bench: AtBench, more: str) -> GitRepo:
    put(bench.root / JOB_PATH, JOB + more)
    put(bench.root / JOB_PATH.replace("0007", "0003"), DONOR)
    put(bench.root / JOB_PATH.replace("0007", "0005"), OTHER + USED + STAGES)
    repo = GitRepo.make(bench.root)
    repo.commit("So far")
    bench("on", "7")
    return repo


@pytest.mark.parametrize("slip", SLIPS.values(), ids=SLIPS)
def test_a_slip_is_said_at_jot_in_the_hook_and_by_lint(bench: AtBench, slip: Slip) -> None:
    repo = _sits(bench, slip.more)
    ran = bench("jot", *slip.words)
    assert ran.status == 0
    assert slip.rule in ran.err
    assert slip.says in " ".join(ran.err.split())
    repo.git("add", "-A")
    for words in (("lint", "--staged"), ("lint",)):
        assert slip.rule in bench(*words, "--on", "2026-10-22").out, words


NAMES = {
    "a run much like one of the policy": ('trial "laod run" pass 30', '"laod run" is neither a run'),
    "a ball that no array has": ("pad u10 i4 lifted", "U10 cannot have a ball I4"),
    "a meter that there is not": ("pad u3 b4 lifted reads 0.2 meter dmm-7", "there is no meter dmm-7"),
}


@pytest.mark.parametrize(("words", "says"), NAMES.values(), ids=NAMES)
def test_a_mistyped_name_is_not_written(bench: AtBench, words: str, says: str) -> None:
    _sits(bench, "")
    before = bench.text
    ran = bench("jot", *shlex.split(words))
    assert (ran.status, bench.text) == (2, before)
    assert says in ran.err
    assert "--as-is" in ran.err
    assert bench("jot", *shlex.split(words), "--as-is").status == 0
    assert bench.text != before


def test_a_donor_that_is_not_in_the_book_is_not_written(bench: AtBench) -> None:
    before = bench.text
    ran = bench("jot", "used", "memory", "u3", "from", "K26-0099")
    assert (ran.status, bench.text) == (2, before)
    assert 'there is no job "K26-0099"' in ran.err


def test_a_run_of_ones_own_is_written_without_a_word(bench: AtBench) -> None:
    assert bench.writes("jot", "trial", "the owner's game", "fail")


def test_limits_without_a_log_are_said_to_be_unchecked(bench: AtBench) -> None:
    words = ("jot", "trial", "load run", "pass", "30", "limit", "hot spot=<= 95 °C")
    assert "    not checked against a log: hot spot <= 95 °C\n" in bench(*words).out
    assert "not checked" not in bench("jot", "trial", "picture", "pass").out


def test_a_pad_gets_the_meter_in_use(bench: AtBench) -> None:
    bench.writes("jot", "pad", "u3", "b4", "lifted", "data")
    out = bench.writes("jot", "pad", "u3", "b4", "repaired", "wire", "reads", "0.3")
    assert out.endswith("\n    0.3 Ω in (<= 1 Ω), dmm-1\n")
    assert 'reads = "0.3 Ω"\nmeter = "dmm-1"' in bench.text


def test_the_limit_of_a_pad_is_the_benchs(bench: AtBench) -> None:
    put(bench.root / "bench.toml", BENCH + '[pads]\nlimit = "<= 200 mΩ"\n')
    ran = bench("jot", "pad", "u3", "b4", "lifted", "repaired", "wire", "reads", "0.3")
    assert "outside its limit <= 200 mΩ" in ran.err


def test_sending_a_board_without_its_bracket_is_said(bench: AtBench) -> None:
    put(bench.root / JOB_PATH, JOB.replace("[intake]", 'kept_back = ["bracket"]\n[intake]', 1))
    assert "stored separately: bracket" in " ".join(bench("jot", "sent").err.split())


def test_what_other_jobs_say_is_not_asked_where_nothing_of_it_changes(
    bench: AtBench, monkeypatch: pytest.MonkeyPatch
) -> None:
    _sits(bench, USED + STAGES)
    monkeypatch.setattr("jobkit.book.shelf.opening.Tree.jobs_containing", _not_asked)
    assert bench("jot", "note", "flux on the bench").status == 0


def _not_asked(*_args: object) -> tuple[str, ...]:
    raise AssertionError("the other jobs were gone through")
