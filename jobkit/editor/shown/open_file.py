"""A file of a book as an editor shows it."""

from __future__ import annotations

from functools import cached_property
from pathlib import Path

from jobkit.book.read.load import document, load_job
from jobkit.book.schema.gate import Doc
from jobkit.book.shelf.file_kinds import Kind, kind_of
from jobkit.editor.shown.half_typed import Readable, readable
from jobkit.editor.shown.text import Text
from jobkit.jobs.job import Job

SERVED = frozenset(("job", "board", "bench", "meters", "stock", "clients"))
"""The kinds of file of a book that an editor is helped with."""


class OpenFile:
    """One version of a file: its text as it is shown, and as much of it as can be read."""

    def __init__(self, root: Path, path: str, text: str, version: int | None = None) -> None:
        """Take the folder of the book, the path in it, and the text; nothing is read yet."""
        self.root = root
        self.path = path
        self.version = version
        self.text = Text(text)

    @cached_property
    def kind(self) -> Kind:
        """What the file is to the book."""
        return kind_of(self.path)

    @property
    def place(self) -> Path:
        """Where the file is on the disk."""
        return self.root / self.path

    @cached_property
    def readable(self) -> Readable:
        """The text without what is half typed."""
        return readable(self.text.text)

    @property
    def content(self) -> bytes:
        """What the rest of the book is to see of it."""
        return self.readable.text.encode("utf-8", "surrogatepass")

    @cached_property
    def job(self) -> Job | None:
        """The job in the file, None where there is none to be read."""
        return load_job(self.path, self.content).job if self.kind == "job" else None

    @cached_property
    def doc(self) -> Doc | None:
        """The plain data of the file, None where it cannot be read."""
        return document(self.content)[0]
