"""Receipt, quote and messages: what each says, when it can be written, and that sums are equal in every form."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.bills import ON, bench, book
from tests.books import EXAMPLE, put
from tests.conftest import Run
from tests.schema.schemas import fast

PAPERS = """\
[papers]
word = 5
quote_holds = "P30D"
intake = ["We start when you agree."]
quote = ["Ordered parts are charged."]
"""
QUOTED = """\
[price]
quoted = "160.00 EUR"
proposal = "replace Q214"
ceiling = "200.00 EUR"
if_not_repaired = "30.00 EUR"
"""
MESSAGE = '\n[[message]]\nat = {}\nwith = "{}"\ntext = "is it covered?"\n'
PAID = "paid = 2026-10-10\n"


def opened(root: Path, price: str = QUOTED, *, outcome: str = "", dates: str = "") -> Path:
    """Lay out a book whose job is quoted, and whose bench has terms of its own."""
    return book(root, price, bench() + PAPERS, outcome=outcome, dates=dates)


def paper(run: Run, root: Path, kind: str, *words: str, on: str = "2026-10-07") -> str:
    """Print a paper, its lines joined."""
    ran = run("report", "1", "--for", kind, *words, "--on", on, "--book", root)
    assert (ran.status, ran.err) == (0, ""), ran
    return " ".join(ran.out.split())


def test_the_receipt_says_what_came_and_when_the_client_hears(run: Run, tmp_path: Path) -> None:
    root = opened(tmp_path, "")
    path = root / "jobs/2026/K26-0001.toml"
    intake = '[intake]\ncondition = ["dust"]\ncame_with = ["cable"]\ndeclared = "180.00 EUR"\n'
    put(path, path.read_text("utf-8").replace("[intake]\n", intake).replace("quoted = 2026-10-06\n", ""))
    said = paper(run, root, "intake")
    for words in (
        "Receipt for your graphics card, job K26-0001",
        "We received the board on 5 October 2026.",
        "When we unpacked it we saw: dust.",
        "With the board came: cable.",
        "Its declared value is 180.00 EUR.",
        "You hear from us by 10 October 2026.",
        "We start when you agree.",
        "This is not tax or legal advice",
    ):
        assert words in said


def test_the_quote_says_what_is_proposed_its_price_and_how_to_agree(run: Run, tmp_path: Path) -> None:
    said = paper(run, opened(tmp_path), "quote")
    for words in (
        "We propose to replace Q214.",
        "24 % 160.00 EUR 38.40 EUR 198.40 EUR",
        "If you decline, the examination costs 30.00 EUR plus VAT.",
        "This quote holds until 5 November 2026.",
        "Ordered parts are charged.",
        "take care (common practice, no source): This board is not repaired and not tested. Do not switch it on",
        'To agree, write to us: "I agree to the quote of 6 October 2026 for job K26-0001: ',
        ' 160.00 EUR plus VAT, at most 200.00 EUR plus VAT."',
        "This is not tax or legal advice",
    ):
        assert words in said


def test_the_quote_stays_what_it_was(run: Run, tmp_path: Path) -> None:
    late = QUOTED + 'charged = "190.00 EUR"\n[[price.agreed]]\non = 2026-10-08\namount = "180.00 EUR"\n'
    dates = "started = 2026-10-08\nfinished = 2026-10-09\n"
    before = paper(run, opened(tmp_path / "a"), "quote", on="2026-10-07")
    after = paper(
        run, opened(tmp_path / "b", late, outcome="repaired", dates=dates), "quote", on="2026-11-07"
    )
    asked, answered = before.split("If you agree"), after.split("Your answer")
    assert answered[0].replace("7 November 2026", "7 October 2026") == asked[0]
    assert answered[1].startswith(" You agreed to 180.00 EUR plus VAT on 8 October 2026. This is not tax")


@pytest.mark.parametrize(
    ("dates", "outcome", "answer"),
    [
        ("agreed = 2026-10-07\n", "", "Your answer You agreed to 160.00 EUR plus VAT on 7 October 2026."),
        ("declined = 2026-10-08\n", "", "Your answer You declined on 8 October 2026."),
        ("started = 2026-10-08\nfinished = 2026-10-09\n", "repaired", ""),
    ],
    ids=["agreed", "declined", "finished without a day of agreement"],
)
def test_a_quote_that_was_answered_does_not_ask_again(
    run: Run, tmp_path: Path, dates: str, outcome: str, answer: str
) -> None:
    said = paper(run, opened(tmp_path, outcome=outcome, dates=dates), "quote", on="2026-10-10")
    assert answer in said
    assert "To agree" not in said
    assert ("Your answer" in said) is bool(answer)


@pytest.mark.parametrize("kind", ["report", "intake", "quote"])
def test_papers_name_address_contact_and_country(run: Run, tmp_path: Path, kind: str) -> None:
    own = 'address = ["12 Quay", "IS-101 Skerrie"]\ncontact = ["desk@bench.example"]\n[tax]'
    root = book(tmp_path, QUOTED, bench().replace("[tax]", own), outcome="", dates="")
    client = 'name = "Vala Birk"\naddress = ["Quay 3", "Skerrie"]\ncountry = "IS"\n'
    put(root / "private/clients.toml", "format = 1\n[client.c-001]\n" + client)
    said = paper(run, root, kind)
    assert (
        "from Test Bench, 12 Quay, IS-101 Skerrie contact desk@bench.example to Vala Birk, Quay 3, Skerrie, IS"
        in said
    )


def test_report_and_bill_have_one_total(run: Run, tmp_path: Path) -> None:
    # 220.00 EUR and 24 % are 272.80 EUR, a credit note of 10.00 EUR takes off 12.40 EUR
    note = '[[price.credit]]\non = 2026-10-20\namount = "10.00 EUR"\nwhy = "late"\nnumber = "K26-R-0002"\n'
    invoice = '[invoice]\nnumber = "K26-R-0001"\non = 2026-10-12\n'
    root = book(tmp_path, CHARGED.replace("155", "220") + note + invoice, dates=DONE + "sent = 2026-10-10\n")
    said = paper(run, root, "report", on="2026-10-21")
    assert (
        "The total is 272.80 EUR, VAT included; the bill has the details. "
        "Credit notes after the invoice take off 12.40 EUR. Balance due: 260.40 EUR."
    ) in said
    bill = " ".join(run("bill", "1", "--on", "2026-10-21", "--book", root).out.split())
    assert "total 272.80 EUR credit note K26-R-0002 of 2026-10-20 12.40 EUR balance due 260.40 EUR" in bill


def test_a_total_rounded_to_coins_is_said_as_on_the_bill(run: Run, tmp_path: Path) -> None:
    own = bench().replace("[tax]", 'cash_rounding = "0.05 EUR"\n[tax]')
    root = book(tmp_path, CHARGED.replace("155.00", "10.02"), own, dates=DONE)
    assert "The total is 12.42 EUR, VAT included, rounded to 12.40 EUR;" in paper(
        run, root, "report", on="2026-10-10"
    )


@pytest.mark.parametrize(
    ("price", "words"),
    [
        (QUOTED.replace("30.00", "0.00"), "If you decline, there is no charge."),
        (QUOTED.replace('if_not_repaired = "30.00 EUR"\n', ""), ""),
    ],
    ids=["free", "not settled"],
)
def test_what_it_costs_to_decline(run: Run, tmp_path: Path, price: str, words: str) -> None:
    said = paper(run, opened(tmp_path, price), "quote")
    assert words in said
    assert ("If you decline" in said) is bool(words)


def test_the_sums_of_a_quote_are_equal_in_every_form(run: Run, tmp_path: Path) -> None:
    root = opened(tmp_path)
    words = ("report", "1", "--for", "quote", "--on", "2026-10-07", "--book", root, "--format")
    outs = {form: run(*words, form).out for form in ("text", "markdown", "html", "json")}
    for sum_ in ("160.00\u00a0EUR", "38.40\u00a0EUR", "198.40\u00a0EUR"):
        for form, out in outs.items():
            assert sum_.replace("\u00a0", " ") in out.replace("\u00a0", " "), form
    bill = run("bill", "1", "--on", "2026-10-07", "--book", root, "--format", "json").data
    quote = run(*words, "json").data
    assert [bill[key] for key in ("net", "tax", "gross", "to_pay")] == [
        quote[key] for key in ("net", "tax", "gross", "to_pay")
    ]


DONE = "started = 2026-10-08\nfinished = 2026-10-09\n"
CHARGED = '[price]\ncharged = "155.00 EUR"\n'

STEPS = [
    # price and more, outcome, dates, day, what the message is about
    ("", "", "", "2026-10-05", "Your graphics card has arrived, job K26-0001"),
    (QUOTED, "", "", "2026-10-07", "Quote for your graphics card, job K26-0001"),
    (CHARGED, "repaired", DONE, "2026-10-10", "Your graphics card is ready, job K26-0001"),
    (CHARGED, "repaired", DONE + "sent = 2026-10-12\n" + PAID, "2026-10-13", "Your graphics card is on its way"),
    (CHARGED, "repaired", DONE + "sent = 2026-10-12\n", "2026-11-13", "Payment for your graphics card"),
    (CHARGED + MESSAGE.format("2026-10-20T09:00:00", "client"), "repaired", DONE + "sent = 2026-10-12\n" + PAID,
     "2026-10-21", "Warranty on your graphics card"),
]  # fmt: skip


@pytest.mark.parametrize(("price", "outcome", "dates", "on", "subject"), STEPS)
def test_a_message_is_about_the_step_at_hand(
    run: Run, tmp_path: Path, *, price: str, outcome: str, dates: str, on: str, subject: str
) -> None:
    root = opened(tmp_path, price, outcome=outcome, dates=dates)
    assert paper(run, root, "message", on=on).startswith(f"Subject: {subject}")


@pytest.mark.parametrize(
    ("outcome", "on", "words"),
    [
        ("repaired", "2026-10-10", "Before you fit it: A spark too small to feel can kill a board."),
        ("beyond-repair", "2026-10-10", "Take care: This board is not repaired and not tested."),
    ],
)
def test_a_message_about_a_board_that_goes_back_has_the_cautions(
    run: Run, tmp_path: Path, outcome: str, on: str, words: str
) -> None:
    said = paper(run, opened(tmp_path, CHARGED, outcome=outcome, dates=DONE), "message", on=on)
    assert words in said
    assert "(ANSI/ESD S20.20-2021, IEC 61340-5-1)" in said
    assert "Where it names no standard, it is common practice." in said


def test_an_answered_question_is_not_asked_again(run: Run, tmp_path: Path) -> None:
    answer = MESSAGE.format("2026-10-20T10:00:00", "client") + 'from = "us"\n'
    asked = MESSAGE.format("2026-10-20T09:00:00", "client") + answer
    root = opened(tmp_path, CHARGED + asked, outcome="repaired", dates=DONE + "sent = 2026-10-12\n" + PAID)
    assert "is on its way" in paper(run, root, "message", on="2026-10-21")


def test_a_message_names_the_client_and_the_account(run: Run, tmp_path: Path) -> None:
    own = bench().replace("[tax]", 'account = "Skerrie Bank 0417"\n[tax]')
    root = book(tmp_path, CHARGED, own, dates=DONE)
    put(root / "private/clients.toml", 'format = 1\n[client.c-001]\nname = "Vala Birk"\n')
    said = paper(run, root, "message", on="2026-10-10")
    assert "Hello Vala Birk," in said
    assert "Balance due: 192.20 EUR, by 23 October 2026. Our account: Skerrie Bank 0417." in said


@pytest.mark.parametrize("about", ["ready", "sent"])
def test_a_message_says_what_the_client_gets_back(run: Run, tmp_path: Path, about: str) -> None:
    # 155.00 EUR and 24 % are 192.20 EUR
    paid = CHARGED + '[[price.payment]]\non = 2026-10-09\namount = "200.00 EUR"\n'
    root = book(tmp_path, paid, dates=DONE + "sent = 2026-10-10\n")
    said = paper(run, root, "message", "--about", about, on="2026-10-11")
    assert "You paid 7.80 EUR too much. We will pay it back." in said
    assert "Balance due" not in said


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--for", "quote"), "K26-0001 has no quote; write the price first"),
        (("--for", "letter"), '"letter" is not a paper'),
        (("--for", "message", "--about", "sent"), "K26-0001 was not sent; choose another"),
        (("--for", "message", "--about", "ready"), "K26-0001 is not finished"),
        (("--for", "message", "--about", "payment"), "K26-0001 has nothing left to pay"),
        (("--for", "message", "--about", "weather"), '"weather" is not a step'),
        (("--about", "sent"), "--about is for messages; add --for message"),
        (("--for", "message"), "K26-0001 is on the bench, with nothing to write; choose: --about received"),
    ],
)
def test_a_paper_that_cannot_be_written_is_refused(
    run: Run, tmp_path: Path, words: tuple[str, ...], message: str
) -> None:
    root = opened(tmp_path, "", dates="agreed = 2026-10-07\nstarted = 2026-10-08\n")
    ran = run("report", "1", *words, *ON, "--book", root)
    assert (ran.status, ran.out) == (2, "")
    assert message in ran.err


@pytest.mark.parametrize(("job", "kind"), [("61", "intake"), ("55", "quote"), ("55", "message")])
def test_the_answers_keep_to_their_schema(run: Run, job: str, kind: str) -> None:
    ran = run("report", job, "--for", kind, "--on", "2026-11-20", "--book", EXAMPLE, "--format", "json")
    assert (ran.status, ran.err) == (0, "")
    assert list(fast(f"answers/report-{kind}").iter_errors(ran.data)) == []
