"""The generator makes what the schemas accept, reaches every key, and its documents survive a TOML file."""

from collections import Counter
from typing import Any

import pytest
import rtoml
import tomlkit
from hypothesis import HealthCheck, given, seed, settings

from tests.schema.generate import documents
from tests.schema.schemas import KINDS, as_iso, faults_by_fast, faults_by_thorough, schema

pytestmark = pytest.mark.slow

SOME = settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)


@pytest.mark.parametrize("kind", KINDS)
def test_generated_documents_are_accepted_by_both_validators_and_survive_a_file(kind: str) -> None:
    @SOME
    @given(documents(schema(kind)))
    def accepted_and_kept(data: dict[str, Any]) -> None:
        plain = as_iso(data)
        assert faults_by_fast(kind, plain) == faults_by_thorough(kind, plain) == set()
        assert rtoml.loads(tomlkit.dumps(data)) == data

    accepted_and_kept()


@pytest.mark.parametrize(
    ("kind", "table"),
    [
        (kind, table)
        for kind in KINDS
        for table, part in schema(kind)["$defs"].items()
        if "properties" in part
    ],
)
def test_generator_reaches_every_key_of_every_table(kind: str, table: str) -> None:
    seen: Counter[str] = Counter()

    @settings(SOME, derandomize=True)
    @given(documents(schema(kind), table))
    def look(data: dict[str, Any] | str) -> None:
        if isinstance(data, dict):  # a photo may be its name alone
            seen.update(data.keys())

    look()
    assert set(seen) == set(schema(kind)["$defs"][table]["properties"])


def test_generator_reaches_every_kind_of_reading() -> None:
    kinds = set(schema("job")["$defs"]["reading"]["properties"]["kind"]["enum"])
    seen = set()

    def look(data: dict[str, Any]) -> None:
        seen.add(data["kind"])

    for number in range(10):
        seed(number)(settings(SOME, max_examples=100)(given(documents(schema("job"), "reading"))(look)))()
        if seen == kinds:
            return
    assert seen == kinds
