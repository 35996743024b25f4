"""Invoices end to end: numbers, the page, credit notes, coins, and how the numbers hold in real repositories."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.bills import MADE, ON, bench, book, job
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import put
from tests.conftest import Run

CHARGED = '[price]\ncharged = "155.00 EUR"\n'
INVOICE = '\n[invoice]\nnumber = "K26-R-0001"\non = 2026-10-12\n'
CREDIT = '\n[[price.credit]]\non = {}\namount = "20.00 EUR"\nwhy = "late"\n{}'
PAID = '\n[[price.payment]]\non = {}\namount = "{} EUR"\n'
OWN = 'address = ["12 Quay", "IS-101 Skerrie"]\ntax_number = "IS 00417"\naccount = "Skerrie Bank 0417"\n[tax]'
CLIENT = '[client.c-001]\nname = "Vala Birk"\naddress = ["Quay 3", "Skerrie"]\ncountry = "IS"\n'
JOB = "jobs/2026/K26-0001.toml"


def data(run: Run, root: Path, *words: str) -> dict[str, object]:
    """Give the bill as data."""
    found: dict[str, object] = run("bill", "1", *ON, *words, "--book", root, "--format", "json").data
    return found


def test_it_is_an_estimate_until_it_is_issued(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, CHARGED)
    assert run("bill", "1", *ON, "--book", root).out.startswith("Estimate K26-0001\n")
    ran = run("jot", "invoice", "on", "2026-10-12", "--job", "1", "--book", root)
    assert (ran.status, ran.err) == (0, "")
    assert ran.out == "K26-0001 invoice number K26-R-0001\nK26-0001 invoice on 2026-10-12\n"
    assert run("bill", "1", *ON, "--book", root).out.startswith("Invoice K26-R-0001\n")
    assert run("bill", "1", "--on", "2026-10-11", "--book", root).out.startswith("Estimate")


def test_an_invoice_names_both_parties_days_terms_and_account(run: Run, tmp_path: Path) -> None:
    # What Council Directive 2006/112/EC, article 226, lists: date, number, both names and addresses, tax numbers,
    # day of supply, net at each rate, rate, tax.
    root = book(tmp_path, CHARGED + INVOICE, bench().replace("[tax]", OWN))
    put(root / "private/clients.toml", "format = 1\n" + CLIENT)
    ran = run("bill", "1", *ON, "--book", root)
    assert ran.err == ""
    shown = [" ".join(line.split()) for line in ran.out.splitlines()]
    for line in (
        "from Test Bench, 12 Quay, IS-101 Skerrie",
        "our tax number IS 00417",
        "to Vala Birk, Quay 3, Skerrie, IS",
        "job K26-0001",
        "invoice date 2026-10-12",
        "day of supply 2026-10-09",
        "to be paid by 2026-10-26",
        "account Skerrie Bank 0417",
        "24 % 155.00 EUR 37.20 EUR 192.20 EUR",
        "balance due 192.20 EUR",
    ):
        assert line in shown
    assert data(run, root)["invoice"] == {
        "number": "K26-R-0001", "on": "2026-10-12", "supplied_on": "2026-10-09", "pay_until": "2026-10-26",
    }  # fmt: skip


def test_what_an_invoice_lacks_is_said_beside_it(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, CHARGED + INVOICE)
    assert "no name for c-001 in private/clients.toml" in run("bill", "1", *ON, "--book", root).err
    put(root / "private/clients.toml", "format = 1\n")
    ran = run("bill", "1", *ON, "--book", root)
    assert "no name for c-001 in private/clients.toml" in ran.err
    assert "no address of the bench in bench.toml" in ran.err
    assert "no tax_number in bench.toml" in ran.err
    assert (
        "no account in bench.toml; write account under [bench], so that the invoice says where to pay"
        in ran.err
    )
    put(root / "private/clients.toml", 'format = 1\n[client.c-001]\nname = "Vala Birk"\n')
    assert "no address for c-001 in private/clients.toml" in run("bill", "1", *ON, "--book", root).err


def test_an_account_is_not_missed_where_nothing_is_to_be_paid(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, CHARGED + PAID.format("2026-10-14", "192.20") + INVOICE)
    ran = run("bill", "1", *ON, "--book", root)
    assert "balance due  nothing" in ran.out
    assert "account" not in ran.err


def test_an_estimate_misses_nothing(run: Run, tmp_path: Path) -> None:
    assert run("bill", "1", *ON, "--book", book(tmp_path, CHARGED)).err == ""


def test_it_is_due_counted_from_the_invoice(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, CHARGED + INVOICE.replace("10-12", "10-20"))
    found = run("due", "--on", "2026-11-20", "--book", root, "--format", "json").data["items"]
    assert [(one["what"], one["on"]) for one in found if one["what"] == "payment"] == [
        ("payment", "2026-11-03")
    ]


def test_payments_are_shown_in_the_order_of_their_days(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, CHARGED + PAID.format("2026-10-14", "50.00") + PAID.format("2026-10-06", "30.00"))
    assert [one["on"] for one in data(run, root)["payments"]] == ["2026-10-06", "2026-10-14"]  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("price", "words", "message"),
    [
        ("", ["invoice"], "has no price"),
        ('[price]\nquoted = "160.00 EUR"\n', ["invoice"], "has no price"),
        (CHARGED, ["invoice", "on", "2090-01-01"], "is in the future"),
        ("", ["invoice", "K26-R-0012"], "has no price"),
        ('[price]\nquoted = "160.00 EUR"\n', ["invoice", "K26-R-0012"], "has no price"),
        (CHARGED, ["invoice", "K90-R-0012", "on", "2090-01-01"], "is in the future"),
        (CHARGED, ["invoice", "K25-R-0012"], "K25-R-0012 is a number of 2025, but its day is 20"),
        (
            CHARGED + PAID.format("2026-10-14", "50.00"),
            ["refund", "50.01"],
            "50.01 EUR is more than the 50.00 EUR that were paid and are not paid back",
        ),
        (
            CHARGED,
            ["payment", "12.50 CHF"],
            "12.50 CHF in a job whose other prices are in EUR; write it in EUR",
        ),
        (CHARGED, ["payment", "12.50", "CHF"], "12.50 CHF in a job whose other prices are in EUR"),
        (CHARGED, ["payment", "0"], "the amount of a payment cannot be 0.00 EUR; write an amount above 0"),
        (CHARGED + INVOICE, ["credit", "0", "late"], "the amount of a credit cannot be 0.00 EUR"),
        (CHARGED, ["discount", "0", "x"], "the amount of a discount cannot be 0.00 EUR"),
        (CHARGED, ["refund", "0"], "the amount of a refund cannot be 0.00 EUR"),
        (CHARGED, ["payment", "abc"], 'amount cannot be "abc"; write it like 50.00 EUR'),
        (CHARGED, ["payment", "-20"], 'amount cannot be "\u221220"; write it like 50.00 EUR'),
        (CHARGED, ["credit", "x", "late"], 'amount cannot be "x"; write it like 20.00 EUR'),
        (CHARGED, ["credit", "late"], 'amount cannot be "late"; write it like 20.00 EUR'),
        (CHARGED, ["refund", "1"], "1.00 EUR is more than the 0.00 EUR that were paid"),
        (CHARGED, ["invoice", "12"], "K26-R-0012"),
        (CHARGED + INVOICE, ["invoice"], "K26-0001 has the invoice K26-R-0001 of 2026-10-12"),
        (
            CHARGED + INVOICE,
            ["invoice", "K26-R-0005"],
            "K26-0001 has the invoice K26-R-0001 of 2026-10-12; to correct its number, change it in the file",
        ),
        (
            CHARGED + INVOICE,
            ["invoice", "K26-R-0001", "on", "2026-10-20"],
            "K26-0001 has the invoice K26-R-0001 of 2026-10-12",
        ),
        (
            CHARGED + INVOICE,
            ["credit", "20", "late", "--number", "K26-R-0001"],
            f"K26-R-0001 is already the number of a paper of {JOB}; the next free number is K26-R-0002",
        ),
        (
            CHARGED + CREDIT.format("2026-10-10", "").replace("20.00", "300.00"),
            ["invoice"],
            # (155.00 - 300.00) and 24 %
            "the invoice of K26-0001 would be -179.80 EUR; correct the credits",
        ),
    ],
    ids=[
        "no price",
        "only a quote",
        "tomorrow",
        "typed, no price",
        "typed, only a quote",
        "typed, tomorrow",
        "a number of another year",
        "paid back more than paid",
        "paid in another currency",
        "paid in another currency, as two words",
        "a payment of nothing",
        "a credit of nothing",
        "a discount of nothing",
        "a refund of nothing",
        "a payment that is no amount",
        "a payment below nothing",
        "a credit of two words",
        "a credit with its reason alone",
        "paid back and nothing paid",
        "a number of another form",
        "twice",
        "another number",
        "the same number again",
        "the number of the invoice for a credit note",
        "below nothing",
    ],
)
def test_what_cannot_be_issued_is_refused_and_nothing_is_written(
    run: Run, tmp_path: Path, price: str, words: list[str], message: str
) -> None:
    root = book(tmp_path, price)
    before = (root / JOB).read_text()
    ran = run("jot", *words, "--job", "1", "--book", root)
    assert ran.status != 0
    assert message in ran.err
    assert (root / JOB).read_text() == before


@pytest.mark.parametrize(
    ("there", "typed"),
    [
        (INVOICE, "K26-R-0001"),
        (CREDIT.format("2026-11-05", 'number = "K26-R-0002"\n') + INVOICE, "K26-R-0002"),
    ],
    ids=["an invoice", "a credit note"],
)
def test_a_number_that_another_job_has_is_refused(run: Run, tmp_path: Path, there: str, typed: str) -> None:
    root = book(tmp_path, CHARGED + there)
    other = root / "jobs/2026/K26-0002.toml"
    put(other, job(CHARGED).replace("K26-0001", "K26-0002"))
    before = other.read_text()
    ran = run("jot", "invoice", typed, "on", "2026-11-05", "--job", "2", "--book", root)
    assert (ran.status, ran.out) == (2, "")
    assert f"{typed} is already the number of a paper of {JOB}" in ran.err
    assert "K26-R-000" in ran.err.split("free number")[1]
    assert other.read_text() == before


def test_a_number_may_be_typed_where_it_is_free(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, CHARGED)
    ran = run("jot", "invoice", "K26-R-0057", "on", "2026-10-12", "--job", "1", "--book", root)
    assert (ran.status, ran.err) == (0, "")
    assert run("bill", "1", *ON, "--book", root).out.startswith("Invoice K26-R-0057\n")


@pytest.mark.parametrize("words", [[], ["K26-R-0012"]], ids=["the next number", "a typed number"])
def test_an_open_job_is_not_invoiced(run: Run, tmp_path: Path, words: list[str]) -> None:
    root = book(
        tmp_path, '[price]\n[[price.agreed]]\non = 2026-10-07\namount = "160.00 EUR"\n', outcome="", dates=""
    )
    ran = run("jot", "invoice", *words, "--job", "1", "--book", root)
    assert (ran.status, "K26-0001 is not finished" in ran.err) == (2, True)


def test_a_credit_after_the_invoice_is_a_credit_note(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, CHARGED + INVOICE)
    ran = run("jot", "credit", "20", "late", "--job", "1", "--book", root)
    assert ran.status == 0
    assert "number K26-R-0002" in ran.out or "K26-R-0002" in (root / JOB).read_text()
    text = (root / JOB).read_text()
    assert 'number = "K26-R-0002"' in text


@pytest.mark.parametrize(
    ("before", "amount", "status"),
    [("", "155", 0), ("", "155.01", 2), ("", "300", 2), ("40", "115", 0), ("40", "116", 2)],
    ids=["all of it", "a cent more", "far more", "the rest", "more than the rest"],
)
def test_a_credit_is_not_above_what_is_left_of_the_invoice(
    run: Run, tmp_path: Path, before: str, amount: str, status: int
) -> None:
    root = book(tmp_path, CHARGED + INVOICE)
    if before:
        assert run("jot", "credit", before, "late", "--job", "1", "--book", root).status == 0
    text = (root / JOB).read_text()
    ran = run("jot", "credit", amount, "wrong", "--job", "1", "--book", root)
    assert ran.status == status
    left = "115.00" if before else "155.00"
    words = f"is more than the {left} EUR that are left of the invoice K26-R-0001; credit at most {left} EUR"
    assert (words in ran.err) is bool(status)
    assert ((root / JOB).read_text() == text) is bool(status)


@pytest.mark.parametrize("name", ["payment", "refund", "credit"])
def test_an_amount_typed_twice_on_one_day_is_noticed(run: Run, tmp_path: Path, name: str) -> None:
    root = book(tmp_path, CHARGED + PAID.format("2026-10-14", "150.00"))
    words = ("jot", name, *(("10", "late") if name == "credit" else ("10",)), "--job", "1", "--book", root)
    assert "already" not in run(*words).out
    ran = run(*words)
    assert ran.status == 0
    assert f"there was a {name} of 10.00 EUR on " in " ".join(ran.out.split())
    assert "if this is the same one: `jobkit undo`" in " ".join(ran.out.split())
    assert "already" not in run("jot", name, "11", "--job", "1", "--book", root).out


def test_the_bill_of_an_invoice_stays_and_the_note_is_a_paper_of_its_own(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, CHARGED + CREDIT.format("2026-11-05", 'number = "K26-R-0002"\n') + INVOICE)
    made = data(run, root)
    assert (made["net"], made["gross"], made["owed"], made["earned"]) == (
        "155.00 EUR", "192.20 EUR", "167.40 EUR", "135.00 EUR",
    )  # fmt: skip
    assert made["credit_notes"] == [
        {
            "number": "K26-R-0002", "on": "2026-11-05", "net": "20.00 EUR", "tax": "4.80 EUR", "gross": "24.80 EUR",
            "rounding": "0.00 EUR", "to_pay": "24.80 EUR",
        }
    ]  # fmt: skip
    out = run("bill", "1", *ON, "--book", root).out
    assert "credit note K26-R-0002 of 2026-11-05  24.80 EUR" in out
    assert "balance due                           167.40 EUR" in out
    note = run("bill", "1", *ON, "--credit-note", "k26-r-0002", "--book", root).out
    assert note.startswith("Credit note K26-R-0002\n")
    assert "K26-R-0001 of 2026-10-12" in note
    assert "24.80 EUR" in note
    assert "-" not in note.split("credit of")[1].split("at VAT rate")[0].replace("2026-11-05", "")
    wrong = run("bill", "1", *ON, "--credit-note", "K26-R-0009", "--book", root)
    assert (wrong.status, "write K26-R-0002" in wrong.err) == (2, True)


def test_a_credit_typed_without_a_number_gets_one(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, CHARGED + CREDIT.format("2026-11-05", "") + INVOICE)
    assert "invoice-number" in run("lint", "--book", root).out
    assert "credit note to come of 2026-11-05" in run("bill", "1", *ON, "--book", root).out
    ran = run("jot", "invoice", "on", "2026-11-05", "--job", "1", "--book", root)
    assert "credit of 2026-11-05: credit note K26-R-0002" in ran.out
    assert "invoice-number" not in run("lint", "--book", root).out


@pytest.mark.parametrize(
    ("step", "charged", "rounding", "pay"),
    [
        # with 24 %: 12.42, 12.45, 12.49 and 12.50
        ("0.05", "10.02", "-0.02 EUR", "12.40 EUR"),
        ("0.05", "10.04", "0.00 EUR", "12.45 EUR"),
        ("0.05", "10.07", "0.01 EUR", "12.50 EUR"),
        ("1.00", "10.08", "0.50 EUR", "13.00 EUR"),
        ("", "10.02", "0.00 EUR", "12.42 EUR"),
    ],
)
def test_cash_rounding_as_in_en_16931(
    run: Run, tmp_path: Path, step: str, charged: str, rounding: str, pay: str
) -> None:
    # EN 16931-1:2017, BR-CO-16: amount due = total with tax - paid + rounding amount (BT-114)
    own = bench().replace("[tax]", f'cash_rounding = "{step} EUR"\n[tax]') if step else bench()
    price = f'[price]\ncharged = "{charged} EUR"\n' + PAID.format("2026-10-14", "2.00")
    made = data(run, book(tmp_path, price, own))
    assert (made["rounding"], made["to_pay"]) == (rounding, pay)
    assert made["owed"] == f"{float(pay[:-4]) - 2:.2f} EUR"


def test_coins_payments_and_a_credit_note_by_hand(run: Run, tmp_path: Path) -> None:
    # In hundredths, halves away from zero, then to coins of 0.05, each paper by itself (BR-CO-16 and -17):
    # invoice: 10.02 * 24/100 = 2.4048 -> 2.40; 12.42 -> 12.40
    # credit:   2.01 * 24/100 = 0.4824 -> 0.48;  2.49 ->  2.50
    # and 12.40 less 2.50 credited, 3.00 and 1.15 paid, with 0.25 paid back, is 6.00
    own = bench(currency="CHF").replace("[tax]", 'cash_rounding = "0.05 CHF"\n[tax]')
    price = CREDIT.format("2026-11-05", 'number = "K26-R-0002"\n').replace("20.00", "2.01")
    price += PAID.format("2026-10-14", "3.00") + PAID.format("2026-10-06", "1.15")
    price += '\n[[price.refund]]\non = 2026-10-20\namount = "0.25 EUR"\n'
    price = ('[price]\ncharged = "10.02 EUR"\n' + price + INVOICE).replace("EUR", "CHF")
    made = data(run, book(tmp_path, price, own))
    note: dict[str, str] = made["credit_notes"][0]  # type: ignore[index]
    assert [made[key] for key in ("tax", "gross", "rounding", "to_pay", "owed")] == [
        "2.40 CHF", "12.42 CHF", "-0.02 CHF", "12.40 CHF", "6.00 CHF",
    ]  # fmt: skip
    assert [note[key] for key in ("net", "tax", "gross", "rounding", "to_pay")] == [
        "2.01 CHF", "0.48 CHF", "2.49 CHF", "0.01 CHF", "2.50 CHF",
    ]  # fmt: skip


def test_the_sums_are_equal_in_every_form(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, CHARGED + CREDIT.format("2026-11-05", 'number = "K26-R-0002"\n') + INVOICE)
    forms = {
        form: run("bill", "1", *ON, "--book", root, "--format", form).out
        for form in ("text", "markdown", "json")
    }
    for sum_ in ("155.00 EUR", "37.20 EUR", "192.20 EUR", "24.80 EUR", "167.40 EUR"):
        assert [form for form, out in forms.items() if sum_ not in out] == []


def wired(root: Path, monkeypatch: pytest.MonkeyPatch, count: int = 3, dates: str = MADE) -> GitRepo:
    """Make a repository with finished jobs, none of them invoiced."""
    forget_git_settings(monkeypatch)
    book(root, CHARGED)
    for number in range(1, count + 1):
        text = job(CHARGED, dates=dates).replace("K26-0001", f"K26-{number:04d}")
        put(root / f"jobs/2026/K26-{number:04d}.toml", text)
    repo = GitRepo.make(root)
    repo.commit("Open")
    return repo


def issue(run: Run, repo: GitRepo, number: int) -> None:
    """Issue the invoice of a job, and commit."""
    ran = run("jot", "invoice", "on", "2026-10-12", "--job", str(number), "--book", repo.root)
    assert ran.status == 0, ran
    repo.commit(f"Invoice {number}")


def found(run: Run, repo: GitRepo) -> list[str]:
    """Give what the rule about numbers finds."""
    said = run("lint", "--book", repo.root, "--format", "json").data["findings"]
    return [one["message"] for one in said if one["rule"] == "invoice-number"]


@pytest.mark.parametrize("pull", ["--no-rebase", "--rebase"])
def test_a_number_given_twice_is_found_after_a_merge(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, pull: str
) -> None:
    here = wired(tmp_path / "here", monkeypatch)
    there = here.clone(tmp_path / "there")
    issue(run, here, 1)
    issue(run, there, 2)
    there.git("pull", "-q", pull, "origin", "main")
    assert found(run, there) == [
        "K26-R-0001 is also the number of a paper of jobs/2026/K26-0002.toml",
        "K26-R-0001 is also the number of a paper of jobs/2026/K26-0001.toml",
    ]
    said = run("lint", "--book", there.root).out
    assert 'write number = "K26-R-0002"' in said
    second = there.root / "jobs/2026/K26-0002.toml"
    amended = '\n[[amended]]\nat = 2026-10-13T09:00:00\nby = "bo"\nwhy = "number given twice"\n'
    put(second, second.read_text().replace("K26-R-0001", "K26-R-0002") + amended)
    assert found(run, there) == []
    issue(run, there, 3)
    assert "K26-R-0003" in (there.root / "jobs/2026/K26-0003.toml").read_text()


def test_a_gap_is_found_when_an_invoice_is_taken_away(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    repo = wired(tmp_path, monkeypatch)
    for number in (1, 2, 3):
        issue(run, repo, number)
    assert found(run, repo) == []
    (repo.root / "jobs/2026/K26-0002.toml").unlink()
    assert found(run, repo) == ["K26-R-0002 is missing before K26-R-0003"]


def test_of_several_missing_numbers_the_first_is_advised(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, CHARGED + INVOICE)
    put(root / "jobs/2026/K26-0002.toml", job(CHARGED).replace("K26-0001", "K26-0002"))
    ran = run("jot", "invoice", "K26-R-0005", "on", "2026-10-12", "--job", "2", "--book", root)
    assert ran.status == 0
    said = " ".join(ran.err.split())
    assert "K26-R-0002 to K26-R-0004 are missing before K26-R-0005" in said
    assert "give it the number K26-R-0002, or add a waiver" in said


def test_the_commit_of_a_twin_is_stopped(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    repo = wired(tmp_path, monkeypatch)
    issue(run, repo, 1)
    second = repo.root / "jobs/2026/K26-0002.toml"
    put(second, second.read_text() + INVOICE)
    repo.git("add", "-A")
    ran = run("lint", "--staged", "--book", repo.root)
    assert ran.status == 1
    assert "K26-R-0001 is also the number of a paper of jobs/2026/K26-0001.toml" in ran.out


def test_an_issued_invoice_is_sealed(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    repo = wired(tmp_path, monkeypatch, dates=MADE.replace("sent = 2026-10-12\n", ""))
    path = repo.root / JOB
    issue(run, repo, 1)
    issued = path.read_text()
    put(path, issued.replace("155.00", "165.00"))
    assert "sealed" in run("lint", "--book", repo.root).out
    put(path, issued.replace("K26-R-0001", "K26-R-0002"))
    assert "the job was invoiced on 2026-10-12" in run("lint", "--book", repo.root).out
    put(path, issued + PAID.format("2026-10-14", "50.00"))
    assert "sealed" not in run("lint", "--book", repo.root).out
    path.unlink()
    assert "was invoiced on 2026-10-12, and its file was removed" in run("lint", "--book", repo.root).out


def test_a_sent_job_may_still_get_its_invoice_and_numbers_for_credits(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    repo = wired(tmp_path, monkeypatch)
    issue(run, repo, 1)
    path = repo.root / JOB
    put(path, path.read_text() + CREDIT.format("2026-11-05", ""))
    repo.commit("A credit without a number")
    run("jot", "invoice", "on", "2026-11-05", "--job", "1", "--book", repo.root)
    assert "K26-R-0002" in path.read_text()
    assert "sealed" not in run("lint", "--book", repo.root).out


@pytest.mark.slow
def test_eight_writers_at_once_leave_neither_gaps_nor_twins(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    repo = wired(tmp_path, monkeypatch, 8)
    words = [
        sys.executable,
        "-m",
        "jobkit",
        "jot",
        "invoice",
        "on",
        "2026-10-12",
        "--book",
        str(tmp_path),
        "--job",
    ]
    writers = [
        subprocess.Popen(
            [*words, str(number)], env={**os.environ, "JOBKIT_BY": f"hand {number}"}, stdout=subprocess.PIPE
        )
        for number in range(1, 9)
    ]
    assert [writer.wait() for writer in writers] == [0] * 8
    for writer in writers:
        assert writer.stdout
        writer.stdout.close()
    numbers = {
        path.read_text().split('number = "')[1][:10] for path in (tmp_path / "jobs/2026").glob("*.toml")
    }
    assert numbers == {f"K26-R-{number:04d}" for number in range(1, 9)}
    assert found(run, repo) == []


def test_the_bank_account_of_the_bench_is_not_personal_data(run: Run, tmp_path: Path) -> None:
    # an account number that passes the check of ISO 13616; the standard's own example, from memory
    own = bench().replace("[tax]", 'account = "GB82 WEST 1234 5698 7654 32"\naddress = ["12 Quay"]\n[tax]')
    root = book(tmp_path, CHARGED + INVOICE, own)
    assert "personal-data" not in run("lint", "--book", root).out


def test_a_bill_is_not_made_out_while_its_invoice_cannot_be_read(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, CHARGED + '\n[invoice]\nnumber = "12"\non = 2026-10-12\n')
    ran = run("bill", "1", *ON, "--book", root)
    assert (ran.status, 'cannot be billed while its "invoice" has errors' in ran.err) == (2, True)


def test_goods_received_are_not_below_zero(run: Run, tmp_path: Path) -> None:
    used = '[[used]]\nat = 2026-10-08T12:00:00\nitem = "stage"\nqty = 20\n'
    root = book(tmp_path, CHARGED + used)
    assert "stock-negative" in run("lint", "--book", root).out
    path = root / "stock.toml"
    came = "[[item.stage.received]]\nat = 2026-10-05T12:00:00\nqty = 10\n"
    put(path, path.read_text("utf-8").replace("[item.paste]", f"{came}[item.paste]"))
    assert "stock-negative" not in run("lint", "--book", root).out
