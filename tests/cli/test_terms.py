"""Terms with a history, from the files to the papers; and the rule that keeps the past where it is."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.bills import STOCK, bench, book, job
from tests.book.repo import GitRepo
from tests.books import put
from tests.conftest import Run

PRICE = '[price]\ncharged = "100.00 EUR"\npaid = 1\n'.replace("paid = 1\n", "")
SENT = (
    "agreed = 2026-10-07\nstarted = 2026-10-08\nfinished = 2026-10-09\npaid = 2026-10-10\nsent = 2026-10-12\n"
)
ON = ("--on", "2026-11-20")
LATER = '[[tax]]\nname = "VAT"\nrate = "24 %"\n\n[[tax]]\nsince = 2026-11-01\nrate = "25 %"\n'


def with_history(text: str) -> str:
    """Turn the [tax] of a bench.toml, its last table, into a history."""
    return text[: text.index("[tax]")] + LATER


def test_a_history_in_the_files_reaches_the_bill(run: Run, tmp_path: Path) -> None:
    old = book(tmp_path / "old", PRICE, with_history(bench()), dates=SENT)
    new = book(tmp_path / "new", PRICE, with_history(bench()), dates="finished = 2026-11-02\n")
    assert run("bill", "1", *ON, "--book", old, "--format", "json").data["gross"] == "124.00 EUR"
    made = run("bill", "1", *ON, "--book", new, "--format", "json").data
    assert (made["gross"], made["lines"][0]["percent"]) == ("125.00 EUR", 25)


def test_an_open_job_goes_by_the_day_asked_about(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, '[price]\nquoted = "100.00 EUR"\n', with_history(bench()), outcome="", dates="")
    for on, gross in (("2026-10-31", "124.00 EUR"), ("2026-11-01", "125.00 EUR")):
        assert run("bill", "1", "--on", on, "--book", root, "--format", "json").data["gross"] == gross


@pytest.fixture
def repo(tmp_path: Path) -> GitRepo:
    repo = GitRepo.make(tmp_path / "bench")
    warranty = '[warranty]\nduration = "P6M"\n'
    book(repo.root, PRICE, bench() + warranty, dates=SENT)
    repo.commit("As it was agreed")
    return repo


def moved(run: Run, repo: GitRepo, *more: str) -> list[str]:
    """Say what `lint` finds about terms."""
    found = run("lint", "--book", repo.root, *ON, *more, "--format", "json").data["findings"]
    return [f"{one['file']} {one['message']}" for one in found if one["rule"] == "terms-moved"]


ALTERED = "bench.toml this change alters the bill of K26-0001, which has been sent"


def test_a_tax_that_is_overwritten_is_an_error_wherever_it_is_looked_at(run: Run, repo: GitRepo) -> None:
    text = (repo.root / "bench.toml").read_text()
    put(repo.root / "bench.toml", text.replace("24 %", "25 %"))
    assert moved(run, repo) == [ALTERED]
    repo.git("add", "-A")
    assert moved(run, repo, "--staged") == [ALTERED]
    repo.commit("Raise the tax")
    assert moved(run, repo) == []
    assert moved(run, repo, "--rev", "HEAD") == [ALTERED]


def test_the_right_way_is_no_finding(run: Run, repo: GitRepo) -> None:
    put(repo.root / "bench.toml", with_history(bench()) + '[[warranty]]\nduration = "P6M"\n')
    assert moved(run, repo) == []
    repo.git("add", "-A")
    assert moved(run, repo, "--staged") == []


def test_the_way_to_fix_it_is_said(run: Run, repo: GitRepo) -> None:
    text = (repo.root / "bench.toml").read_text()
    put(repo.root / "bench.toml", text.replace("P6M", "P3M"))
    out = " ".join(run("lint", "--book", repo.root, *ON).out.split())
    assert "this change alters the warranty of K26-0001, which has been sent" in out
    assert "put the old terms back, and add the new ones as [[warranty]] with since" in out


def test_a_history_that_cannot_be_read_is_not_billed_from(run: Run, tmp_path: Path) -> None:
    twice = LATER + '\n[[tax]]\nsince = 2026-11-01\nrate = "26 %"\n'
    root = book(tmp_path, PRICE, with_history(bench()).replace(LATER, twice), dates=SENT)
    ran = run("bill", "1", *ON, "--book", root)
    assert (ran.status, ran.out) == (2, "")
    assert "cannot be billed while bench.toml has errors" in ran.err


def test_a_part_used_keeps_the_cost_of_its_day(run: Run, tmp_path: Path) -> None:
    history = 'cost = [{ amount = "4.20 EUR" }, { since = 2026-11-01, amount = "4.60 EUR" }]'
    root = book(tmp_path, PRICE, dates="started = 2026-10-08\n")
    put(root / "stock.toml", STOCK.replace('cost = "4.20 EUR"', history))
    path = root / "jobs/2026/K26-0001.toml"
    for at, cost in (("2026-10-31T10:00:00", "4.20 EUR"), ("2026-11-01T10:00:00", "4.60 EUR")):
        assert run("jot", "used", "stage", "--job", "1", "--book", root, "--at", at).status == 0
        entry = path.read_text().partition(f"at = {at}\n")[2].partition("\n\n")[0]
        assert entry.endswith(f'item = "stage"\ncost = "{cost}"')


UNREADABLE = {
    "weeks and years": ("job", 'duration = "P1Y2W"'),
    "words": ("job", 'duration = "1 year"'),
    "of the bench": ("bench", 'duration = "1 year"'),
}


@pytest.mark.parametrize("command", ["warranty", "report"])
@pytest.mark.parametrize(("where", "line"), UNREADABLE.values(), ids=UNREADABLE)
def test_a_warranty_that_cannot_be_read_is_refused(
    run: Run, tmp_path: Path, command: str, where: str, line: str
) -> None:
    own, habit = (f"[warranty]\n{line}\n" if where == each else "" for each in ("job", "bench"))
    root = book(tmp_path, PRICE + own, bench() + habit, dates=SENT)
    ran = run(command, "1", *ON, "--book", root)
    assert (ran.status, ran.out) == (2, "")
    assert "the warranty of K26-0001 is not known while" in ran.err
    assert "see `jobkit lint" in ran.err


def test_a_comeback_is_refused_where_the_first_warranty_cannot_be_read(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, PRICE + '[warranty]\nduration = "1 year"\n', bench(), dates=SENT)
    second = job('[comeback]\nof = "K26-0001"\n', dates="").replace("K26-0001", "K26-0002", 1)
    put(root / "jobs/2026/K26-0002.toml", second)
    ran = run("warranty", "2", *ON, "--book", root)
    assert (ran.status, ran.out) == (2, "")
    assert '"warranty" in K26-0001 has errors' in ran.err


def test_the_page_says_that_the_job_has_its_own_terms(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, PRICE, bench() + '[warranty]\nduration = "P6M"\n', dates=SENT)
    dates = "received = 2026-11-01\nfinished = 2026-11-02\nsent = 2026-11-03\n"
    second = job('[comeback]\nof = "K26-0001"\n[warranty]\nduration = "P1Y"\n', dates="")
    second = second.replace("K26-0001", "K26-0002", 1)
    second = second.replace("received = 2026-10-05\nquoted = 2026-10-06\n", dates)
    put(root / "jobs/2026/K26-0002.toml", second)
    out = run("warranty", "2", *ON, "--book", root).out
    assert "until 2027-11-03" in out
    assert "the job has a [warranty] of its own, and what is written in the job wins" in " ".join(out.split())


def test_what_cannot_be_billed_is_left_out_of_the_sums_and_named(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, PRICE.replace("100.00 EUR", "100.00 EURO"), dates=SENT)
    bill = run("bill", "1", *ON, "--book", root)
    assert (bill.status, bill.out) == (2, "")
    why = 'K26-0001 cannot be billed while its "price" has errors'
    assert why in bill.err
    for words in (("earnings",), ("week", "2026-W41")):
        ran = run(*words, "--on", "2026-10-20", "--book", root)
        assert why in " ".join(ran.out.split())
    assert (
        run("week", "2026-W41", "--on", "2026-10-20", "--book", root, "--format", "json").data["charged"]
        is None
    )


def test_no_end_of_a_warranty_that_cannot_be_read_is_listed(run: Run, tmp_path: Path) -> None:
    habit = bench() + '[warranty]\nduration = "P6M"\n'
    for own, wanted in (("", ["warranty"]), ('[warranty]\nduration = "1 year"\n', [])):
        root = book(tmp_path / f"book{len(own)}", PRICE + own, habit, dates=SENT)
        items = run("due", "--within", "2y", *ON, "--book", root, "--format", "json").data["items"]
        assert [item["what"] for item in items] == wanted


def test_an_audit_of_history_finds_the_commit(run: Run, repo: GitRepo) -> None:
    text = (repo.root / "bench.toml").read_text()
    put(repo.root / "bench.toml", text.replace("24 %", "25 %"))
    repo.commit("Raise the tax")
    repo.write("notes.txt", "nothing")
    repo.commit("Something else")
    found = run("lint", "--since", "HEAD~2", "--book", repo.root, "--format", "json").data["findings"]
    assert [one["rule"] for one in found].count("terms-moved") == 1
