"""Set up git for a book: the hook that lints, diffs that read like a diary, and merges by entries; and undo it.

All of it is in the git directory, nothing in the book. Several books in one repository share it; their folders stand
in the repository's setting jobkit.book. Every command tries the interpreter that wired it, then those on the PATH, and
at last does without jobkit, so that nothing is lost when that is gone.
"""

from __future__ import annotations

import os
import shlex
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from jobkit.book import git
from jobkit.book.disk.errors import DiskError, in_words
from jobkit.book.disk.reading import read_plain
from jobkit.book.disk.writing import NO_LINKS, replacing
from jobkit.book.git import config
from jobkit.book.merge import driver_command
from jobkit.book.setup.attributes import DRIVER, with_books
from jobkit.book.setup.hook_script import EARLIER, books_in, calls_hook, hook_line, hook_script, is_ours
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError

_BOOKS = "jobkit.book"
_MERGE_NAME, _MERGE, _SHOW = f"merge.{DRIVER}.name", f"merge.{DRIVER}.driver", f"diff.{DRIVER}.textconv"


class WireError(MisuseError):
    """Git cannot be set up without treading on something that is somebody else's."""


class Wired(NamedTuple):
    """What is set up now: the books, the hook that lints them ("" for none), and whether it runs an earlier one first.

    `elsewhere` is true where the hook is the person's own; `attributes` is the file that says which files are meant, ""
    where the book says it itself; `others` are attributes of job files that somebody has set otherwise.
    """

    books: tuple[str, ...]
    hook: str = ""
    chained: bool = False
    elsewhere: bool = False
    attributes: str = ""
    others: tuple[str, ...] = ()


def wire(root: str | os.PathLike[str], python: str, *, hook: bool = True) -> Wired:
    """Set up git for the book in the folder `root`; doing it again changes nothing.

    `python` is the interpreter to try first. Without `hook` the hook no longer checks this book, and goes where it
    checks no other. Raises WireError where the hooks of this repository are not its own, or two hooks are in the way,
    with nothing changed; GitError, DiskError, WireError where something cannot be written.
    """
    with _plainly():
        return _wire(git.open_repo(root), python, hook=hook)


def _wire(repo: git.Repo, python: str, *, hook: bool) -> Wired:
    books = sorted({*config.own_values(repo, _BOOKS), repo.prefix or "."})
    place = _with_hook(repo, python, books) if hook else _without_hook(repo, python, books)
    _set_up(repo, python, books)
    file, others = _set_attributes(repo, books)
    chained = bool(place and not place.elsewhere and os.path.lexists(_earlier(place.path)))
    return Wired(
        tuple(books),
        str(place.path) if place else "",
        chained,
        bool(place and place.elsewhere),
        file,
        others,
    )


def _set_up(repo: git.Repo, python: str, books: list[str]) -> None:
    """Write the settings of the repository, or take them away where there are no books."""
    config.set_own(repo, _BOOKS, books)
    config.set_own(repo, _MERGE_NAME, ["jobkit: the entries of a job"] if books else [])
    config.set_own(repo, _MERGE, [driver_command(python)] if books else [])
    config.set_own(repo, _SHOW, [_show_command(python, books)] if books else [])


def unwire(root: str | os.PathLike[str], python: str) -> Wired:
    """Take away what `wire` has set up for the book in the folder `root`; other books of the repository keep theirs.

    Raises GitError, and WireError where the hook has been changed since: what is in it is somebody's work.
    """
    with _plainly():
        return _unwire(git.open_repo(root), python)


def _unwire(repo: git.Repo, python: str) -> Wired:
    books = [book for book in config.own_values(repo, _BOOKS) if book != (repo.prefix or ".")]
    place = _without_hook(repo, python, books)
    _set_up(repo, python, books)
    _set_attributes(repo, books)
    return Wired(tuple(books), str(place.path) if place else "", elsewhere=bool(place and place.elsewhere))


def _checked_books(repo: git.Repo, hook: Path, books: list[str]) -> list[str]:
    """Name the books that the hook is to check: those that it checks already, and this one.

    Where it does not say which, it is to check all that git is set up for.
    """
    checked = books_in(_text(hook))
    return [book for book in books if book in {*checked, repo.prefix or "."}] if checked else books


def _with_hook(repo: git.Repo, python: str, books: list[str]) -> _Place:
    """Let the hook check this book too; where that is the person's own, it calls jobkit already."""
    place = _hook_place(repo, hook_line(python, books))
    if not place.elsewhere:
        _set_hook(place.path, hook_script(python, _checked_books(repo, place.path, books)))
    return place


def _without_hook(repo: git.Repo, python: str, books: list[str]) -> _Place | None:
    """Take this book out of the hook, and the hook away where it checks no other; tell where one still calls jobkit."""
    hook = _hook_file(repo)
    text, near = _text(hook), _is_near(hook, repo)
    others = [book for book in _checked_books(repo, hook, books) if book != (repo.prefix or ".")]
    if calls_hook(text) and near:
        _take_back(hook, text, hook_script(python, others) if others else "")
    elif near and not others:
        _give_back(hook)
    return _Place(hook, not near) if calls_hook(_text(hook)) else None


def _hook_file(repo: git.Repo) -> Path:
    return Path(config.hooks_folder(repo), "pre-commit")


@contextmanager
def _plainly() -> Iterator[None]:
    try:
        yield
    except OSError as error:
        place = error.filename or "the git directory"
        message = f"{place} cannot be written ({(error.strerror or str(error)).lower()})"
        fix = "fix that and wire again, or take away with `jobkit wire --undo` what is there by now"
        raise WireError(message, fix) from error


class _Place(NamedTuple):
    path: Path
    elsewhere: bool


def _hook_place(repo: git.Repo, line: str) -> _Place:
    """Find where the hook belongs; one that serves other repositories too is the person's own, and has to call it."""
    hook = _hook_file(repo)
    setting = config.in_force(repo, "core.hooksPath")
    if _is_near(hook, repo) and (setting is None or setting.scope in {"local", "worktree"}):
        return _Place(hook, elsewhere=False)
    if calls_hook(_text(hook)):
        return _Place(hook, elsewhere=True)
    new = "" if os.path.lexists(hook) else ", new and executable, beginning with #!/bin/sh"
    where = f"core.hooksPath ({setting.scope}) is {hook.parent}" if setting else f"{hook.parent} is a link"
    raise WireError(
        f"the hooks of this repository are shared with others: {where}",
        f"add this line to {hook}{new}, then wire again (or wire with --no-hook): {line}",
    )


def _is_near(hook: Path, repo: git.Repo) -> bool:
    """Tell whether a hook is in the repository: elsewhere it serves others too, or is not a hook at all."""
    folder = Path(os.path.realpath(hook.parent))
    return any(folder.is_relative_to(near) for near in (repo.top, repo.common_dir, repo.git_dir))


def _set_hook(hook: Path, script: str) -> None:
    """Write the hook; one that is there already is kept, and run first. At no time is there none."""
    text = _text(hook)
    if text == script:
        return
    if os.path.lexists(hook) and not is_ours(text):
        _check_changed(hook, text)
        _keep(hook)
    _write_script(hook, script)


def _keep(hook: Path) -> None:
    """Give the hook that is there its second name; one with that name already must be the same hook."""
    earlier = _earlier(hook)
    if os.path.lexists(earlier):
        if not _is_same(hook, earlier):
            raise WireError(f"there are two hooks: {hook} and {earlier.name}", "combine them into one")
        return
    try:
        os.link(hook, earlier, follow_symlinks=False)
    except OSError as error:
        if error.errno not in NO_LINKS:
            raise
        _write(earlier, _text(hook), mode=0o777 if os.access(hook, os.X_OK) else 0o666)


def _take_back(hook: Path, text: str, script: str) -> None:
    if not is_ours(text):
        _check_changed(hook, text)
    if script:
        _write_script(hook, script)
    elif os.path.lexists(_earlier(hook)):
        _earlier(hook).replace(hook)
    else:
        hook.unlink()
        _remove_if_empty(hook.parent)


def _give_back(hook: Path) -> None:
    """Give the hook from before its name back, where `wire` was ended before it had written its own."""
    earlier = _earlier(hook)
    if not os.path.lexists(earlier):
        return
    if not os.path.lexists(hook):
        earlier.replace(hook)
    elif _is_same(hook, earlier):
        earlier.unlink()


def _is_same(one: Path, other: Path) -> bool:
    """Tell whether two names mean one hook."""
    return os.path.samestat(one.lstat(), other.lstat()) or (
        _text(one) == _text(other) and one.is_symlink() == other.is_symlink()
    )


def _check_changed(hook: Path, text: str) -> None:
    if calls_hook(text):
        raise WireError(
            f"{hook} calls jobkit, but not as `jobkit wire` wrote it",
            "remove jobkit's lines by hand",
        )


def _earlier(hook: Path) -> Path:
    return hook.with_name(hook.name + EARLIER)


def _text(file: Path) -> str:
    """Read a plain file as text, be it behind a link; "" where there is none."""
    try:
        return read_plain(str(file)).decode("utf-8", errors="surrogateescape")
    except DiskError:
        return ""


def _write_script(hook: Path, script: str) -> None:
    """Write an executable file in one step."""
    _write(hook, script, mode=0o777)


def _write(file: Path, text: str, mode: int = 0o666) -> None:
    """Write a file in one step, for whom the person's umask lets."""
    file.parent.mkdir(parents=True, exist_ok=True)
    with in_words(str(file), "written"), replacing(os.path.realpath(file.parent), file.name, mode) as out:
        out.write(text.encode("utf-8", errors="surrogateescape"))


def _remove_if_empty(folder: Path) -> None:
    with suppress(OSError):
        folder.rmdir()


def _show_command(python: str, books: list[str]) -> str:
    """Write the command for diff.<name>.textconv; git puts the name of the file behind it.

    Without jobkit the file is shown as it is: git shows nothing at all where this fails.
    """
    return (
        f"for python in {shlex.quote(python)} python3 python; do "
        f'"$python" -P -m jobkit.textconv {shlex.join(books)} "$1" 2>/dev/null && exit; '
        "done; cat"
    )


def _set_attributes(repo: git.Repo, books: list[str]) -> tuple[str, tuple[str, ...]]:
    """Say which files are meant, in info/attributes, for the books that do not say it themselves.

    Returns that file where it says anything, and what somebody has set otherwise.
    """
    file = Path(repo.common_dir, "info", "attributes")
    was = _text(file)
    plain = with_books(was, [])
    _put_attributes(file, was, plain)
    silent, others = [], []
    for book in books:
        prefix = "" if book == "." else book
        known = config.attributes(repo, f"{prefix}jobs/2000/A00-0000.toml")
        found = {name: known[name] for name in ("merge", "diff") if name in known}
        if not found:
            silent.append(prefix)
        others += [f"{prefix}jobs: {name}={value}" for name, value in found.items() if value != DRIVER]
    _put_attributes(file, plain, with_books(plain, silent))
    return str(file) if silent else "", tuple(others)


def _put_attributes(file: Path, was: str, text: str) -> None:
    if text == was:
        return
    if text:
        _write(file, text)
    else:
        file.unlink(missing_ok=True)
        _remove_if_empty(file.parent)
