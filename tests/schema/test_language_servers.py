"""Two TOML language servers as an editor uses them: completion, hover, findings and formatting over the protocol.

The client is the one of tests/editor: it speaks to a real process over its pipes.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.editor.client import Client
from tests.schema.schemas import FOLDER, ROOT

BRIDGE = Path(__file__).parent / "taplo_bridge.cjs"
SERVERS = ("taplo", "tombi")
JOB = "jobs/2026/K26-0047.toml"


class Editor(Client):
    """A client that answers what a server asks of its editor: it has no settings."""

    def begin(self, book: Path) -> None:
        """Shake hands, and name the book as the folder that is open."""
        where = {"rootUri": book.as_uri(), "workspaceFolders": [{"uri": book.as_uri(), "name": "book"}]}
        self.ask("initialize", {"processId": None, "capabilities": {}, **where})
        self.notify("initialized", {})

    def _read(self) -> dict[str, Any]:
        message = super()._read()
        if "method" in message and "id" in message:
            items = (message.get("params") or {}).get("items")
            self.send({"id": message["id"], "result": [None for _ in items] if items else None})
        return message


@pytest.fixture
def book(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "jobs_example", tmp_path / "book")
    shutil.copytree(FOLDER, tmp_path / "book/schema", dirs_exist_ok=True)
    return tmp_path / "book"


def command(name: str, book: Path) -> list[str]:
    """Return the words that start a server; skip where it is not installed.

    The programs of taplo on PyPI and npm have no language server, so it is the one of the npm package @taplo/lsp,
    which editors embed; NODE_PATH says where that is.
    """
    if name == "taplo":
        node = shutil.which("node")
        if (
            node is None
            or subprocess.run(
                [node, "-e", "require('@taplo/lsp')"], check=False, capture_output=True
            ).returncode
        ):
            pytest.skip("no node with @taplo/lsp (NODE_PATH)")
        return [node, str(BRIDGE), str(book)]
    program = Path(sys.executable).parent / name
    if not program.exists():
        pytest.skip(f"{name} is not installed")
    return [str(program), "lsp", "--offline"]


@pytest.fixture(params=SERVERS)
def server(request: pytest.FixtureRequest, book: Path) -> Iterator[Client]:
    """Start a server in the book."""
    words = command(str(request.param), book)
    client = Editor(*words, env={"HOME": str(book.parent), "XDG_CACHE_HOME": str(book.parent / "cache")})
    try:
        client.begin(book)
        yield client
    finally:
        client.process.kill()
        client.process.communicate()


def opened(server: Client, path: Path, text: str) -> None:
    document = {"uri": path.as_uri(), "languageId": "toml", "version": 1, "text": text}
    server.notify("textDocument/didOpen", {"textDocument": document})


def asked(server: Client, what: str, path: Path, line: int, character: int) -> Any:
    """Ask until the server, which reads schemas in the background, has something to say."""
    position = {"line": line, "character": character}
    until = time.monotonic() + 10
    while True:
        found = server.ask(
            f"textDocument/{what}", {"textDocument": {"uri": path.as_uri()}, "position": position}
        )
        if found or time.monotonic() > until:
            return found
        time.sleep(0.2)


def labels(answer: Any) -> set[str]:
    items = answer["items"] if isinstance(answer, dict) else answer or []
    return {item["label"].strip('"') for item in items}


PLACES = {
    "a key at the top": ("\n", 1, 0, "id"),
    "a key of a board": ("[board]\n\n", 2, 0, "design"),
    "a key of an entry": ('[[reading]]\npoint = "V12"\n\n', 3, 0, "stage"),
    "a key of an entry with conditions": ("[[work]]\n\n", 2, 0, "minutes"),
    "a key of an entry of a table": ("[[price.agreed]]\n\n", 2, 0, "amount"),
    "a choice": ('[[reading]]\nstage = ""\n', 2, 9, "arrival"),
}


@pytest.mark.parametrize(("text", "line", "character", "wanted"), PLACES.values(), ids=PLACES)
def test_completion_offers_keys_and_choices(
    server: Client, book: Path, text: str, line: int, character: int, wanted: str
) -> None:
    """The schema once ended a server here (allOf around a reference); allOf beside properties hid the keys."""
    path = book / "jobs/2026/K26-0099.toml"
    path.write_text(f"#:schema ../../schema/job.schema.json\n{text}", "utf-8")
    opened(server, path, path.read_text("utf-8"))
    assert wanted in labels(asked(server, "completion", path, line, character))
    assert server.process.poll() is None


def test_hover_shows_what_the_schema_says(server: Client, book: Path) -> None:
    path = book / JOB
    text = path.read_text("utf-8")
    lines = text.split("\n")
    number = next(at for at, line in enumerate(lines) if line.startswith("client"))
    opened(server, path, text)
    answer = asked(server, "hover", path, number, 2)
    assert "client" in str(answer["contents"]).lower()


def test_formatting_keeps_every_line(server: Client, book: Path) -> None:
    """Entries stay in the order of the day, and each line stays one line; spaces may change."""
    for path in (book / JOB, book / "bench.toml", book / "boards/tarnhow-t7-16.toml"):
        text = path.read_text("utf-8")
        opened(server, path, text)
        edits = server.ask(
            "textDocument/formatting",
            {"textDocument": {"uri": path.as_uri()}, "options": {"tabSize": 2, "insertSpaces": True}},
        )
        for edit in edits or []:
            text = replaced(text, edit)
        assert squeezed(text) == squeezed(path.read_text("utf-8"))


def replaced(text: str, edit: dict[str, Any]) -> str:
    lines = text.split("\n")
    start, end = (edit["range"][one] for one in ("start", "end"))
    before = "\n".join(
        [*lines[: start["line"]], (lines[start["line"] : start["line"] + 1] or [""])[0][: start["character"]]]
    )
    after = "\n".join(
        [(lines[end["line"] : end["line"] + 1] or [""])[0][end["character"] :], *lines[end["line"] + 1 :]]
    )
    whole: str = before + edit["newText"] + after
    return whole


def squeezed(text: str) -> list[str]:
    return ["".join(line.split()) for line in text.rstrip("\n").split("\n")]


def test_an_editor_that_sends_carriage_returns_is_served(server: Client, book: Path) -> None:
    path = book / JOB
    text = path.read_text("utf-8").replace("\n", "\r\n")
    opened(server, path, text)
    number = next(at for at, line in enumerate(text.split("\r\n")) if line.startswith("client"))
    assert "client" in str(asked(server, "hover", path, number, 2)["contents"]).lower()
