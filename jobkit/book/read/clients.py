"""Read private/clients.toml: the names and addresses that only a printed paper shows."""

from __future__ import annotations

from jobkit.book.read.bench import read_with
from jobkit.book.read.load import OwnFile, document
from jobkit.book.read.values import Values
from jobkit.book.schema.discreet import without_values
from jobkit.book.schema.gate import Doc
from jobkit.book.schema.trouble import Trouble
from jobkit.book.shelf.opening import ShelfError
from jobkit.book.shelf.overlay import WorkingTree
from jobkit.jobs.client import Client

PATH = "private/clients.toml"


def read_clients(tree: WorkingTree) -> tuple[dict[str, Client], tuple[Trouble, ...]]:
    """Read the clients by reference, as far as they can be read; none where the file is not there.

    Only the working tree is asked: the file is not a part of any revision. Raises ShelfError where it cannot be opened.
    """
    if PATH not in tree.own_paths():
        return {}, ()
    content = tree.read(PATH)
    doc, troubles = document(content)
    clients: dict[str, Client] = {}
    if doc is not None:
        clients, troubles = clients_in(doc)
    return clients, tuple(without_values(troubles, content, doc)) if troubles else ()


def clients_in(doc: Doc) -> tuple[dict[str, Client], tuple[Trouble, ...]]:
    """Read the document of the file; what is said of it may quote what is in it."""
    return read_with(_clients, "clients", doc)


def clients_file(tree: WorkingTree) -> OwnFile | None:
    """Read the file for what is wrong with it alone; None where there is none."""
    if PATH not in tree.own_paths():
        return None
    try:
        return OwnFile(PATH, read_clients(tree)[1], b"")
    except ShelfError as error:
        return OwnFile(PATH, (Trouble((), error.message, error.mend),), b"")


def _clients(top: Values) -> dict[str, Client]:
    table = top.table("client")
    clients = (_client(ref, table.table(ref)) for ref in table.row)
    return {client.ref: client for client in clients if client.name}


def _client(ref: str, row: Values) -> Client:
    return Client(
        ref,
        row.text("name") or "",
        row.texts("address"),
        row.text("country"),
        row.text("mail"),
        row.text("phone"),
        row.text("tax_number"),
        row.text("language"),
    )
