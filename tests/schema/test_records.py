"""What the schemas let through is read into records without a word of trouble; one fault gives one trouble."""

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings

from jobkit.book.read.bench import read_meters, read_settings, read_stock
from jobkit.book.read.board import read_design
from jobkit.book.read.job import read_job
from jobkit.book.schema.gate import Doc
from tests.schema.generate import documents
from tests.schema.schemas import DOCUMENTS, as_iso, document, schema

READERS: Mapping[str, Callable[[Doc], tuple[Any, tuple[Any, ...]]]] = {
    "job": lambda doc: read_job("jobs/2026/K26-0047.toml", doc),
    "bench": read_settings,
    "meters": read_meters,
    "stock": read_stock,
    "board": lambda doc: read_design("boards/tarnhow-t7-16.toml", doc),
}
SOME = settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)


@pytest.mark.parametrize("kind", READERS)
def test_generated_documents_are_read_without_trouble(kind: str) -> None:
    @SOME
    @given(documents(schema(kind)))
    def read(data: dict[str, Any]) -> None:
        names = [meter["name"] for meter in data.get("meter", ())]
        assume(len(set(names)) == len(names))  # that no two meters share a name is more than a schema can say
        _, troubles = READERS[kind](as_iso(data))
        assert troubles == ()

    read()


@pytest.mark.parametrize(
    "path",
    [path for kind in READERS for path in sorted(DOCUMENTS.glob(f"{kind}/good/*.toml"))],
    ids=lambda path: f"{path.parts[-3]}/{path.stem}",
)
def test_good_documents_are_read_without_trouble(path: Path) -> None:
    _, troubles = READERS[path.parts[-3]](document(path))
    assert troubles == ()


@pytest.mark.parametrize(
    "path",
    [path for kind in READERS for path in sorted(DOCUMENTS.glob(f"{kind}/bad/*.toml"))],
    ids=lambda path: f"{path.parts[-3]}/{path.stem}",
)
def test_a_broken_document_gives_one_trouble(path: Path) -> None:
    _, troubles = READERS[path.parts[-3]](document(path))
    assert len(troubles) == 1
