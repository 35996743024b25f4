"""What must hold of any message to the language server, and of any text that an editor shows."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

from lsprotocol.types import Position

from jobkit.book.toml.parse import TomlError, parse
from jobkit.editor.complete.typed import typed_at
from jobkit.editor.names.named import candidates_at, names_in
from jobkit.editor.shown.edits import splice
from jobkit.editor.shown.half_typed import readable
from jobkit.editor.shown.open_file import OpenFile
from jobkit.editor.shown.text import Text
from jobkit.editor.start import make_server
from tests.books import EXAMPLE
from tests.editor.conftest import outside

JOB = "jobs/2026/K26-0047.toml"
_URI = (EXAMPLE / JOB).as_uri()


class _Answers:
    """Keeps what the server writes, in the place of the pipe."""

    def __init__(self) -> None:
        self.messages: list[dict[str, Any]] = []

    def write(self, data: bytes) -> None:
        """Keep one message, without its header."""
        self.messages.append(json.loads(data.partition(b"\r\n\r\n")[2]))

    def close(self) -> None:
        """Leave nothing open."""


def message(data: bytes) -> None:
    """Every question gets one answer, whatever is in it, and the next question gets its own."""
    asyncio.run(_talk(data))


async def _talk(data: bytes) -> None:
    server, answers = make_server(outside()), _Answers()
    server.protocol.set_writer(answers)
    text = (EXAMPLE / JOB).read_text("utf-8")
    document = {"uri": _URI, "languageId": "toml", "version": 1, "text": text}
    _send(
        server,
        {"id": 1, "method": "initialize", "params": {"processId": None, "rootUri": None, "capabilities": {}}},
    )
    _send(server, {"method": "textDocument/didOpen", "params": {"textDocument": document}})
    with suppress(SystemExit):
        _send_bytes(server, data)
        _check_answered(data, answers)
        answers.messages.clear()
        _send(
            server,
            {
                "id": "last",
                "method": "textDocument/documentSymbol",
                "params": {"textDocument": {"uri": _URI}},
            },
        )
        assert [one["id"] for one in answers.messages if one.get("id") == "last"] == ["last"]
    for task in asyncio.all_tasks() - {asyncio.current_task()}:
        task.cancel()


def _check_answered(data: bytes, answers: _Answers) -> None:
    with suppress(ValueError, RecursionError):
        asked = json.loads(data)
        is_question = (
            isinstance(asked, dict)
            and asked.get("jsonrpc") == "2.0"
            and isinstance(asked.get("id"), str | int)
            and isinstance(asked.get("method"), str)
            and not {"error", "result"} & asked.keys()
        )
        if is_question:
            got = [one for one in answers.messages if one.get("id") == asked["id"] and "method" not in one]
            assert len(got) >= 1, asked


def _send(server: Any, asked: dict[str, Any]) -> None:
    _send_bytes(server, json.dumps({"jsonrpc": "2.0", **asked}).encode())


def _send_bytes(server: Any, body: bytes) -> None:
    """Hand on a body as the loop of pygls does: what is no message is logged and forgotten."""
    with suppress(Exception):
        server.protocol.handle_message(json.loads(body, object_hook=server.protocol.structure_message))


def shown(data: bytes) -> None:
    """Of any text, places lead back to themselves, names are where they say, and what is half typed is read around."""
    text = data.decode("utf-8", "surrogateescape")
    index, file = Text(text), OpenFile(Path("/book"), JOB, text)
    read = readable(text)
    assert len(read.text) == len(text)
    if read.error and read.blanked:
        with suppress(TomlError):
            parse(read.text.encode("utf-8", "surrogatepass"))
            start, end, between = splice(read.text, f"{read.text}\n")
            assert read.text[:start] + between + read.text[end:] == f"{read.text}\n"
    for one in names_in(file):
        assert 0 <= one.start <= one.end <= len(text)
    for at in range(0, len(text) + 1, max(1, len(text) // 20)):
        if text[at - 1 : at + 1] != "\r\n":
            assert index.offset(index.position(at)) == at
        typed = typed_at(index, at)
        assert typed is None or 0 <= typed.start <= typed.end <= len(text)
        candidates_at(file, at)
    assert index.offset(Position(2**31 - 1, 2**31 - 1)) == len(text)


def messages() -> Iterator[bytes]:
    """Yield one message of each sort that an editor sends."""
    place = {"textDocument": {"uri": _URI}, "position": {"line": 60, "character": 10}}
    whole = {"start": {"line": 0, "character": 0}, "end": {"line": 400, "character": 0}}
    for method, params in (
        ("textDocument/hover", place),
        ("textDocument/completion", place),
        ("textDocument/definition", place),
        ("textDocument/references", {**place, "context": {"includeDeclaration": True}}),
        ("textDocument/rename", {**place, "newName": "V13"}),
        ("textDocument/prepareRename", place),
        ("textDocument/inlayHint", {"textDocument": {"uri": _URI}, "range": whole}),
        (
            "textDocument/codeAction",
            {"textDocument": {"uri": _URI}, "range": whole, "context": {"diagnostics": []}},
        ),
        ("shutdown", None),
    ):
        yield json.dumps({"jsonrpc": "2.0", "id": 7, "method": method, "params": params}).encode()
    change = {"textDocument": {"uri": _URI, "version": 2}, "contentChanges": [{"text": "id = \n"}]}
    yield json.dumps({"jsonrpc": "2.0", "method": "textDocument/didChange", "params": change}).encode()
    yield json.dumps({"jsonrpc": "2.0", "method": "$/cancelRequest", "params": {"id": 7}}).encode()
