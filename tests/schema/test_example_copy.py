"""The example book carries its own copy of the schemas, as `init` gives every book."""

from __future__ import annotations

from pathlib import Path

import pytest

from jobkit.book.schema.schema_files import FILES, schema_path
from tests.books import EXAMPLE


@pytest.mark.parametrize("kind", FILES)
def test_the_copy_is_identical(kind: str) -> None:
    copy = EXAMPLE / "schema" / schema_path(kind).name
    assert copy.read_bytes() == schema_path(kind).read_bytes(), f"cp schema/{copy.name} jobs_example/schema/"


def test_nothing_else_lies_there() -> None:
    there = {path.name for path in Path(EXAMPLE / "schema").iterdir()}
    assert there == {schema_path(kind).name for kind in FILES}
