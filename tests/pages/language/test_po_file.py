"""Catalogues of a bench: what is read of a .po file, and what is said of a broken one, by its line."""

from __future__ import annotations

from contextlib import suppress
from gettext import NullTranslations

import pytest
from babel.messages.pofile import read_po as read_by_babel
from hypothesis import given
from hypothesis import strategies as st

from jobkit.pages.language.catalogue import Catalogue, words_of
from jobkit.pages.language.catalogues import Lacking, language
from jobkit.pages.language.po_file import CatalogueError, Entry, read_po
from jobkit.pages.language.po_text import empty_entries, our_phrases, po_header

GOOD = """\
# a remark
msgid ""
msgstr ""
"Language: nl\\n"
"Plural-Forms: nplurals=2; plural=(n != 1);\\n"

#, fuzzy
msgid "Price"
msgstr "Prijs?"

msgid "paid"
msgstr ""

msgctxt "bill"
msgid "what"
msgstr "Omschrijving"

msgid "{count} day"
msgid_plural "{count} days"
msgstr[0] "één dag"
msgstr[1] "{count} dagen"

msgid "We start "
"soon."
msgstr ""
"We beginnen \\"gauw\\"."
"""


def catalogue(text: str) -> Catalogue:
    """Read a catalogue that nothing stands behind."""
    return Catalogue(words_of("papers/nl.po", read_po("papers/nl.po", text.encode())), NullTranslations())


def test_what_is_read() -> None:
    words = catalogue(GOOD)
    assert words.pgettext("bill", "what") == "Omschrijving"
    assert words.gettext("what") == "what"
    assert [words.ngettext("{count} day", "{count} days", n) for n in (0, 1, 2, 5000)] == [
        "{count} dagen", "één dag", "{count} dagen", "{count} dagen",
    ]  # fmt: skip
    assert words.gettext("We start soon.") == 'We beginnen "gauw".'
    assert [words.gettext(one) for one in ("Price", "paid")] == ["Price", "paid"], (
        "fuzzy and empty count as lacking"
    )


BROKEN = {
    "a quotation mark is not closed": ('msgid "a"\nmsgstr "b\n', "line 2: not a line of a .po file"),
    "a mark within": ('msgid "a"\nmsgstr "say "b" now"\n', "line 2: not a line of a .po file"),
    "no msgstr": ('msgid "a"\n\nmsgid "b"\nmsgstr "c"\n', "line 3: msgid is out of place"),
    "no msgstr at the end": ('msgid "b"\nmsgstr "c"\nmsgid "a"\n', "line 3: the phrase has no msgstr"),
    "no msgid": ('msgstr "a"\n', "line 1: msgstr is out of place"),
    "words alone": ('"a"\n', "line 1: words without msgid"),
    "another word": ('msgid "a"\nmsgtext "b"\n', "line 2: not a line of a .po file"),
    "twice": ('msgid "a"\nmsgstr "b"\nmsgid "a"\nmsgstr "c"\n', 'line 3: "a" is there already, in line 1'),
    "a place too few": ('msgid "{day}: {why}"\nmsgstr "{day}"\n', "line 1: {why} is missing in"),
    "a place too many": ('msgid "a"\nmsgstr "{day}"\n', "line 1: there is no {day} for"),
    "a place of another name": ('msgid "by {day}"\nmsgstr "op {dag}"\n', "line 1: there is no {dag} for"),
    "a place that reaches inside": ('msgid "by {day}"\nmsgstr "{day.__class__}"\n', "line 1: braces in"),
    "a brace alone": ('msgid "by {day}"\nmsgstr "op {day"\n', "line 1: braces in"),
    "one form of two": (
        'msgid "{count} day"\nmsgid_plural "{count} days"\nmsgstr[0] "dag"\n', "line 1: 1 forms, but"
    ),
    "forms out of order": ('msgid "a"\nmsgid_plural "b"\nmsgstr[1] "c"\n', "line 3: msgstr[1] is out of place"),
    "one word for both": ('msgid "a"\nmsgid_plural "b"\nmsgstr "c"\n', "line 3: msgstr is out of place"),
    "a rule that is none": ('msgid ""\nmsgstr "Plural-Forms: nplurals=2; plural=n.real;\\n"\n', "Plural-Forms"),
    "a rule out of range": ('msgid ""\nmsgstr "Plural-Forms: nplurals=2; plural=n;\\n"\n', "Plural-Forms"),
    "a rule that divides by 0": ('msgid ""\nmsgstr "Plural-Forms: nplurals=2; plural=2/n;\\n"\n', "Plural-Forms"),
}  # fmt: skip


@pytest.mark.parametrize(("text", "said"), BROKEN.values(), ids=BROKEN)
def test_what_is_said_of_a_broken_file(text: str, said: str) -> None:
    with pytest.raises(CatalogueError) as refused:
        catalogue(text)
    assert refused.value.message.startswith("papers/nl.po")
    assert said in refused.value.message
    assert refused.value.mend


@pytest.mark.parametrize(
    ("content", "said"),
    [(b'msgid "a"\nmsgstr "\xff"\n', "line 2: not UTF-8"), (b" " * 1_000_001, "is larger than 1000 kB")],
    ids=["bytes", "size"],
)
def test_a_file_that_is_no_text(content: bytes, said: str) -> None:
    with pytest.raises(CatalogueError, match=said):
        read_po("papers/nl.po", content)


@given(st.binary(max_size=60) | st.text(max_size=80).map(str.encode))
def test_any_bytes_are_read_or_refused(content: bytes) -> None:
    with suppress(CatalogueError):
        assert words_of("papers/nl.po", read_po("papers/nl.po", content)).form_for(1) in range(6)


TEXTS = st.text(
    st.characters(exclude_categories=["Cs", "Cc"]) | st.sampled_from('\\"\n\t'), min_size=1, max_size=30
)


@given(st.lists(st.tuples(st.just("") | TEXTS, TEXTS), unique=True, max_size=5))
def test_what_is_written_reads_back_here_and_by_babel(keys: list[tuple[str, str]]) -> None:
    """Babel reads the format with code of its own."""
    entries = [Entry(context, one, "", (), 0) for context, one in keys]
    text = "\n".join((po_header("nl"), *empty_entries(entries, ())))
    found = [(entry.context, entry.one) for entry in read_po("x.po", text.encode()) if entry.one]
    assert found == keys
    theirs = [
        (one.context or "", one.id)
        for one in read_by_babel(text.encode().splitlines(keepends=True))
        if one.id
    ]
    assert sorted(theirs) == sorted(keys)


def test_what_a_catalogue_lacks_is_english_and_noted() -> None:
    lacking = Lacking()
    lang = language("nl", {"papers/nl.po": GOOD.encode()}, lacking)
    assert lang.say("You hear from us by {day}.", day="soon") == "You hear from us by soon."
    assert lang.plural("{count} month", "{count} months", 2) == "2 months"
    assert lang.say("what", "bill") == "Omschrijving"
    assert lang.own("We start soon.") == 'We beginnen "gauw".'
    assert lang.own("typed {so}") == "typed {so}"
    assert list(lacking.phrases) == ["You hear from us by {day}.", "{count} month"]


def test_the_nearest_catalogue_comes_first() -> None:
    own = {
        "papers/de-AT.po": b'msgid "Price"\nmsgstr "Preis (AT)"\n',
        "papers/de.po": b'msgid "Terms"\nmsgstr "AGB"\n',
    }
    lacking = Lacking()
    lang = language("de-AT", own, lacking)
    assert [lang.say(one) for one in ("Price", "Terms", "Photos")] == ["Preis (AT)", "AGB", "Fotos"]
    assert not lacking.phrases


def test_an_empty_catalogue_has_each_phrase_of_ours_once() -> None:
    text = "\n".join((po_header("nl"), *empty_entries(our_phrases(), ())))
    assert [entry[:3] for entry in read_po("x.po", text.encode()) if entry.one] == [
        one[:3] for one in our_phrases()
    ]
