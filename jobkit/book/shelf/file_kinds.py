"""What a file of the book is, by where it is."""

from __future__ import annotations

from typing import Literal

Kind = Literal["job", "board", "bench", "meters", "stock", "clients", "attachment", "other"]

BY_NAME: dict[str, Kind] = {
    "bench.toml": "bench",
    "meters.toml": "meters",
    "stock.toml": "stock",
    "private/clients.toml": "clients",
}
"""The files that are known by their path alone."""


MOST_FOLDERS = 40
"""So many folders may be above an attachment, the book's own folder not counted; what is deeper is not looked at."""


def kind_of(path: str) -> Kind:
    """Return what a file of the book is, told from its path alone.

    Names that begin with a dot are other: locks, swap files and half-written files of editors. So is what is
    nested too deep.

    >>> kind_of("jobs/2026/K26-0047.toml"), kind_of("jobs/2026/K26-0047/load.csv"), kind_of("jobs/notes.toml")
    ('job', 'attachment', 'other')
    """
    if path in BY_NAME:
        return BY_NAME[path]
    room, _, rest = path.partition("/")
    if room not in {"jobs", "boards"} or "/." in path:
        return "other"
    folder, _, name = rest.rpartition("/")
    if room == "boards":
        return "board" if not folder and name.endswith(".toml") else "other"
    if "/" in folder:
        return "attachment" if path.count("/") <= MOST_FOLDERS else "other"
    return "job" if folder and name.endswith(".toml") else "other"


def is_private(path: str) -> bool:
    """Tell whether a file holds names and addresses, told from its path: below private/, or a copy of clients.toml.

    Capital letters do not count: some disks do not tell them apart.

    >>> is_private("Private/list.txt"), is_private("clients.toml.bak"), is_private("jobs/2026/K26-0047/clients.toml")
    (True, True, False)
    """
    room, _, rest = path.casefold().partition("/")
    name = rest.rpartition("/")[2] or room
    return room == "private" or (room not in {"jobs", "boards"} and "clients" in name and ".toml" in name)
