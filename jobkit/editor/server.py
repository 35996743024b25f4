"""The language server: it keeps the open files, publishes findings, and hands each question to its module.

Questions are answered one after the other in one loop, from the newest text; findings follow when no message has come
for a moment. Nothing that goes wrong in an answer ends the server: the client gets an error, or no answer.
"""

from __future__ import annotations

import asyncio
import os
from collections.abc import Callable
from contextlib import suppress
from typing import TypeVar

from lsprotocol import types as lsp
from pygls.lsp.server import LanguageServer

from jobkit import __version__
from jobkit.editor.findings import Shown, diagnostic, findings_of
from jobkit.editor.outside import Outside
from jobkit.editor.parent import is_there
from jobkit.editor.protocol import Protocol
from jobkit.editor.shown.books import Books
from jobkit.editor.shown.open_book import BookInEditor
from jobkit.editor.shown.open_file import OpenFile
from jobkit.units.errors import MisuseError

_PAUSE = 0.03
"""Seconds without a message after which findings are looked for: shorter than the gap between two keys."""
_IDLE = 0.3
"""Seconds after which the other jobs are read, so that no question waits for them."""
_LOOK_AGAIN = 1.0
"""Seconds after which the book is looked at for what another hand has changed."""

_Answer = TypeVar("_Answer")
_Asked = Callable[[BookInEditor, OpenFile], _Answer]


class Server(LanguageServer):
    """The server with its books; `shown` has the findings last published, by address."""

    def __init__(self, outside: Outside) -> None:
        """Open nothing yet."""
        # The whole text each time: a job file is small, and no two counts of lines can differ.
        super().__init__("jobkit", __version__, lsp.TextDocumentSyncKind.Full, protocol_cls=Protocol)
        self.books = Books(outside)
        self.shown: dict[str, tuple[int | None, list[Shown]]] = {}
        self._told: set[str] = set()
        self._first = ""
        self._queue: list[str] = []
        self._due: asyncio.TimerHandle | None = None
        self._idle: asyncio.TimerHandle | None = None
        self._watch: asyncio.Task[None] | None = None

    def ask(self, uri: str, question: _Asked[_Answer]) -> _Answer | None:
        """Answer a question about a document; None where it is not of a book, or where the book cannot be read."""
        place = self.books.at(uri)
        if place is None:
            return None
        try:
            return question(*place)
        except MisuseError as misuse:
            self.tell(str(misuse))
        except Exception as fault:  # noqa: BLE001 - the server outlives whatever one question does to it
            self.tell(f"{place[1].path}: internal error ({type(fault).__name__}: {fault})")
        return None

    def watch(self) -> None:
        """Begin to look at what no message tells of."""
        if self._watch is None:
            self._watch = asyncio.get_running_loop().create_task(self._look_again())

    def check_soon(self, first: str = "") -> None:
        """Look for findings once no message has come for a moment, in the document `first` before all others."""
        self._first = first or self._first
        loop = asyncio.get_running_loop()
        for timer in (self._due, self._idle):
            if timer:
                timer.cancel()
        self._due = loop.call_later(_PAUSE, self._check_all)

    def _check_all(self) -> None:
        """Check all open files, one after the other, and between them let the client have its say."""
        for book in self.books:
            book.is_checked = True
        self._queue = [uri for book in self.books for uri, _ in self.books.of(book)]
        self._queue.sort(key=lambda uri: uri != self._first)
        self._check_next()

    def _check_next(self) -> None:
        loop = asyncio.get_running_loop()
        place = self.books.at(self._queue[0]) if self._queue else None
        if place:
            self._publish(self._queue[0], place[1], self.findings(*place))
        if self._queue:
            del self._queue[0]
            self._due = loop.call_later(0, self._check_next)
        else:
            self._idle = loop.call_later(_IDLE, self._read_ahead)

    def findings(self, book: BookInEditor, file: OpenFile) -> list[Shown]:
        """Check one file; findings are none, and never those of another text, where it cannot be checked."""
        try:
            return findings_of(file, book)
        except MisuseError as misuse:
            self.tell(f"{file.path} cannot be checked: {misuse}")
        except Exception as fault:  # noqa: BLE001 - the server outlives whatever one file does to it
            self.tell(f"{file.path} cannot be checked: internal error ({type(fault).__name__}: {fault})")
        return []

    def tell(
        self, message: str, kind: lsp.MessageType = lsp.MessageType.Error, *, again: bool = False
    ) -> None:
        """Tell the person what went wrong, or what else to do: once, or `again` each time."""
        if again or message not in self._told:
            self._told.add(message)
            self.window_show_message(lsp.ShowMessageParams(kind, message))

    def _publish(self, uri: str, file: OpenFile, found: list[Shown]) -> None:
        if self.shown.get(uri) == (file.version, found):
            return
        self.shown[uri] = file.version, found
        self.text_document_publish_diagnostics(
            lsp.PublishDiagnosticsParams(uri, [diagnostic(one) for one in found], file.version)
        )

    def forget(self, uri: str) -> None:
        """Take the findings of a closed document off the editor's list."""
        self.books.close(uri)
        if self.shown.pop(uri, None):
            self.text_document_publish_diagnostics(lsp.PublishDiagnosticsParams(uri, []))

    def _read_ahead(self) -> None:
        for book in self.books:
            with suppress(MisuseError):
                book.facts()

    async def _look_again(self) -> None:
        """Notice a checkout, a commit, another hand, the end of the client: whatever no message of it tells."""
        was_there = is_there(self.process_id)
        while True:
            await asyncio.sleep(_LOOK_AGAIN)
            if was_there and not is_there(self.process_id):
                os._exit(1)  # what waits for its next message never ends by itself
            with suppress(MisuseError, OSError):
                # A question of the client, too, may be the first to see a change: then the files are still unchecked.
                changed = [book for book in self.books if book.has_changed() or not book.is_checked]
                if changed:
                    self.check_soon()
