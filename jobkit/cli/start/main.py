"""The way in and the one way out: runs a command, turns every mishap into a line and a status."""

from __future__ import annotations

import os
import re
import sys
import warnings
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from jobkit.cli.call.cache_switch import cache_off
from jobkit.cli.call.quick import lint_options, read_options, show_options
from jobkit.cli.call.streams import answer, finish, open_closed, replace_unencodable, say
from jobkit.units.errors import LeftUndoneWarning, MisuseError, in_one_line

WELL, FOUND, MISUSED, AT_FAULT, INTERRUPTED = 0, 1, 2, 3, 130
"""Exit status: all well; something was found; the call or the book cannot be used; jobkit's fault; interrupted."""

_NEGATIVE = re.compile(r"-(?=\.?[0-9])")


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command line `argv` (the process's own where None) and return its exit status."""
    words = [_as_value(word) for word in (sys.argv[1:] if argv is None else argv)]
    open_closed()
    replace_unencodable(sys.stdout, sys.stderr)
    debug = "--debug" in words
    with cache_off(asked="--no-cache" in words), _said():
        plain = [word for word in words if word not in {"--debug", "--no-cache"}]
        return guarded(lambda: _dispatch(plain), debug=debug)


@contextmanager
def _said() -> Iterator[None]:
    """Have what was left undone beside a command that went well told in a line."""

    def show(message: Warning | str, category: type[Warning], *where: Any, **more: Any) -> None:
        if issubclass(category, LeftUndoneWarning):
            say(f"jobkit: {in_one_line(str(message))}")
        else:
            others(message, category, *where, **more)

    with warnings.catch_warnings():
        warnings.simplefilter("always", LeftUndoneWarning)
        others, warnings.showwarning = warnings.showwarning, show
        yield


def guarded(run: Callable[[], int], *, debug: bool = False) -> int:
    """Run a command; whatever goes wrong becomes one line on stderr and the status that fits."""
    try:
        status = run()
        finish()
    except MisuseError as misuse:
        say(f"jobkit: {in_one_line(str(misuse))}")
        return MISUSED
    except BrokenPipeError:
        # The reader has seen enough. Python would complain once more when it closes the stream at its end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return WELL
    except KeyboardInterrupt:
        return INTERRUPTED
    except Exception as fault:
        if debug:
            raise
        return _tell(fault)
    return status


def _tell(fault: Exception) -> int:
    """Say in one line what nothing else has put into words, and return the status that fits."""
    if isinstance(fault, FileNotFoundError) and _is_gone():
        say("jobkit: the folder that you are in has been deleted; change to another one")
        return MISUSED
    if isinstance(fault, UnicodeEncodeError) and fault.reason.startswith("surrogates"):
        # Bytes of the call that are not UTF-8; nothing can have been written of them.
        letters = fault.object[max(0, fault.start - 20) : fault.end + 20]
        say(f'jobkit: "{letters}" is not UTF-8 text; type it again in a terminal that is set to UTF-8')
        return MISUSED
    if isinstance(fault, OSError) and fault.filename is not None:
        # A name too long, a folder taken away meanwhile: the disk's doing, of which one file is named.
        named = f"{os.fsdecode(fault.filename)} cannot be used: {(fault.strerror or '').lower()}"
        say(f"jobkit: {in_one_line(named)}; look at the name and its permissions")
        return MISUSED
    say(f"jobkit: internal error ({type(fault).__name__}: {fault}); run again with --debug to see where")
    return AT_FAULT


def _is_gone() -> bool:
    """Tell whether the current folder has been deleted."""
    try:
        Path.cwd()
    except FileNotFoundError:
        return True
    return False


def _dispatch(words: list[str]) -> int:
    """Run a command; a plain call of what is typed all day goes without the command-line library, which loads long."""
    for plain in (_complete, _lint, _show, _read, _edit):
        status = plain(words)
        if status is not None:
            return status
    from jobkit.cli.start.app import run_app

    return run_app(words)


def _complete(words: list[str]) -> int | None:
    if words[:1] != ["--complete"]:
        return None
    from jobkit.cli.start.complete import complete

    answer(complete(words[1:]))
    return WELL


def _lint(words: list[str]) -> int | None:
    options = lint_options(words)
    if options is None:
        return None
    from jobkit.cli.check.lint_call import LintCall
    from jobkit.cli.check.linting import run

    return run(LintCall(**options))


def _show(words: list[str]) -> int | None:
    options = show_options(words)
    if options is None:
        return None
    from jobkit.cli.bench.showing import ShowCall, show

    show(ShowCall(**options))
    return WELL


def _read(words: list[str]) -> int | None:
    options = read_options(words)
    if options is None:
        return None
    from jobkit.cli.bench.reading import read, read_call

    read(read_call(options))
    return WELL


def _edit(words: list[str]) -> int | None:
    if words != ["editor"]:
        return None
    from jobkit.cli.bench.serving import serve

    serve()
    return WELL


def _as_value(word: str) -> str:
    """Keep "-5 °C" from being taken for an option: the minus sign proper means the same in every quantity."""
    return _NEGATIVE.sub("−", word, count=1) if _NEGATIVE.match(word) else word
