"""The German catalogue: it has every phrase of the papers, no other, and each with the places of the English words."""

from __future__ import annotations

import pkgutil

from jobkit.pages.language.catalogue import places
from jobkit.pages.language.po_file import read_po
from tests.pages.language.phrases_found import phrases_found

CONTENT = pkgutil.get_data("jobkit.pages.language", "de.po") or b""
ENTRIES = {entry[:2]: entry for entry in read_po("de.po", CONTENT) if entry.one}
PHRASES = phrases_found()


def test_the_source_is_searched() -> None:
    """Each way to write a phrase is found: a call, one of two by a condition, one with a number, one in a template."""
    found = {one[:3] for one in PHRASES}
    assert {
        ("", "What came", ""),
        ("head", "from", ""),
        ("", "a part", ""),
        ("", "{count} day", "{count} days"),
        ("", "The figures are in the table.", ""),
    } <= found
    assert len(PHRASES) > 400


def test_each_phrase_is_in_german() -> None:
    lacking = [f"{one.file} line {one.line}: {one.one}" for one in PHRASES if one[:2] not in ENTRIES]
    assert lacking == [], "write them into de.po"
    entries = [(one, ENTRIES[one[:2]]) for one in PHRASES]
    assert [one for one, entry in entries if entry.many != one.many or not entry.forms] == []
    assert [entry for _, entry in entries if any(form.strip() != form for form in entry.forms)] == []


def test_each_entry_is_said_somewhere() -> None:
    said = {one[:2] for one in PHRASES}
    assert [entry for key, entry in ENTRIES.items() if key not in said] == [], "take them out"


def test_each_has_the_places_of_the_english_words() -> None:
    wanted = {entry: places(entry.many or entry.one) for entry in ENTRIES.values()}
    assert None not in wanted.values()
    assert [entry for entry, found in wanted.items() if {*map(places, entry.forms)} != {found}] == []


def test_ends_of_sentences_agree() -> None:
    """A sentence stays a sentence: what ends with a full stop, a colon or a comma in English does so in German."""
    odd = [
        entry.one
        for entry in ENTRIES.values()
        for form in entry.forms
        if (entry.one.rstrip('"”')[-1] in ".:,") is not (form.rstrip('"“')[-1] in ".:,")
        and form not in {"MwSt", "{number}."}
    ]
    assert odd == []
