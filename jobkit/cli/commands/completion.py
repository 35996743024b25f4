"""`jobkit completion`: the shell completion scripts."""

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

_ZSH = """\
# jobkit: job ids, designs, points, kinds of entry, choices of options.
(( $+functions[compdef] )) || { autoload -Uz compinit && compinit -i }
_jobkit() {
    local -a found
    found=("${(@f)$(command jobkit --complete "${(@Q)words[2,CURRENT]}" 2>/dev/null)}")
    if [[ -n $found ]]; then
        # The words come quoted, and chosen without regard to case.
        compadd -Q -U -- "${found[@]}"
    else
        _files
    fi
}
compdef _jobkit jobkit
"""

_FISH = """\
# jobkit: job ids, designs, points, kinds of entry, choices of options; files where there is none of them.
function __jobkit_ask
    set -l words (commandline -opc) (commandline -ct)
    set -g __jobkit_found (command jobkit --complete $words[2..] 2>/dev/null | string unescape)
    test -n "$__jobkit_found"
end
complete -c jobkit -e
complete -c jobkit -f -n __jobkit_ask -a '(printf "%s\\n" $__jobkit_found)'
"""

SHELLS = {"bash": _BASH, "zsh": _ZSH, "fish": _FISH}
"""What to read in, by shell."""


@app.command()
def completion(
    shell: Annotated[str, typer.Argument(metavar="bash|zsh|fish", help="Your shell.")] = "bash",
) -> None:
    """Print shell completion script.

    Put `eval "$(jobkit completion bash)"` into ~/.bashrc, `eval "$(jobkit completion zsh)"` into ~/.zshrc, or
    `jobkit completion fish | source` into ~/.config/fish/config.fish.
    """
    known = spelled(shell, SHELLS)
    if known is None:
        raise MisuseError(f'"{shell}" is not a supported shell', f"choose one of {', '.join(SHELLS)}")
    answer(SHELLS[known])
