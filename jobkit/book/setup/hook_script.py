"""The pre-commit hook as git starts it: a few lines for the shell, written by `wire` and recognised by it again."""

from __future__ import annotations

import re
import shlex
from collections.abc import Sequence

EARLIER = ".before-jobkit"
"""What the name of a hook gets behind it that was there before; ours runs it first."""

SPOKEN = 32
"""Added to the status of a hook that is not well, so that the shell can tell it from Python's own failures."""

_SCRIPT = f"""\
#!/bin/sh
# Set by `jobkit wire`, removed by `jobkit wire --undo`: checks what is staged.
if [ -x "$0{EARLIER}" ]; then
  "$0{EARLIER}" "$@" || exit
fi
for python in PYTHON python3 python; do
  "$python" -P -m jobkit.hook --wired BOOKS
  case $? in
    0) exit 0 ;;
    {SPOKEN + 1} | {SPOKEN + 2} | {SPOKEN + 3} | {SPOKEN + 4}) exit 1 ;;
  esac
done
echo 'jobkit cannot be run, so nothing was checked: run `jobkit wire` again, or commit with --no-verify' >&2
exit 1
"""

_OURS = re.escape(_SCRIPT).replace("PYTHON", "[^\n]+").replace("BOOKS", "[^\n]+")


def hook_script(python: str, books: Sequence[str]) -> str:
    """Write the hook: the interpreter to try first, and the folders of the books, relative to the top."""
    return _SCRIPT.replace("PYTHON", shlex.quote(python)).replace("BOOKS", shlex.join(books))


def hook_line(python: str, books: Sequence[str]) -> str:
    """Write the one line that a hook of the person's own has to hold instead."""
    return f"{shlex.quote(python)} -P -m jobkit.hook --wired {shlex.join(books)} || exit 1"


def is_ours(script: str) -> bool:
    """Tell whether `hook_script` wrote this, and it was not changed since."""
    return bool(re.fullmatch(_OURS, script))


def calls_hook(script: str) -> bool:
    """Tell whether a hook runs jobkit's check, whoever wrote it."""
    return "jobkit.hook" in script


def books_in(script: str) -> tuple[str, ...]:
    """Return the folders of the books that a hook checks; none where it does not call jobkit as `wire` writes it.

    >>> books_in(hook_line("/usr/bin/python3", [".", "a b/"]))
    ('.', 'a b/')
    """
    found = re.search(r"-m jobkit\.hook --wired ([^\n]+?)(?: \|\| exit 1)?\n", f"{script}\n")
    try:
        return tuple(shlex.split(found[1])) if found else ()
    except ValueError:  # changed by hand: its quotes do not close
        return ()
