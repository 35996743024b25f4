"""`jobkit editor`: the language server."""

from __future__ import annotations

from pathlib import Path

from jobkit.cli.call.command import plain_app
from jobkit.units.errors import MisuseError

app = plain_app()


@app.command()
def editor() -> None:
    """Serve an editor over stdin and stdout: findings while you type, fixes, names, verdicts.

    Your editor starts it by the Language Server Protocol; the README has the lines for several editors. It ends with
    the editor.
    """
    try:
        from jobkit.editor.start import make_server
    except ModuleNotFoundError as missing:
        if (missing.name or "").partition(".")[0] not in {"pygls", "lsprotocol", "cattrs", "attrs", "attr"}:
            raise
        raise MisuseError(
            f"the language server needs the package {missing.name}",
            'install it with `pip install "jobkit[editor]"`',
        ) from missing
    from jobkit.book.write.session import SessionFiles
    from jobkit.cli.bench.noting import hand_of
    from jobkit.cli.call.boards import stays_of, usual_for
    from jobkit.cli.call.cache_switch import cache_for
    from jobkit.cli.call.clock import now
    from jobkit.cli.call.shelves import tree_of
    from jobkit.cli.call.streams import protocol_alone
    from jobkit.editor.outside import Outside

    def who(root: Path) -> str:
        return hand_of(SessionFiles(root).read())

    server = make_server(Outside(now, tree_of, cache_for, usual_for, stays_of, who))
    with protocol_alone() as (stdin, stdout):
        server.start_io(stdin, stdout)
