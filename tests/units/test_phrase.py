"""Words that another language may say in its own way are plain English texts that remember what they are made of."""

from __future__ import annotations

import pytest

from jobkit.units.phrase import Joined, Phrase, joined, phrase


@pytest.mark.parametrize(
    ("made", "english", "pattern", "values", "context"),
    [
        (Phrase("no log"), "no log", "no log", {}, ""),
        (Phrase("100 % {good}"), "100 % {good}", "100 % {good}", {}, ""),
        (phrase("ran {minutes} min", minutes=12), "ran 12 min", "ran {minutes} min", {"minutes": 12}, ""),
        (phrase("what", context="service"), "what", "what", {}, "service"),
    ],
    ids=["words", "braces without values", "values", "context"],
)
def test_a_phrase_is_english_and_remembers_its_pattern(
    made: Phrase, english: str, pattern: str, values: dict[str, object], context: str
) -> None:
    assert made == english
    assert (made.pattern, made.values, made.context) == (pattern, values, context)


def test_what_is_joined_remembers_its_parts() -> None:
    log = phrase("no log")
    made = joined("; ", [log, "", "x"])
    assert (made, made.between) == ("no log; x", "; ")
    assert made.parts == (log, "x")
    assert made.parts[0] is log
    assert Joined(", ") == ""
