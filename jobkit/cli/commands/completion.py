"""`jobkit completion`: the shell completion script."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.streams import answer
from jobkit.jobs.naming import spelled
from jobkit.units.errors import MisuseError

app = plain_app()

_BASH = """\
# jobkit: job ids, designs, points, kinds of entry.
_jobkit_words() {
    local IFS=$'\\n'
    COMPREPLY=($(command jobkit --complete "${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null))
}
complete -o default -F _jobkit_words jobkit
"""

SHELLS = {"bash": _BASH, "zsh": f"autoload -U +X bashcompinit && bashcompinit\n{_BASH}"}
"""What to read in, by shell."""


@app.command()
def completion(
    shell: Annotated[str, typer.Argument(metavar="bash|zsh", help="Your shell.")] = "bash",
) -> None:
    """Print shell completion script: put `eval "$(jobkit completion bash)"` into ~/.bashrc."""
    known = spelled(shell, SHELLS)
    if known is None:
        raise MisuseError(f'"{shell}" is not a supported shell', f"choose one of {', '.join(SHELLS)}")
    answer(SHELLS[known])
