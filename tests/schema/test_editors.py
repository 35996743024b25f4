"""Two TOML language servers, as their command lines, understand the schemas and the editor files of a book.

Both come with the `test` extra as wheels without dependencies (taplo 4.5 MB, tombi 9 MB; 0.5 s to install, a tenth
of a second to check the example book), so this runs wherever the suite does.
"""

import json
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from tests.schema.schemas import DOCUMENTS, FOLDER, KINDS, ROOT

pytestmark = pytest.mark.slow

Marks = dict[str, set[int]]
"""The lines that a tool marks, by file name without .toml."""

BOOK = ROOT / "jobs_example"
FAULT = "# <- fault"


def _run(tool: str, *words: str, at: Path) -> subprocess.CompletedProcess[str]:
    program = Path(sys.executable).parent / tool
    environment = {"PATH": "/usr/bin:/bin", "HOME": str(at), "XDG_CACHE_HOME": str(at / ".cache")}
    return subprocess.run(
        [program, *words], cwd=at, env=environment, capture_output=True, text=True, check=False
    )


def _taplo(at: Path) -> Marks:
    done = _run("taplo", "lint", at=at)
    marks: Marks = {}
    for path, line in re.findall(r"┌─ (.+):([0-9]+):[0-9]+$", done.stderr, re.MULTILINE):
        marks.setdefault(Path(path).stem, set()).add(int(line))
    assert (done.returncode == 0) == (not marks), done.stderr
    return marks


def _tombi(at: Path) -> Marks:
    found = at / "found.jsonl"
    done = _run(
        "tombi",
        "lint",
        "--offline",
        "--diagnostics-format",
        "json-lines",
        "--diagnostics-file",
        str(found),
        at=at,
    )
    marks: Marks = {}
    for line in found.read_text(encoding="utf-8").splitlines():
        said = json.loads(line)
        marks.setdefault(Path(said["path"]).stem, set()).add(said["range"]["start"]["line"])
    assert (done.returncode == 0) == (not marks), done.stderr
    return marks


TOOLS: Mapping[str, Callable[[Path], Marks]] = {"taplo": _taplo, "tombi": _tombi}


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A copy of the example book with the schemas as they are now."""
    shutil.copytree(BOOK, tmp_path / "book")
    shutil.copytree(FOLDER, tmp_path / "book" / "schema", dirs_exist_ok=True)
    return tmp_path / "book"


def _lay_out(kind: str, side: str, at: Path) -> Path:
    """Copy documents of one kind, and point both tools at its schema."""
    shutil.copytree(DOCUMENTS / kind / side, at / "documents")
    schema = FOLDER / f"{kind}.schema.json"
    include = 'include = ["documents/*.toml"]'
    (at / ".taplo.toml").write_text(f'{include}\n\n[schema]\npath = "{schema}"\n', encoding="utf-8")
    rules = f'[lint.rules]\ntables-out-of-order = "off"\n\n[[schemas]]\npath = "{schema}"\n{include}\n'
    (at / "tombi.toml").write_text(rules, encoding="utf-8")
    return at


def _faults(at: Path) -> Marks:
    marks: Marks = {}
    for path in at.glob("*.toml"):
        lines = path.read_text(encoding="utf-8").splitlines()
        marks[path.stem] = {number for number, line in enumerate(lines, 1) if FAULT in line}
    return marks


@pytest.mark.parametrize("tool", TOOLS)
@pytest.mark.parametrize("kind", KINDS)
def test_good_documents_are_accepted(tool: str, kind: str, tmp_path: Path) -> None:
    assert TOOLS[tool](_lay_out(kind, "good", tmp_path / "good")) == {}


@pytest.mark.parametrize("tool", TOOLS)
@pytest.mark.parametrize("kind", KINDS)
def test_broken_documents_are_marked_at_the_right_line(tool: str, kind: str, tmp_path: Path) -> None:
    at = _lay_out(kind, "bad", tmp_path / "bad")
    marks = TOOLS[tool](at)
    for name, fault in _faults(DOCUMENTS / kind / "bad").items():
        assert fault <= marks.get(name, set()), name


@pytest.mark.parametrize("tool", TOOLS)
def test_editor_files_accept_the_example_book(tool: str, book: Path) -> None:
    assert TOOLS[tool](book) == {}


@pytest.mark.parametrize("tool", TOOLS)
def test_editor_files_give_each_file_its_schema(tool: str, book: Path) -> None:
    files = [path for path in book.rglob("*.toml") if path.name != "tombi.toml" and path.name[0] != "."]
    (book / "private").mkdir(exist_ok=True)
    clients = book / "private/clients.toml"
    for path in [*files, clients]:
        text = path.read_text(encoding="utf-8") if path in files else "format = 1\n"
        # Only the editor files, not the #:schema line, may tell which schema it is.
        path.write_text("no_such_key = 1\n" + re.sub(r"^#:schema.*\n", "", text), encoding="utf-8")
    marks = TOOLS[tool](book)
    assert {name for name, lines in marks.items() if 1 in lines} == {path.stem for path in [*files, clients]}


@pytest.mark.parametrize("tool", TOOLS)
def test_the_schema_line_of_a_job_is_enough(tool: str, book: Path) -> None:
    (book / ".taplo.toml").unlink()
    (book / "tombi.toml").write_text('[lint.rules]\ntables-out-of-order = "off"\n', encoding="utf-8")
    job = book / "jobs/2026/K26-0047.toml"
    lines = job.read_text(encoding="utf-8").splitlines()
    assert lines[0] == "#:schema ../../schema/job.schema.json"
    job.write_text("\n".join([lines[0], "no_such_key = 1", *lines[1:]]) + "\n", encoding="utf-8")
    assert 2 in TOOLS[tool](book)["K26-0047"]
