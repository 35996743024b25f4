"""What a shelf cannot give."""

from jobkit.book.disk.errors import DiskError, RefusedError
from jobkit.units.errors import MisuseError


class ShelfError(MisuseError):
    """A file of the book cannot be read where it should be."""


def unreadable(error: DiskError | RefusedError) -> ShelfError:
    """Return what the disk or its gate says about a file, as a shelf says it."""
    if isinstance(error, DiskError):
        return ShelfError(error.message, error.mend)
    return ShelfError(error.what, error.fix)
