"""`jobkit editor`: the language server."""

from __future__ import annotations

from jobkit.cli.call.command import plain_app

app = plain_app()


@app.command()
def editor() -> None:
    """Serve an editor over stdin and stdout: findings while you type, fixes, names, verdicts.

    Your editor starts it by the Language Server Protocol; the README has the lines for several editors. It ends with
    the editor.
    """
    from jobkit.cli.bench.serving import serve

    serve()
