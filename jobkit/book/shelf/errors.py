"""What a shelf cannot give."""

from jobkit.book.disk.errors import DiskError, MissingError, RefusedError
from jobkit.units.errors import MisuseError


class ShelfError(MisuseError):
    """A file of the book cannot be read where it should be."""


class AbsentError(ShelfError):
    """There is no such file."""


class LostError(ShelfError):
    """The file is listed, and the repository does not have its content."""


def unreadable(error: DiskError | RefusedError) -> ShelfError:
    """Return what the disk or its gate says about a file, as a shelf says it."""
    if isinstance(error, DiskError):
        return (AbsentError if isinstance(error, MissingError) else ShelfError)(error.message, error.mend)
    return ShelfError(error.what, error.fix)
