"""What may come next on a command line: words for the shell to complete. It reads as little as it can, and never fails.

The shell calls `jobkit --complete WORD …` with the words behind `jobkit`, the last of them unfinished; what `jobkit
completion SHELL` prints teaches it to.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from jobkit.book.disk.errors import DiskError
from jobkit.book.disk.folder import folder_beneath
from jobkit.book.disk.reading import read_beneath
from jobkit.book.shelf.find import find_book
from jobkit.jobs.job import OUTCOMES
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.progress.status import STATUSES


class CommandLine(NamedTuple):
    """A command line under way: the book, the command, the words behind it, and the unfinished one."""

    root: Path | None
    command: str
    before: tuple[str, ...]
    word: str


def complete(words: Sequence[str]) -> str:
    """Give the words that may be meant by the last one, a line each; "" where none is known or anything goes wrong."""
    try:
        line = _line(list(words) or [""])
        found = [one for one in _candidates(line) if one.casefold().startswith(line.word.casefold())]
        typed = [one for one in found if one.isprintable()]  # the terminal would obey the others
    except Exception:  # noqa: BLE001 - a shell that completes nothing is better than one that prints a fault
        return ""
    return "".join(f"{_quoted(one)}\n" for one in dict.fromkeys(typed))


def _line(words: list[str]) -> CommandLine:
    *before, word = words
    book = ""
    rest: list[str] = []
    while before:
        one = before.pop(0)
        if one == "--book" and before:
            book = before.pop(0)
        else:
            rest.append(one)
    try:
        root = find_book(book or Path.cwd())
    except ValueError:
        root = None
    return CommandLine(root, rest[0] if rest else "", tuple(rest[1:]), word)


def _candidates(line: CommandLine) -> Iterable[str]:
    if not line.command:
        return _commands()
    if line.word.startswith("-"):
        return _options(line)
    last = line.before[-1] if line.before else ""
    if last.startswith("-"):
        choices = _choices(line, last)
        if choices:
            return choices
    behind = _BEHIND_OPTION.get(last)
    if line.command == "jot" and last.startswith("--") and not behind:
        # An option of `jot` is a key of the entry: what fits behind the one fits behind the other.
        line = line._replace(before=(*line.before[:-1], last[2:].replace("-", "_")))
    return (behind or _BY_COMMAND.get(line.command, _none))(line)


def _commands() -> Iterable[str]:
    from jobkit.cli.start.app import COMMANDS

    return COMMANDS


def _options(line: CommandLine) -> Iterator[str]:
    for option in _parameters(line):
        yield from (name for name in option.opts if name.startswith("--"))


_CHOICES = re.compile(r"[a-z-]+(\|[a-z-]+)+")
"""How help writes the choices of an option: "text|markdown|json"."""


def _choices(line: CommandLine, option: str) -> list[str]:
    """Give the choices of an option as its help names them; none where any word will do."""
    metavars = (one.metavar or "" for one in _parameters(line) if option in one.opts)
    return next((metavar.split("|") for metavar in metavars if _CHOICES.fullmatch(metavar)), [])


def _parameters(line: CommandLine) -> Sequence[Any]:
    """Give what the command takes; of `jot` and `stock`, what the kind of entry or the step behind it takes."""
    from jobkit.cli.start.app import command_named

    command: Any = command_named(line.command)
    inner = getattr(command, "get_command", None)
    below = inner(None, line.before[0]) if inner and line.before else None
    return (below or command).params if command else ()


def _jobs(line: CommandLine) -> Iterator[str]:
    """Give the ids; where digits are typed, their shortest tails."""
    for year in _names(line, "jobs"):
        for name in _names(line, f"jobs/{year}"):
            if name.endswith(".toml"):
                job_id = name.removesuffix(".toml")
                yield str(int(job_id[4:])) if line.word.isdigit() and job_id[4:].isdigit() else job_id


def _designs(line: CommandLine) -> Iterator[str]:
    yield from (name.removesuffix(".toml") for name in _names(line, "boards") if name.endswith(".toml"))


def _names(line: CommandLine, folder: str) -> list[str]:
    if line.root is None:
        return []
    with suppress(OSError), folder_beneath(str(line.root), folder) as opened:
        return sorted(name for name, _ in opened.names() if not name.startswith("."))
    return []


def _languages(line: CommandLine) -> Iterable[str]:
    from jobkit.cli.call.language_asked import languages_of

    return languages_of(line.root) if line.root else ()


def _points(line: CommandLine) -> Iterable[str]:
    return [point["name"] for point in _board(line).get("point", ())]


def _parts(line: CommandLine) -> Iterator[str]:
    board = _board(line)
    yield from board.get("parts", ())
    for table in ("package", "memory", "cause"):
        yield from (row["part"] for row in board.get(table, ()) if "part" in row)


def _board(line: CommandLine) -> Mapping[str, Any]:
    """Read the board file of the chosen job."""
    from jobkit.book.write.session import SessionFiles
    from jobkit.jobs.job_folder import job_file

    if line.root is None:
        return {}
    job = SessionFiles(line.root).read().job
    if not job:
        return {}
    design = _toml(line.root, job_file(job)).get("board", {}).get("design", "")
    return _toml(line.root, f"boards/{design}.toml")


def _own(line: CommandLine, name: str, pick: Callable[[Mapping[str, Any]], Iterable[str]]) -> Iterable[str]:
    return pick(_toml(line.root, name)) if line.root else ()


def _toml(root: Path, path: str) -> Mapping[str, Any]:
    from jobkit.book.toml.parse import parse

    try:
        return parse(read_beneath(str(root), path))
    except DiskError:
        return {}


def _jot(line: CommandLine) -> Iterator[str]:
    """Give the sorts of entry; behind one its choices, the names of its keys, and parts of the board."""
    from jobkit.book.schema.entry_keys import keys_of
    from jobkit.jobs.job import Dates
    from jobkit.reckon.entry.jot_kinds import JOTS

    if not line.before:
        yield from (*JOTS, "start", "stop", *Dates._fields)
        return
    row = JOTS.get("work" if line.before[0] == "stop" else line.before[0])
    if row is None:
        return
    keys = [key for key in keys_of(row.path) if key.name not in {"at", "by"}]
    named = next((key for key in keys if line.before[1:] and key.name == line.before[-1]), None)
    for key in [named] if named else keys:
        yield from key.choices
        if key.name in {"part", "near"}:
            yield from _parts(line)
        elif key.name == "item":
            yield from _own(line, "stock.toml", lambda doc: doc.get("item", ()))
        elif key.name == "of":
            yield from _jobs(line)
        elif key.name == "rail":
            yield from (rail["name"] for rail in _board(line).get("rail", ()))
        elif key.name == "check":
            yield from (check["name"] for check in _board(line).get("check", ()))
    yield from () if named else (key.name for key in keys)


def _rules(_line: CommandLine) -> Iterable[str]:
    from jobkit.lint.rules.catalogue import all_rules

    return all_rules()


def _none(_line: CommandLine) -> Iterable[str]:
    return ()


_BY_COMMAND: Mapping[str, Callable[[CommandLine], Iterable[str]]] = {
    **dict.fromkeys(("on", "show", "warranty", "bill", "report", "label", "trail", "suspects"), _jobs),
    "usual": _designs,
    "read": _points,
    "walk": lambda _line: ("arrival", "proof"),
    "jot": _jot,
    "rules": _rules,
    "completion": lambda _line: ("bash", "zsh", "fish"),
}


_BEHIND_OPTION: Mapping[str, Callable[[CommandLine], Iterable[str]]] = {
    **dict.fromkeys(("--book", "--by", "--at", "--on", "--rev", "--format", "-o", "--output"), _none),
    **dict.fromkeys(("--job", "--comeback-of"), _jobs),
    **dict.fromkeys(("--design", "--learn"), _designs),
    "--lang": _languages,
    "--status": lambda _line: ("open", *STATUSES),
    "--outcome": lambda _line: OUTCOMES,
    "--meter": lambda line: _own(line, "meters.toml", lambda doc: [one["name"] for one in doc["meter"]]),
}


def _quoted(word: str) -> str:
    """Keep a name with spaces one word of the shell."""
    return "".join(one if one.isalnum() or one in "-_./:+%" else f"\\{one}" for one in word)
