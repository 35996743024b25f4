"""The worst words are in no text that a user reads."""

from __future__ import annotations

import re

import pytest

from tests.wording.user_text import user_text
from tests.wording.words import INSTEAD


@pytest.mark.parametrize("words", INSTEAD)
def test_no_text_for_users_has_these_words(words: str) -> None:
    pattern = re.compile(rf"\b(?:{words})\b", re.IGNORECASE)
    found = [
        f"{where}: {_around(text, hit)}" for where, text in user_text() for hit in pattern.finditer(text)
    ]
    assert not found, f"write: {INSTEAD[words]}\n" + "\n".join(found)


def _around(text: str, hit: re.Match[str]) -> str:
    return " ".join(text[max(0, hit.start() - 40) : hit.end() + 40].split())


def test_texts_of_every_sort_are_looked_at() -> None:
    places = {where.split(":")[0] for where, _ in user_text()}
    assert {"README.md", "schema/job.schema.json", "jobkit/lint/rules/release.py"} <= places
    assert any(where.startswith("jobkit/pages/client/") for where in places)
