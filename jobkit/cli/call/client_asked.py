"""The client that a paper goes to, by name."""

from __future__ import annotations

from jobkit.book.read.clients import PATH, read_clients
from jobkit.book.shelf.opening import Shelf, Tree
from jobkit.cli.call.streams import say
from jobkit.jobs.client import Client


def client_asked(shelf: Shelf, ref: str | None) -> Client | None:
    """Find a client in the working tree, for names are no part of git; a file that cannot be read whole is told of."""
    if not isinstance(shelf, Tree):
        return None
    clients, troubles = read_clients(shelf)
    if troubles:
        say(f"jobkit: {PATH} line {troubles[0].line}: {troubles[0].message}; {troubles[0].mend}")
    return clients.get(ref or "")
