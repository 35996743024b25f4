"""What reading a file could not make sense of."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.finding import Place
from jobkit.named_tuple import NamedTuple


class Trouble(NamedTuple):
    """A value that cannot be used: where it is, what is wrong and how to fix it."""

    place: Place
    message: str
    mend: str
    line: int = 0
    column: int = 0
    """Set only where the text could not be parsed, so that no place can be looked up."""
    beside: tuple[str, ...] = ()
    """More keys of the same table that cannot be used, of a table with very many."""

    @property
    def about(self) -> str:
        """Name the key it is about, "" for the whole file."""
        return next((key for key in reversed(self.place) if isinstance(key, str)), "")

    @property
    def places(self) -> Iterator[Place]:
        """Yield the place of each value that cannot be used."""
        yield self.place
        for key in self.beside:
            yield (*self.place[:-1], key)
