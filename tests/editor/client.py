"""A small client of the Language Server Protocol over the pipes of a real process, as an editor is one.

Source: Language Server Protocol 3.17, "Base Protocol".
"""

from __future__ import annotations

import importlib
import json
import os
import select
import signal
import subprocess
import sys
import warnings
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NoReturn, Self

from jobkit.__main__ import main

_PATIENCE = 30
"""Seconds for an answer: a loaded machine is no fault of the server."""


JOBKIT = (sys.executable, "-m", "jobkit", "editor")


class Client:
    """One server process, and what it has sent.

    Without words it is a copy of this process, which has loaded what the server needs: to load that takes longer than
    most tests.
    """

    def __init__(self, *words: str, env: Mapping[str, str] | None = None) -> None:
        for late in ("jobkit.cli.bench.serving", "jobkit.editor.start"):
            importlib.import_module(late)
        copied = not words and hasattr(os, "fork")
        self.process = subprocess.Popen(
            words or JOBKIT,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env={**os.environ, **(env or {})},
            preexec_fn=_serve if copied else None,  # noqa: PLW1509 - no thread holds a lock
        )
        self.inbox: list[dict[str, Any]] = []
        self._asked = 0
        self._versions: dict[str, int] = {}
        self._pending = b""

    def start(self, root: Path, capabilities: Mapping[str, Any] | None = None) -> Any:
        """Shake hands, and return the capabilities of the server."""
        answer = self.ask(
            "initialize",
            {"processId": os.getpid(), "rootUri": root.as_uri(), "capabilities": capabilities or {}},
        )
        self.notify("initialized", {})
        return answer["capabilities"]

    def open(self, path: Path, text: str | None = None) -> list[dict[str, Any]]:
        """Open a document, and return what is found in it."""
        text = path.read_text("utf-8") if text is None else text
        self._versions[path.as_uri()] = 1
        document = {"uri": path.as_uri(), "languageId": "toml", "version": 1, "text": text}
        self.notify("textDocument/didOpen", {"textDocument": document})
        return self.findings(path)

    def change(self, path: Path, text: str) -> list[dict[str, Any]]:
        """Give a document another text, and return what is found in that."""
        self.type(path, text)
        return self.findings(path)

    def type(self, path: Path, text: str) -> None:
        """Give a document another text."""
        self._versions[path.as_uri()] += 1
        document = {"uri": path.as_uri(), "version": self._versions[path.as_uri()]}
        self.notify("textDocument/didChange", {"textDocument": document, "contentChanges": [{"text": text}]})

    def findings(self, path: Path) -> list[dict[str, Any]]:
        """Wait for the findings of the newest version of a document."""
        while True:
            told = self.next("textDocument/publishDiagnostics")
            if told["uri"] == path.as_uri() and told.get("version") == self._versions[path.as_uri()]:
                found: list[dict[str, Any]] = told["diagnostics"]
                return found

    def at(self, method: str, path: Path, line: int, character: int, **more: Any) -> Any:
        """Ask about a place in a document."""
        position = {"line": line, "character": character}
        return self.ask(
            f"textDocument/{method}", {"textDocument": {"uri": path.as_uri()}, "position": position, **more}
        )

    def ask(self, method: str, params: Any) -> Any:
        """Ask, and return the result; an error fails the test."""
        answer = self.answer(method, params)
        assert "error" not in answer, answer["error"]
        return answer["result"]

    def answer(self, method: str, params: Any) -> dict[str, Any]:
        """Ask, and return the whole answer."""
        self._asked += 1
        asked = self._asked
        self.send({"id": asked, "method": method, "params": params})
        while True:
            message = self._read()
            if message.get("id") == asked and "method" not in message:
                return message
            self.inbox.append(message)

    def notify(self, method: str, params: Any) -> None:
        """Tell without asking."""
        self.send({"method": method, "params": params})

    def next(self, method: str) -> Any:
        """Wait for a message of the server."""
        for message in self.inbox:
            if message.get("method") == method:
                self.inbox.remove(message)
                return message["params"]
        while True:
            message = self._read()
            if message.get("method") == method:
                return message["params"]
            self.inbox.append(message)

    def send(self, message: Mapping[str, Any]) -> None:
        """Send a message."""
        body = json.dumps({"jsonrpc": "2.0", **message}).encode()
        self.send_bytes(b"Content-Length: %d\r\n\r\n%b" % (len(body), body))

    def send_bytes(self, data: bytes) -> None:
        """Send whatever it is."""
        assert self.process.stdin is not None
        self.process.stdin.write(data)
        self.process.stdin.flush()

    def end(self) -> int:
        """Say goodbye as the protocol wants it, and return the status of the process."""
        self.ask("shutdown", None)
        self.notify("exit", None)
        return self.process.wait(_PATIENCE)

    def _read(self) -> dict[str, Any]:
        while (head := self._pending.find(b"\r\n\r\n")) < 0:
            self._pending += self._some()
        lines = self._pending[:head].decode("ascii").split("\r\n")
        length = next(int(line.split(":")[1]) for line in lines if line.lower().startswith("content-length"))
        while len(self._pending) < head + 4 + length:
            self._pending += self._some()
        body, self._pending = self._pending[head + 4 : head + 4 + length], self._pending[head + 4 + length :]
        message: dict[str, Any] = json.loads(body)
        if "method" in message and "id" in message:  # a question of the server: this client has no settings
            items = (message.get("params") or {}).get("items")
            self.send({"id": message["id"], "result": [None] * len(items) if items else None})
        return message

    def _some(self) -> bytes:
        assert self.process.stdout is not None
        there, _, _ = select.select([self.process.stdout], [], [], _PATIENCE)
        data = os.read(self.process.stdout.fileno(), 65536) if there else b""
        assert data, "the server said nothing more"
        return data

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *fault: object) -> None:
        if self.process.poll() is None:
            self.process.kill()
        self.process.communicate()


def _serve() -> NoReturn:  # pragma: no cover - the other process
    """Be the server, in the copy of this process that would start it; its pipes are there already."""
    os.closerange(3, 4096)  # the last of them is how the copy would tell that it has started another program
    signal.signal(signal.SIGINT, signal.default_int_handler)
    warnings.simplefilter("ignore")
    sys.stdin, sys.stdout, sys.stderr = open(0), open(1, "w"), open(2, "w")  # noqa: SIM115 - streams
    sys.argv = ["jobkit", "editor"]
    main()


@contextmanager
def serving(root: Path, capabilities: Mapping[str, Any] | None = None) -> Iterator[Client]:
    """Start a server for a book, and see that it ends well."""
    with Client() as client:
        client.start(root, capabilities)
        yield client
        assert client.end() == 0
