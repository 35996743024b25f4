"""Where jsonschema-rs has no wheel, jsonschema looks at every document, and says the same."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from jobkit.book.schema import gate
from tests.books import EXAMPLE
from tests.schema.schemas import DOCUMENTS, KINDS, ROOT, document

PATHS = [path for kind in KINDS for path in sorted((DOCUMENTS / kind).rglob("*.toml"))]
ODD: dict[str, dict[str, Any]] = {
    "nan": {"format": 1, "bench": {"name": "b", "letter": "K"}, "decision": {"rule": "guarded", "k": float("nan")}},
    "infinity": {"format": 1, "heat": {"cycles": float("inf")}},
    "nan of one's own": {"format": 1, "own": {"x": float("nan")}},
    "nothing": {},
}  # fmt: skip


@pytest.fixture
def without(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Call the gate as where the quick validator cannot be imported."""

    def checked(kind: str, doc: dict[str, Any]) -> Any:
        with monkeypatch.context() as patch:
            patch.setitem(sys.modules, "jsonschema_rs", None)
            gate._gate.cache_clear()
            assert gate._gate(kind) is None
            found = gate.check(kind, doc)
        gate._gate.cache_clear()
        return found

    return checked


@pytest.mark.parametrize("path", PATHS, ids=[f"{path.parent.name}-{path.stem}" for path in PATHS])
def test_a_document_gets_the_same_troubles(path: Path, without: Any) -> None:
    kind = path.relative_to(DOCUMENTS).parts[0]
    data = document(path)
    assert without(kind, data) == gate.check(kind, data)


@pytest.mark.parametrize("doc", ODD.values(), ids=ODD)
def test_what_only_the_quick_one_refuses_is_refused(doc: dict[str, Any], without: Any) -> None:
    assert str(without("bench", doc)) == str(gate.check("bench", doc))


def test_the_example_book_is_judged_the_same() -> None:
    words = [
        "--no-cache",
        "lint",
        "--strict",
        "--format",
        "json",
        "--on",
        "2026-11-20",
        "--book",
        str(EXAMPLE),
    ]
    told = [
        subprocess.run(
            [sys.executable, "-c", f"import sys; {before}; from jobkit.__main__ import main; sys.exit(main())", *words],
            cwd=ROOT,
            capture_output=True,
            check=False,
        )
        for before in ("pass", "sys.modules['jsonschema_rs'] = None")
    ]  # fmt: skip
    assert told[0].returncode == told[1].returncode
    assert told[0].stdout == told[1].stdout
    assert told[0].stdout
