"""Papers in the language of the client: which one it is, what a bench adds, and that nothing stays English."""

from __future__ import annotations

import re
import shutil
import sys
from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from babel.numbers import parse_decimal

from jobkit.pages.language.po_file import Entry
from jobkit.pages.language.po_text import our_phrases, po_header
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import EXAMPLE, put
from tests.conftest import Run
from tests.long_run import share

ON = ("--on", "2026-11-20")
PAPERS = {
    "report-47": ("report", "47"),
    "report-26": ("report", "26"),
    "report-53": ("report", "53"),
    "intake-61": ("report", "61", "--for", "intake"),
    "quote-55": ("report", "55", "--for", "quote"),
    "message-43": ("report", "43", "--for", "message"),
    "message-50": ("report", "50", "--for", "message"),
    "bill-44": ("bill", "44"),
    "bill-42": ("bill", "42"),
    "credit-note-42": ("bill", "42", "--credit-note", "K26-R-0003"),
    "warranty-35": ("warranty", "35"),
}
FORMS = {"txt": "text", "md": "markdown", "html": "html"}


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """Copy the example book."""
    shutil.copytree(EXAMPLE, tmp_path / "book")
    return tmp_path / "book"


def told(err: str) -> list[str]:
    """Leave out that the example book has no names."""
    return [line for line in err.splitlines() if "in private/clients.toml" not in line]


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("name", PAPERS)
def test_german_papers(run: Run, golden: Callable[[str, str], None], name: str, form: str) -> None:
    ran = run(*PAPERS[name], *ON, "--lang", "de", "--format", FORMS[form], "--book", EXAMPLE)
    assert (ran.status, told(ran.err)) == (0, [])
    golden(f"de/{name}.{form}", _without_style(ran.out))


def _without_style(page: str) -> str:
    """Leave out the style sheet of an HTML page, and its hash: both are the same in each language."""
    page = re.sub("<style>.*?</style>", "<style></style>", page, flags=re.DOTALL)
    return re.sub("'sha256-[^']*'", "'sha256-'", page)


def client(book: Path, ref: str, language: str) -> None:
    """Give a client a name and a language."""
    put(
        book / "private/clients.toml",
        f'format = 1\n[client.{ref}]\nname = "Vala Birk"\naddress = ["Quay 3"]\nlanguage = "{language}"\n',
    )


def test_the_language_is_that_of_the_client_unless_another_is_asked_for(run: Run, book: Path) -> None:
    client(book, "c-031", "de")
    words = ("report", "47", *ON, "--book", book)
    assert run(*words).out.startswith("Bericht zu Ihrer Karte")
    assert run(*words, "--lang", "en").out.startswith("Report on your graphics card")
    assert '<html lang="de">' in run(*words, "--format", "html").out
    assert '<html lang="en">' in run(*words, "--format", "html", "--lang", "EN").out
    assert run("bill", "47", *ON, "--book", book).out.startswith("Rechnung K26-R-0007")
    assert "Garantie" in run("warranty", "47", *ON, "--book", book).out
    other = ("report", "55", *ON, "--book", book)
    assert run(*other).out.startswith("Report on"), "another client"
    bench = book / "bench.toml"
    put(bench, bench.read_text("utf-8").replace("[papers]\n", '[papers]\nlanguage = "de"\n'))
    assert run(*other).out.startswith("Bericht zu Ihrer Karte")
    client(book, "c-046", "en")
    assert run(*other).out.startswith("Report on")


@pytest.mark.parametrize("words", [PAPERS["report-47"], PAPERS["bill-42"], PAPERS["quote-55"]])
def test_the_data_are_the_same_in_each_language(run: Run, words: tuple[str, ...]) -> None:
    english, german = (
        run(*words, *ON, "--lang", tag, "--format", "json", "--book", EXAMPLE).out for tag in ("en", "de")
    )
    assert english == german


def test_the_data_of_a_message_are_in_its_language(run: Run) -> None:
    data = run(*PAPERS["message-43"], *ON, "--lang", "de", "--format", "json", "--book", EXAMPLE).data
    assert data["language"] == "de"
    assert data["subject"].startswith("Zahlung für Ihre Karte")
    assert data["text"].startswith("Guten Tag,\n\naus unserer Rechnung K26-R-0004")


AMOUNT = {"en": re.compile(r"[0-9]+\.[0-9]{2} EUR"), "de": re.compile(r"[0-9.]+,[0-9]{2} €")}


def amounts(text: str, tag: str) -> Iterator[Decimal]:
    """Read the amounts of a paper, in order."""
    for found in AMOUNT[tag].findall(text):
        yield parse_decimal(found.split()[0], locale=tag if tag == "de" else "en_US")


@pytest.mark.parametrize("form", ["text", "markdown", "html"])
@pytest.mark.parametrize(
    "name", ["report-47", "quote-55", "message-43", "bill-44", "bill-42", "credit-note-42"]
)
def test_amounts_are_equal_in_every_form_and_language(run: Run, name: str, form: str) -> None:
    english, german = (
        run(*PAPERS[name], *ON, "--lang", tag, "--format", form, "--book", EXAMPLE).out
        for tag in ("en", "de")
    )
    typed = "credit of 10.00 EUR"  # a note of a payment, shown as it was typed
    assert [*amounts(german, "de")] == [*amounts(english.replace(typed, ""), "en")] != []


MISTAKES = {
    "unknown": (
        ("--lang", "fr"),
        'there is no catalogue for the language "fr"; there are en, de; `jobkit phrases',
    ),
    "a name": (("--lang", "deutsch"), '"deutsch" is not the tag of a language; write it as BCP 47 does'),
    "a path": (("--lang", "../de"), "is not the tag of a language"),
}


@pytest.mark.parametrize(("words", "said"), MISTAKES.values(), ids=MISTAKES)
def test_a_language_that_there_is_not(run: Run, words: tuple[str, ...], said: str) -> None:
    ran = run("report", "47", *words, *ON, "--book", EXAMPLE)
    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err


def test_a_language_of_a_client_that_is_no_tag_is_told_and_left_out(run: Run, book: Path) -> None:
    client(book, "c-031", "deutsch")
    ran = run("report", "47", *ON, "--book", book)
    assert ran.out.startswith("Report on")
    assert "private/clients.toml line 5" in ran.err


DUTCH = """\
msgid ""
msgstr "Language: nl\\n"

msgid "Report on your {board}, job {job}"
msgstr "Verslag over uw {board}, opdracht {job}"

msgid "graphics card"
msgstr "grafische kaart"

msgid "We received the board on {day}."
msgstr "Wij ontvingen de kaart op {day}."
"""


def test_a_bench_adds_a_language_of_its_own(run: Run, book: Path) -> None:
    put(book / "papers/nl.po", DUTCH)
    ran = run("report", "47", "--lang", "nl", *ON, "--book", book)
    assert ran.status == 0
    assert ran.out.startswith("Verslag over uw grafische kaart, opdracht K26-0047")
    assert "Wij ontvingen de kaart op 19 oktober 2026." in ran.out
    assert "You have a warranty" in ran.out
    assert re.search(
        r'^jobkit: [0-9]+ phrases of this paper are in English, because no catalogue of "nl" has them: ',
        ran.err,
    )
    assert "there are en, de, nl;" in run("report", "47", "--lang", "fr", *ON, "--book", book).err


def test_a_bench_rewords_german_and_says_its_own_terms_in_it(run: Run, book: Path) -> None:
    put(
        book / "papers/de.po",
        'msgid "Terms"\nmsgstr "Unsere Bedingungen"\n'
        'msgid "We start a repair when you have agreed to our quote."\n'
        'msgstr "Wir beginnen, wenn Sie unserem Angebot zugestimmt haben."\n',
    )
    ran = run("report", "61", "--for", "intake", "--lang", "de", *ON, "--book", book)
    assert "Unsere Bedingungen" in ran.out
    assert "Wir beginnen, wenn Sie unserem Angebot zugestimmt haben." in ran.out
    assert told(ran.err) == []


@pytest.mark.parametrize("tag", ["en", "de"])
def test_no_shop_note_is_on_a_paper(run: Run, book: Path, tag: str) -> None:
    job = book / "jobs/2026/K26-0047.toml"
    notes = (
        '\n[[note]]\nat = 2026-10-22T10:00:00\ntext = "margin is thin"\n'
        '\n[[note]]\nat = 2026-10-22T10:01:00\ntext = "keep it dry"\nclient = true\n'
    )
    put(job, job.read_text("utf-8") + notes)
    for words in (("report",), ("report", "--for", "intake"), ("bill",), ("warranty",)):
        for form in ("text", "html"):
            said = run(words[0], "47", *words[1:], "--lang", tag, "--format", form, *ON, "--book", book).out
            assert said
            assert "margin is thin" not in said
    assert "keep it dry" in run("report", "47", "--lang", tag, *ON, "--book", book).out


def test_a_broken_catalogue_is_named_with_its_line(run: Run, book: Path) -> None:
    put(book / "papers/nl.po", DUTCH.replace("opdracht {job}", "opdracht {klus}"))
    ran = run("report", "47", "--lang", "nl", *ON, "--book", book)
    assert (ran.status, ran.out) == (2, "")
    assert 'papers/nl.po line 4: there is no {klus} for "Verslag over uw {board}, opdracht {klus}"' in ran.err


def test_a_catalogue_that_leads_out_of_the_book_is_not_followed(run: Run, book: Path, tmp_path: Path) -> None:
    put(tmp_path / "outside.po", DUTCH)
    (book / "papers/nl.po").symlink_to(tmp_path / "outside.po")
    ran = run("report", "47", "--lang", "nl", *ON, "--book", book)
    assert (ran.status, ran.out) == (2, "")
    assert "papers/nl.po" in ran.err


def test_without_the_locale_data_days_are_iso(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "jobkit.pages.language.locale_formats", None)
    ran = run("report", "47", "--lang", "de", *ON, "--book", EXAMPLE)
    assert "Wir haben die Karte am 2026-10-19 erhalten." in ran.out
    assert "Der Gesamtbetrag ist 192.20 EUR, MwSt enthalten" in ran.out
    assert "jobkit[languages]" in ran.err


def test_a_tax_without_a_name_is_named_in_german(run: Run, book: Path) -> None:
    text = (book / "bench.toml").read_text("utf-8")
    put(book / "bench.toml", re.sub(r'(?m)^name +(= "VAT"\n)', "", text))
    assert "zum Steuer-Satz" in run("bill", "44", "--lang", "de", *ON, "--book", book).out
    assert "at tax rate" in run("bill", "44", *ON, "--book", book).out


def test_phrases_gives_what_is_lacking_to_be_appended(run: Run, book: Path) -> None:
    first = run("phrases", "--lang", "nl", "--book", book).out
    put(book / "papers/nl.po", first.replace('msgid "Price"\nmsgstr ""', 'msgid "Price"\nmsgstr "Prijs"'))
    assert "\nPrijs\n" in run("report", "47", "--lang", "nl", *ON, "--book", book).out
    again = run("phrases", "--lang", "nl", "--book", book)
    assert again.out == ""
    assert re.search(r"[0-9]+ phrases in papers/nl.po are still without words", again.err)
    put(book / "papers/nl.po", DUTCH)
    rest = run("phrases", "--lang", "nl", "--book", book).out
    put(book / "papers/nl.po", f"{DUTCH}\n{rest}")
    assert run("report", "47", "--lang", "nl", *ON, "--book", book).status == 0
    assert run("phrases", "--lang", "nl", "--book", book).out == ""


def test_phrases_of_german_are_the_words_of_the_bench(run: Run, book: Path) -> None:
    assert run("phrases", "--lang", "de", "--book", book).err == (
        'jobkit: there are words for all phrases in the language "de"\n'
    )
    (book / "papers/de.po").unlink()
    ran = run("phrases", "--lang", "de", "--book", book)
    assert 'msgid "We start a repair when you have agreed to our quote."' in ran.out
    assert 'msgid "Price"' not in ran.out


# No paper has English words that are written in the source: each phrase is replaced by other letters, and what is left
# of the Latin ones was typed in a file of the book.

_PLACE = re.compile(r"(\{\w+\})")


def _veiled(words: str) -> str:
    parts = _PLACE.split(words)
    return "".join(part if part.startswith("{") else re.sub("[A-Za-z]", "ж", part) for part in parts)


def _entry(entry: Entry) -> str:
    quoted = [
        text.replace("\\", "\\\\").replace('"', '\\"') for text in (entry.context, entry.one, entry.many)
    ]
    context, one, many = quoted
    lines = [f'msgctxt "{context}"'] if context else []
    lines.append(f'msgid "{one}"')
    if many:
        lines += [f'msgid_plural "{many}"', f'msgstr[0] "{_veiled(one)}"', f'msgstr[1] "{_veiled(many)}"']
    else:
        lines.append(f'msgstr "{_veiled(one)}"')
    return "\n".join(lines)


_WORD = re.compile("[A-Za-z]{2,}")
_PAIR = re.compile("(?=\\b([A-Za-z]{2,} [A-Za-z]{2,})\\b)")
_NOT_ENGLISH = {
    "mV", "kV", "mA", "mm", "mW", "min", "OL", "Hz", "MHz", "Januar", "Februar", "rz", "April", "Mai", "Juni", "Juli",
    "August", "September", "Oktober", "November", "Dezember", "ANSI", "ESD", "IEC",
}  # fmt: skip
"""Units, German months, and the standards that cautions name."""


def _words_and_pairs(text: str) -> set[str]:
    """Find the words of a text, and each two words that follow each other: typed words are made of English too."""
    return {*_WORD.findall(text), *_PAIR.findall(text)}


@pytest.mark.slow
def test_nothing_on_a_paper_stays_english(run: Run, book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    put(book / "papers/de.po", "\n\n".join((po_header("de"), *map(_entry, our_phrases()))))
    forget_git_settings(monkeypatch)
    GitRepo.make(book).commit("The example")  # in git, what jobs say is kept from one paper to the next
    typed = _words_and_pairs("\n".join(path.read_text("utf-8") for path in book.rglob("*.toml")))
    typed |= _words_and_pairs(
        "\n".join(path.read_text("utf-8").split("\n")[0] for path in book.rglob("*.csv"))
    )
    left: dict[str, set[str]] = {}
    asked = (
        *(("report",), ("report", "--for", "intake"), ("report", "--for", "quote")),
        *(("report", "--for", "message"), ("bill",), ("warranty",)),
    )
    for at, path in enumerate(sorted(book.glob("jobs/*/*.toml"))):
        for words in share(asked, 2, at):
            ran = run(
                words[0], path.stem, *words[1:], "--lang", "de", *ON, "--format", "markdown", "--book", book
            )
            if ran.status == 0:
                found = _words_and_pairs(ran.out) - typed - _NOT_ENGLISH
                if found:
                    left[f"{path.stem} {' '.join(words)}"] = found
    assert left == {}
