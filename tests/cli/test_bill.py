"""Bills end to end: from a job file to the answer, held to figures from outside."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.bills import MADE, ON, bench, book, job, lines
from tests.book.repo import GitRepo
from tests.books import EXAMPLE, put
from tests.conftest import Run
from tests.schema.schemas import fast

AGREED = '[[price.agreed]]\non = 2026-10-07\namount = "{}"\n'
WORK = '[[work]]\nat = 2026-10-08T11:00:00\nminutes = {}\ndid = "{}"\n'
USED = "[[used]]\nat = 2026-10-08T12:00:00\n{}\n"


def test_the_official_example_of_en_16931(run: Run, tmp_path: Path) -> None:
    # EN 16931, official example 1: 183.23 at 6 % -> 10.99; 46.37 at 21 % -> 9.74; 229.60 ->
    # 250.33; BR-CO-10 and BR-CO-14 are exact sums
    root = book(tmp_path, lines("1 183.23 EUR / 6 %", "1 46.37 EUR"), bench("21"))
    made = run("bill", "1", *ON, "--book", root, "--format", "json").data
    assert [(each["percent"], each["tax"]) for each in made["rates"]] == [(6, "10.99 EUR"), (21, "9.74 EUR")]
    assert (made["net"], made["tax"], made["gross"]) == ("229.60 EUR", "20.73 EUR", "250.33 EUR")


@pytest.mark.parametrize(
    ("rows", "rounded", "tax"),
    # HMRC internal manual VATREC12030: at 20 %, per line and per bill differ
    [
        (["1 0.33 GBP"] * 3, "line", "0.21 GBP"),
        (["1 0.33 GBP"] * 3, "bill", "0.20 GBP"),
        (["1 0.12 GBP"] * 5, "line", "0.10 GBP"),
        (["1 0.12 GBP"] * 5, "bill", "0.12 GBP"),
    ],
)
def test_hmrc_per_line_and_per_bill(
    run: Run, tmp_path: Path, rows: list[str], rounded: str, tax: str
) -> None:
    pounds = bench("20", rounded=rounded, currency="GBP", rate="40.00 GBP")
    made = run("bill", "1", *ON, "--book", book(tmp_path, lines(*rows), pounds), "--format", "json").data
    assert made["tax"] == tax
    assert made["rounded"] == rounded


def test_gross_prices_hold_their_tax(run: Run, tmp_path: Path) -> None:
    # HMRC's VAT fraction (from memory): at 20 % one sixth of a gross price is tax
    root = book(tmp_path, '[price]\ncharged = "100.00 EUR"\n', bench("20", prices="gross"))
    made = run("bill", "1", *ON, "--book", root, "--format", "json").data
    assert (made["net"], made["tax"], made["gross"]) == ("83.33 EUR", "16.67 EUR", "100.00 EUR")
    assert "Prices are gross" in run("bill", "1", *ON, "--book", root).out


@pytest.mark.parametrize(
    ("currency", "each", "wanted"),
    # ISO 4217, list one: no decimals for JPY, three for KWD
    [
        ("JPY", "1005 JPY", ("1005 JPY", "101 JPY", "1106 JPY")),
        ("KWD", "1.005 KWD", ("1.005 KWD", "0.101 KWD", "1.106 KWD")),
        ("CLF", "1.0005 CLF", ("1.0005 CLF", "0.1001 CLF", "1.1006 CLF")),
    ],
)
def test_benches_without_cents_and_with_thousandths(
    run: Run, tmp_path: Path, currency: str, each: str, wanted: tuple[str, str, str]
) -> None:
    root = book(tmp_path, f'[price]\ncharged = "{each}"\n', bench("10", currency=currency, rate=each))
    made = run("bill", "1", *ON, "--book", root, "--format", "json").data
    assert (made["net"], made["tax"], made["gross"]) == wanted
    assert made["currency"] == currency


def test_labour_by_the_minute_on_a_bench_without_cents(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, WORK.format(50, "fit"), bench("10", currency="JPY", rate="4700 JPY"))
    made = run("bill", "1", *ON, "--book", root, "--format", "json").data
    # 50/60 of 4700 is 3916.67, its tax 391.7
    assert (made["net"], made["tax"], made["gross"]) == ("3917 JPY", "392 JPY", "4309 JPY")


BASIS = [
    # price and more, outcome, dates, basis, words, net
    ('[price]\nquoted = "160.00 EUR"\ncharged = "155.00 EUR"\n', "repaired", MADE, "charged", "repair", "155.00 EUR"),
    ('[price]\ncharged = "155.00 EUR"\n' + AGREED.format("160.00 EUR"), "repaired", MADE, "charged",
     "repair (agreed: 160.00 EUR)", "155.00 EUR"),
    ('[price]\nceiling = "200.00 EUR"\ncharged = "200.00 EUR"\n' + AGREED.format("180.00 EUR"), "repaired", MADE,
     "charged", "repair (agreed: 180.00 EUR, at most 200.00 EUR)", "200.00 EUR"),
    # a quote with a day of agreement was agreed to as quoted
    ('[price]\nquoted = "160.00 EUR"\n', "repaired", MADE + "agreed = 2026-10-07\n", "agreed", "repair as agreed",
     "160.00 EUR"),
    ('[price]\ncharged = "0.00 EUR"\n', "repaired", MADE, "charged", "repair, free of charge", "0.00 EUR"),
    ("[price]\n" + AGREED.format("160.00 EUR"), "repaired", MADE, "agreed", "repair as agreed", "160.00 EUR"),
    ('[price]\nquoted = "160.00 EUR"\n', "", "", "quoted", "repair as quoted", "160.00 EUR"),
    ('[price]\nif_not_repaired = "30.00 EUR"\n' + AGREED.format("160.00 EUR"), "beyond-repair", MADE, "not repaired",
     "examination, the board could not be repaired", "30.00 EUR"),
    ('[price]\nquoted = "160.00 EUR"\nif_not_repaired = "30.00 EUR"\n', "", "declined = 2026-10-08\n", "not repaired",
     "examination, the repair was declined", "30.00 EUR"),
    ('[price]\ncharged = "30.00 EUR"\n', "no-fault-found", MADE, "charged", "examination, no fault found",
     "30.00 EUR"),
    (lines("1.25 48.00 EUR", "1 18.00 EUR"), "repaired", MADE, "lines", "part", "78.00 EUR"),
]  # fmt: skip


@pytest.mark.parametrize(("price", "outcome", "dates", "basis", "words", "net"), BASIS)
def test_what_a_bill_stands_on(
    run: Run, tmp_path: Path, *, price: str, outcome: str, dates: str, basis: str, words: str, net: str
) -> None:
    root = book(tmp_path, price, outcome=outcome, dates=dates)
    made = run("bill", "1", *ON, "--book", root, "--on", "2026-10-20", "--format", "json").data
    assert (made["basis"], made["lines"][0]["what"], made["net"]) == (basis, words, net)
    assert made["final"] is bool(dates)


def test_the_latest_agreement_counts(run: Run, tmp_path: Path) -> None:
    later = '[[price.agreed]]\non = 2026-10-09\namount = "115.00 EUR"\n'
    root = book(tmp_path, "[price]\n" + later + AGREED.format("75.00 EUR"))
    assert run("bill", "1", *ON, "--book", root, "--format", "json").data["net"] == "115.00 EUR"
    assert (
        run("bill", "1", *ON, "--book", root, "--format", "json", "--on", "2026-10-08").data["net"]
        == "75.00 EUR"
    )


def test_shipping_and_credits_stand_on_their_own_lines(run: Run, tmp_path: Path) -> None:
    price = (
        '[price]\ncharged = "100.00 EUR"\nshipping = "12.00 EUR"\n'
        '[[price.credit]]\non = 2026-10-15\namount = "20.00 EUR"\nwhy = "late"\n'
    )
    root = book(tmp_path, price)
    made = run("bill", "1", *ON, "--book", root, "--format", "json").data
    assert [(each["kind"], each["quantity"], each["each"], each["net"]) for each in made["lines"]] == [
        ("repair", 1, "100.00 EUR", "100.00 EUR"),
        ("shipping", 1, "12.00 EUR", "12.00 EUR"),
        ("credit", -1, "20.00 EUR", "-20.00 EUR"),
    ]
    # (100 + 12 - 20) × 1.24
    assert (made["net"], made["gross"], made["owed"]) == ("92.00 EUR", "114.08 EUR", "114.08 EUR")
    # Before the day of the credit nobody knows of it.
    assert (
        run("bill", "1", *ON, "--book", root, "--on", "2026-10-14", "--format", "json").data["net"]
        == "112.00 EUR"
    )


PAYMENT = '[[price.payment]]\non = 2026-10-{}\namount = "{}"\n'
PAID = [
    # payments, dates, day asked, owed, words
    ([("13", "50.00 EUR")], MADE, "20", "74.00 EUR", "balance due  74.00 EUR"),
    ([("13", "50.00 EUR")], MADE, "12", "124.00 EUR", "balance due  124.00 EUR"),
    ([("13", "50.00 EUR"), ("14", "74.00 EUR")], MADE, "20", "0.00 EUR", "balance due  nothing"),
    ([("13", "130.00 EUR")], MADE, "20", "-6.00 EUR", "to give back  6.00 EUR"),
    ([], MADE + "paid = 2026-10-13\n", "20", "0.00 EUR", "balance due  nothing, paid on 2026-10-13"),
    ([("13", "50.00 EUR")], MADE + "paid = 2026-10-13\n", "20", "0.00 EUR", "but the payments are 50.00 EUR"),
]  # fmt: skip


@pytest.mark.parametrize(("payments", "dates", "day", "owed", "words"), PAID)
def test_payments(
    run: Run, tmp_path: Path, *, payments: list[tuple[str, str]], dates: str, day: str, owed: str, words: str
) -> None:
    paid = "".join(PAYMENT.format(*each) for each in payments)
    root = book(tmp_path, '[price]\ncharged = "100.00 EUR"\n' + paid, dates=dates)
    asked = ("bill", "1", *ON, "--book", root, "--on", f"2026-10-{day}")
    assert run(*asked, "--format", "json").data["owed"] == owed
    assert words in run(*asked).out


REFUND = '[[price.refund]]\non = 2026-10-{}\namount = "{}"\n'
CREDIT = '[[price.credit]]\non = 2026-10-{}\namount = "{}"\nwhy = "scratched"\n'
BACK = {
    # price and more, paid on, owed: 100.00 EUR and 24 % are 124.00 EUR, a credit of 10.00 EUR takes off 12.40 EUR
    "paid too much": (PAYMENT.format("13", "130.00 EUR"), "paid = 2026-10-13\n", "-6.00 EUR"),
    "given back": (
        PAYMENT.format("13", "130.00 EUR") + REFUND.format("14", "6.00 EUR"), "paid = 2026-10-13\n", "0.00 EUR",
    ),
    "given back in part": (PAYMENT.format("13", "130.00 EUR") + REFUND.format("14", "2.00 EUR"), "", "-4.00 EUR"),
    "given back too much": (PAYMENT.format("13", "130.00 EUR") + REFUND.format("14", "7.00 EUR"), "", "1.00 EUR"),
    "a credit after the payment": (CREDIT.format("16", "10.00 EUR"), "paid = 2026-10-13\n", "-12.40 EUR"),
    "a credit before the payment": (CREDIT.format("12", "10.00 EUR"), "paid = 2026-10-13\n", "0.00 EUR"),
    "that credit paid back": (
        CREDIT.format("16", "10.00 EUR") + REFUND.format("17", "12.40 EUR"), "paid = 2026-10-13\n", "0.00 EUR",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("price", "paid", "owed"), BACK.values(), ids=BACK)
def test_money_to_give_back(run: Run, tmp_path: Path, price: str, paid: str, owed: str) -> None:
    root = book(tmp_path, '[price]\ncharged = "100.00 EUR"\n' + price, dates=MADE + paid)
    made = run("bill", "1", *ON, "--book", root, "--format", "json").data
    assert made["owed"] == owed
    amount = owed.removeprefix("-")
    is_negative = owed.startswith("-")
    assert (f"to give back  {amount}" in run("bill", "1", *ON, "--book", root).out) is is_negative
    (week,) = (run("week", "2026-W47", *ON, "--book", root, "--format", "json").data["give_back"],)
    assert week == ([{"job": "K26-0001", "amount": amount}] if is_negative else [])
    due = run("due", *ON, "--book", root, "--format", "json").data["items"]
    assert (f"{amount} paid above the bill" in str(due)) is is_negative


def test_more_paid_back_than_paid_is_refused(run: Run, tmp_path: Path) -> None:
    price = (
        '[price]\ncharged = "100.00 EUR"\n'
        + PAYMENT.format("07", "20.00 EUR")
        + REFUND.format("08", "50.00 EUR")
    )
    root = book(tmp_path, price)
    ran = run("bill", "1", *ON, "--book", root)
    assert (ran.status, ran.out) == (2, "")
    assert (
        "the refunds, 50.00 EUR, are more than the payments, 20.00 EUR; record the missing payment" in ran.err
    )
    shown = run("earnings", *ON, "--book", root)
    assert "K26-0001 is not included: K26-0001 cannot be billed: the refunds" in " ".join(shown.out.split())
    week = run("week", "2026-W41", "--on", "2026-10-20", "--book", root)
    assert "K26-0001 cannot be billed: the refunds" in " ".join(week.out.split())


def test_a_discount_is_a_line_with_its_reason(run: Run, tmp_path: Path) -> None:
    discount = '[[price.discount]]\namount = "10.00 EUR"\nwhy = "third board this year"\n'
    root = book(tmp_path, '[price]\ncharged = "100.00 EUR"\n' + discount)
    made = run("bill", "1", *ON, "--book", root, "--format", "json").data
    assert [(each["what"], each["kind"], each["net"]) for each in made["lines"]] == [
        ("repair", "repair", "100.00 EUR"),
        ("discount: third board this year", "discount", "-10.00 EUR"),
    ]
    assert (made["net"], made["gross"], made["earned"]) == ("90.00 EUR", "111.60 EUR", "90.00 EUR")


TAXES = [
    # tax of the line, of the job, of the bench -> percent
    ("11 %", "0 %", "24", 11),
    ("", "0 %", "24", 0),
    ("", "", "24", 24),
    ("5.5 %", "", "24", 5.5),
]


@pytest.mark.parametrize(("line", "job_tax", "bench_tax", "percent"), TAXES)
def test_the_nearest_rate_of_tax_counts(
    run: Run, tmp_path: Path, line: str, job_tax: str, bench_tax: str, percent: float
) -> None:
    row = f"1 10.00 EUR / {line}" if line else "1 10.00 EUR"
    price = lines(row, tax=f'tax = "{job_tax}"\ntax_note = "sent abroad"\n' if job_tax else "")
    root = book(tmp_path, price, bench(bench_tax))
    ran = run("bill", "1", *ON, "--book", root, "--format", "json")
    assert ran.data["lines"][0]["percent"] == percent
    assert ("sent abroad" in ran.data["notes"]) is bool(job_tax)


def test_the_bench_s_own_sentence_stands_on_every_bill(run: Run, tmp_path: Path) -> None:
    small = bench("0") + 'note = "Small trader, no tax shown"\n'
    out = run("bill", "1", *ON, "--book", book(tmp_path, '[price]\ncharged = "10.00 EUR"\n', small)).out
    assert "Small trader, no tax shown" in out


MINUTES = [
    # more of the job, lines as (kind, net), net
    (WORK.format(75, "fit") + WORK.format(5, "clean"), [("labour", "64.00 EUR")], "64.00 EUR"),
    (WORK.format(50, "fit") + USED.format('item = "stage"\npart = "Q1"'),
     [("labour", "40.00 EUR"), ("part", "6.00 EUR")], "46.00 EUR"),
    # the job's own price before that of stock.toml, and that before any cost
    (USED.format('item = "stage"\nprice = "7.00 EUR"\ncost = "4.00 EUR"'), [("part", "7.00 EUR")], "7.00 EUR"),
    (USED.format('item = "stage"\ncost = "4.00 EUR"'), [("part", "6.00 EUR")], "6.00 EUR"),
    (USED.format('item = "paste"\nqty = 2.5\ncost = "0.50 EUR"'), [("part", "1.25 EUR")], "1.25 EUR"),
    (USED.format('item = "paste"\nqty = 2.5'), [("part", "1.00 EUR")], "1.00 EUR"),
    # what did not come from stock knows nothing of stock.toml
    (USED.format('item = "stage"\nfrom = "bought"\ncost = "4.00 EUR"'), [("part", "4.00 EUR")], "4.00 EUR"),
    (USED.format('item = "stage"\nfrom = "client"\ncost = "4.00 EUR"'), [], "0.00 EUR"),
    (USED.format('item = "stage"\nfrom = "K26-0002"\nprice = "3.00 EUR"'), [("part", "3.00 EUR")], "3.00 EUR"),
]  # fmt: skip


@pytest.mark.parametrize(("more", "rows", "net"), MINUTES)
def test_labour_by_the_minute_and_parts(
    run: Run, tmp_path: Path, more: str, rows: list[tuple[str, str]], net: str
) -> None:
    made = run("bill", "1", *ON, "--book", book(tmp_path, more), "--format", "json").data
    assert made["basis"] == "breakdown"
    assert [(each["kind"], each["net"]) for each in made["lines"]] == rows
    assert (made["net"], made["owed"]) == (net, None)


def test_a_part_keeps_the_tax_of_its_item_unless_the_job_has_its_own(run: Run, tmp_path: Path) -> None:
    used = USED.format('item = "stage"')
    first, second = book(tmp_path / "a", used), book(tmp_path / "b", '[price]\ntax = "0 %"\n' + used)
    assert run("bill", "1", *ON, "--book", first, "--format", "json").data["lines"][0]["percent"] == 11
    assert run("bill", "1", *ON, "--book", second, "--format", "json").data["lines"][0]["percent"] == 0


def test_a_part_without_a_price_is_named(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, USED.format('item = "a socket"\nfrom = "bought"'))
    assert (
        "These parts have no price, so they are not on the bill: a socket."
        in run("bill", "1", *ON, "--book", root).out
    )


def test_the_ceiling_cuts_what_the_minutes_come_to(run: Run, tmp_path: Path) -> None:
    # 3 h at 48 EUR are 144 EUR at 24 %, ten stages 60 EUR at 11 %: 204 EUR in all, 54 EUR above the ceiling. Of it
    # 54 × 144/204 = 38.117… -> 38.12 come off at 24 %, the rest of 15.88 at 11 %.
    price = (
        '[price]\nceiling = "150.00 EUR"\n'
        + WORK.format(180, "fit")
        + USED.format('item = "stage"\nqty = 10')
    )
    root = book(tmp_path, price)
    made = run("bill", "1", *ON, "--breakdown", "--book", root, "--format", "json").data
    cuts = [(each["percent"], each["net"]) for each in made["lines"] if each["kind"] == "cut"]
    assert cuts == [(24, "-38.12 EUR"), (11, "-15.88 EUR")]
    assert (made["net"], made["most"], made["over"]) == ("150.00 EUR", "150.00 EUR", None)
    assert "discount to the agreed maximum, 150.00 EUR" in run("bill", "1", *ON, "--book", root).out


def test_a_view_by_the_minute_says_what_the_bill_asks(run: Run) -> None:
    ran = run("bill", "47", "--breakdown", "--book", EXAMPLE, "--on", "2026-11-20")
    # 190 minutes at 48.00 EUR an hour, and a stage
    assert "3.17 h  48.00 EUR  152.00 EUR" in ran.out
    assert "This is only a view: the bill charges 155.00 EUR for the repair." in ran.out
    assert "balance due" not in ran.out


@pytest.mark.parametrize("more", ["", AGREED.format("160.00 EUR")])
def test_more_than_was_allowed_is_said(run: Run, tmp_path: Path, more: str) -> None:
    price = '[price]\nceiling = "200.00 EUR"\ncharged = "212.50 EUR"\n' + more
    ran = run("bill", "1", *ON, "--book", book(tmp_path, price))
    said = " ".join(ran.out.split())
    assert "12.50 EUR more than that." in said
    assert "212.50 EUR" in said


REFUSED = [
    ('[price]\ncharged = "155.00 EUR"\nshipping = "12.00 USD"\n', "",
     '"shipping" is in USD, and "repair" in EUR; write every price and payment of the job in one currency'),
    ('[price]\ncharged = "155.00 EUR"\n' + PAYMENT.format("13", "50.00 USD"), "",
     '"the payment of 2026-10-13" is in USD, and "repair" in EUR'),
    ('[price]\ncharged = "155.00 EURO"\n', "", '"price" has errors; see `jobkit lint'),
    ('[price]\ncharged = "-155.00 EUR"\n', "", '"price" has errors; see `jobkit lint'),
    ('[price]\ncharged = "155.00 EUQ"\n', "", '"price" has errors; see `jobkit lint'),
    ('[price]\ntax = "240 %"\ncharged = "155.00 EUR"\n', "", '"price" has errors; see `jobkit lint'),
    ('[price]\ncharged = "155.00 EUR"\n', bench().replace('"24 %"', "24"), "bench.toml has errors"),
    ('[price]\ncharged = "155.00 EUR"\n', bench(currency="EUQ"), "bench.toml has errors"),
    (WORK.format(75, "fit"), bench().replace('rate = "48.00 EUR"\n', ""), "bench.toml has no rate"),
    ("", 'format = 1\n[bench]\nname = "T"\nletter = "K"\nzone = "UTC"\n', "bench.toml names no currency"),
]  # fmt: skip


@pytest.mark.parametrize(("price", "bench_toml", "message"), REFUSED)
def test_a_bill_that_would_be_wrong_is_refused_in_words(
    run: Run, tmp_path: Path, price: str, bench_toml: str, message: str
) -> None:
    ran = run("bill", "1", *ON, "--book", book(tmp_path, price, bench_toml or None))
    assert (ran.status, ran.out) == (2, "")
    assert message in ran.err
    assert ran.err.count("\n") == 1


def test_a_slip_elsewhere_in_the_files_does_not_stand_in_the_way(run: Run, tmp_path: Path) -> None:
    root = book(
        tmp_path, '[price]\ncharged = "10.00 EUR"\n[[used]]\nitem = 7\n', bench() + "[oven]\nhot = true\n"
    )
    assert run("bill", "1", *ON, "--book", root, "--format", "json").data["net"] == "10.00 EUR"


def test_nothing_is_known_before_the_board_came(run: Run) -> None:
    ran = run("bill", "47", "--book", EXAMPLE, "--on", "2026-10-18")
    assert (ran.status, ran.err) == (
        2, "jobkit: K26-0047 was not received by 2026-10-18; name a later day with --on\n",
    )  # fmt: skip


@pytest.mark.parametrize("job_id", ["26", "29", "41", "42", "44", "47", "49", "53", "55", "58"])
@pytest.mark.parametrize("more", [(), ("--breakdown",)])
def test_the_answer_keeps_to_its_schema(run: Run, job_id: str, more: tuple[str, ...]) -> None:
    ran = run("bill", job_id, *more, "--book", EXAMPLE, "--on", "2026-11-20", "--format", "json")
    # The example has no names of clients, and an invoice says so.
    lacks_name = ran.data["invoice"] is not None
    assert (ran.status, "no name for" in ran.err, bool(ran.err)) == (0, lacks_name, lacks_name)
    assert list(fast("answers/bill").iter_errors(ran.data)) == []
    assert ran.data["notes"][-1].startswith("This is not tax or legal advice")


CLIENT = '[client.c-001]\nname = "Vala Birk"\naddress = ["Quay 3", "Skerrie"]\ntax_number = "IS-1"\n'


def test_the_bill_is_addressed_only_out_of_the_private_file(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, '[price]\ncharged = "10.00 EUR"\n')
    assert "Vala" not in run("bill", "1", *ON, "--book", root).out
    put(root / "private/clients.toml", CLIENT)
    out = run("bill", "1", *ON, "--book", root).out
    assert (
        "to               Vala Birk, Quay 3, Skerrie\nyour tax number  IS-1\nclient number    c-001\n" in out
    )


def test_a_bill_of_an_older_revision(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, '[price]\ncharged = "10.00 EUR"\n')
    put(root / "private/clients.toml", CLIENT)
    repo = GitRepo.make(root)
    repo.commit("First charge")
    put(root / "jobs/2026/K26-0001.toml", job('[price]\ncharged = "12.00 EUR"\n'))
    put(root / "bench.toml", bench("0"))
    now, then = (run("bill", "1", *ON, "--book", root, *more) for more in ((), ("--rev", "HEAD")))
    assert "12.00 EUR" in now.out
    assert ("12.40 EUR" in then.out, "Vala" in then.out) == (True, False)


def test_a_price_below_the_smallest_coin_is_rounded_once(run: Run, tmp_path: Path) -> None:
    price = lines("1000 0.0042 EUR", "3 0.005 EUR", "1 0.004 EUR")
    made = run("bill", "1", *ON, "--book", book(tmp_path, price), "--format", "json").data
    assert [(each["each"], each["net"]) for each in made["lines"]] == [
        ("0.0042 EUR", "4.20 EUR"),
        ("0.005 EUR", "0.02 EUR"),
        ("0.004 EUR", "0.00 EUR"),
    ]


def test_a_negative_line_is_refused_with_what_to_use_instead(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, lines("1 10.00 EUR", "-1 2.00 EUR"))
    ran = run("lint", "--book", root, *ON)
    assert "to take money off the bill, use [[price.discount]] or [[price.credit]]" in " ".join(
        ran.out.split()
    )


def test_more_than_the_quote_that_was_agreed_is_found(run: Run, tmp_path: Path) -> None:
    agreed = MADE + "agreed = 2026-10-07\n"
    root = book(tmp_path, '[price]\nquoted = "160.00 EUR"\ncharged = "165.00 EUR"\n', dates=agreed)
    found = run("lint", "--book", root, *ON, "--format", "json").data["findings"]
    (one,) = [each for each in found if each["rule"] == "price-over-agreed"]
    assert one["message"] == "charged 165.00 EUR, but no more than 160.00 EUR was agreed to"


def test_a_quote_that_nobody_agreed_to_is_not_final(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, '[price]\nquoted = "160.00 EUR"\n')
    ran = run("bill", "1", *ON, "--book", root)
    assert "Estimate K26-0001" in ran.out
    assert "This is our quote. It is not final until you agree to it." in ran.out
    assert run("bill", "1", *ON, "--book", root, "--format", "json").data["final"] is False


def test_the_client_s_own_parts_cost_the_bench_nothing(run: Run, tmp_path: Path) -> None:
    used = USED.format('item = "stage"\nfrom = "client"\ncost = "4.00 EUR"') + USED.format('item = "stage"')
    root = book(tmp_path, '[price]\ncharged = "100.00 EUR"\n' + used)
    shown = run("earnings", *ON, "--book", root, "--format", "json").data["all"][0]
    # the one from stock costs what stock.toml says
    assert (shown["parts"], shown["left"]) == ("4.20 EUR", "95.80 EUR")
    assert "No cost is entered" not in run("earnings", *ON, "--book", root).out


@pytest.mark.parametrize(("percent", "is_taxed"), [("0", False), ("24", True)])
def test_a_bench_without_tax_does_not_speak_of_it(
    run: Run, tmp_path: Path, percent: str, *, is_taxed: bool
) -> None:
    price = '[price]\ncharged = "155.00 EUR"\nquoted = "160.00 EUR"\n' + AGREED.format("160.00 EUR")
    root = book(tmp_path, price, bench(percent))
    bill = run("bill", "1", *ON, "--book", root).out
    assert ("No VAT is charged." in bill) is not is_taxed
    assert ("Prices are net: VAT comes on top." in bill) is is_taxed
    assert ("160.00 EUR (net)." in bill) is is_taxed
    report = " ".join(run("report", "1", *ON, "--book", root).out.split())
    assert ("You agreed to 160.00 EUR." in report) is not is_taxed
    message = run("report", "1", *ON, "--for", "message", "--about", "quote", "--book", root).out
    assert ("VAT" in message) is is_taxed
