"""A file written beside its name, which it gets when it is whole."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import IO

from jobkit.book.disk.folder import folder_beneath


@contextmanager
def replacing(root: str, path: str, mode: int = 0o666) -> Iterator[IO[bytes]]:
    """Give a file to write to, which takes the place of the one at `path` below `root` if the block ends well.

    Missing folders are made. Of two processes the last one wins; whoever reads finds one file or the other, whole.
    Raises OSError, and then the old file is as it was.
    """
    above, _, name = path.rpartition("/")
    temporary = f".{name}.{os.getpid()}.tmp"
    with folder_beneath(root, above, make=True) as folder:
        folder.remove(temporary)
        try:
            with os.fdopen(folder.make_file(temporary, mode), "wb") as file:
                yield file
            folder.rename(temporary, name)
        except BaseException:
            with suppress(OSError):
                folder.remove(temporary)
            raise
