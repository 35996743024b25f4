"""Good and broken documents, one fault each: both validators say the same, and name just that fault."""

from pathlib import Path

import pytest

from tests.schema.schemas import DOCUMENTS, KINDS, document, faults_by_fast, faults_by_thorough

GOOD = sorted(DOCUMENTS.glob("*/good/*.toml"))
BAD = sorted(DOCUMENTS.glob("*/bad/*.toml"))


def _name(path: Path) -> str:
    return f"{path.parts[-3]}/{path.stem}"


def test_there_are_many_documents_of_each_kind() -> None:
    assert {path.parts[-3] for path in GOOD} == {path.parts[-3] for path in BAD} == set(KINDS)
    assert len(GOOD) + len(BAD) >= 80


@pytest.mark.parametrize("path", GOOD, ids=_name)
def test_both_validators_accept_a_good_document(path: Path) -> None:
    kind, data = path.parts[-3], document(path)
    assert faults_by_fast(kind, data) == faults_by_thorough(kind, data) == set()


@pytest.mark.parametrize("path", BAD, ids=_name)
def test_both_validators_refuse_a_broken_document_at_one_place(path: Path) -> None:
    kind, data = path.parts[-3], document(path)
    fast = faults_by_fast(kind, data)
    assert len(fast) == 1
    assert faults_by_thorough(kind, data) == fast


@pytest.mark.parametrize("path", BAD, ids=_name)
def test_a_broken_document_marks_its_fault_once(path: Path) -> None:
    assert path.read_text(encoding="utf-8").count("# <- fault") == 1


# Where the two differ, and why it does no harm: the quick one is the stricter, and its word counts.
@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("minutes", float("nan")),  # no number in JSON; comparisons with it are always false
        ("ambient", "22 °C\n"),  # `$` lets a line feed pass in Python's patterns
    ],
    ids=["nan", "line-feed"],
)
def test_where_the_validators_differ_the_quick_one_refuses(key: str, value: object) -> None:
    booked_in = document(DOCUMENTS / "job/good/booked-in.toml")
    data = {**booked_in, "trial": [{"run": "load run", "result": "pass", key: value}]}
    assert faults_by_fast("job", data) == {("trial", 0, key)}
    assert faults_by_thorough("job", data) == set()
