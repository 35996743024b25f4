"""Words that another language may say in its own way are plain English texts that remember what they are made of."""

from __future__ import annotations

import pytest

from jobkit.units.phrase import Joined, Phrase, joined, phrase


@pytest.mark.parametrize(
    ("pattern", "context", "values", "english"),
    [
        ("no log", "", {}, "no log"),
        ("100 % {good}", "", {}, "100 % {good}"),
        ("ran {minutes} min", "", {"minutes": 12}, "ran 12 min"),
        ("what", "service", {}, "what"),
    ],
    ids=["words", "braces without values", "values", "context"],
)
def test_a_phrase_is_english_and_remembers_its_pattern(
    pattern: str, context: str, values: dict[str, object], english: str
) -> None:
    made = phrase(pattern, context, **values)
    assert made == english
    assert (made.pattern, made.values, made.context) == (pattern, values, context)


def test_a_phrase_without_values_has_none() -> None:
    assert Phrase("no log").values == {}


def test_what_is_joined_remembers_its_parts() -> None:
    log = phrase("no log")
    made = joined("; ", [log, "", "x"])
    assert (made, made.between) == ("no log; x", "; ")
    assert made.parts == (log, "x")
    assert made.parts[0] is log
    assert Joined(", ") == ""
