"""Serve an editor: the language server, with what it needs of the outside world handed in."""

from __future__ import annotations

import gc
from pathlib import Path
from typing import TYPE_CHECKING

from jobkit.book.write.session import SessionFiles
from jobkit.cli.bench.noting import hand_of
from jobkit.cli.call.boards import stays_of, usual_for
from jobkit.cli.call.cache_switch import cache_for
from jobkit.cli.call.clock import now
from jobkit.cli.call.shelves import tree_of
from jobkit.cli.call.streams import protocol_alone
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.editor.server import Server


def serve() -> None:
    """Answer the editor over stdin and stdout until it ends."""
    server = _server()
    # Other commands end before anything that refers to itself has to be cleared away; this one runs all day. What has
    # been imported stays, so that it is not looked at again.
    gc.freeze()
    gc.enable()
    with protocol_alone() as (stdin, stdout):
        server.start_io(stdin, stdout)


def _server() -> Server:
    try:
        from jobkit.editor.outside import Outside
        from jobkit.editor.start import make_server
    except ModuleNotFoundError as missing:
        if (missing.name or "").partition(".")[0] not in {"pygls", "lsprotocol", "cattrs", "attrs", "attr"}:
            raise
        raise MisuseError(
            f"the language server needs the package {missing.name}",
            'install it with `pip install "jobkit[editor]"`',
        ) from missing
    return make_server(Outside(now, tree_of, cache_for, usual_for, stays_of, _who))


def _who(root: Path) -> str:
    return hand_of(SessionFiles(root).read())
