"""The gate is the only door to the disk: what else opens, writes, renames or lists files has a reason, told here."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import jobkit

PACKAGE = Path(jobkit.__file__).parent

OF_OS = frozenset((
    "open", "fdopen", "replace", "rename", "link", "symlink", "unlink", "remove", "mkdir", "makedirs", "rmdir",
    "removedirs", "scandir", "listdir", "walk", "fwalk", "truncate", "utime", "chmod", "chown", "mknod", "mkfifo",
))  # fmt: skip
OF_PATHS = frozenset((
    "open", "read_bytes", "read_text", "write_bytes", "write_text", "mkdir", "unlink", "rmdir", "rename", "touch",
    "symlink_to", "hardlink_to", "chmod", "iterdir", "glob", "rglob",
))  # fmt: skip
MODULES = frozenset(("shutil", "tempfile", "mmap"))

OWN = "jobkit's own files, as they were installed"
NAMELESS = "a file or folder of this process alone, made by the system under a name that it makes up"
NULL = "the null device"
STORE = "the user's own folder for what can be calculated again, seen to be theirs alone"

REASONS: dict[tuple[str, str], str] = {
    ("book/cache/code.py", "open"): OWN,
    ("book/cache/code.py", "os.scandir"): OWN,
    ("book/cache/code.py", "os.walk"): OWN,
    ("book/cache/code.py", "glob"): OWN,
    ("book/cache/database.py", "unlink"): STORE,
    ("book/cache/folder.py", "glob"): STORE,
    ("book/cache/folder.py", "mkdir"): STORE,
    ("book/cache/folder.py", "read_text"): STORE,
    ("book/cache/folder.py", "replace"): STORE,
    ("book/cache/folder.py", "write_text"): STORE,
    ("book/cache/folder.py", "unlink"): STORE,
    ("cli/bench/attaching.py", "shutil"): "copies from one file to another that the gate opened",
    ("book/schema/gate.py", "read_text"): OWN,
    ("book/schema/schema_files.py", "read_bytes"): OWN,
    ("book/history/repository_state.py", "read_bytes"): OWN,
    ("book/setup/new_book.py", "read_text"): OWN,
    ("book/setup/example.py", "read_bytes"): OWN,
    ("book/setup/example.py", "rglob"): OWN,
    ("book/git/linemerge.py", "tempfile"): NAMELESS,
    ("book/git/linemerge.py", "write_bytes"): NAMELESS,
    ("book/git/log.py", "tempfile"): NAMELESS,
    ("book/read/parallel.py", "tempfile"): NAMELESS,
    ("book/merge/driver.py", "write_bytes"): "git makes up the name of the file it hands to a merge driver",
    ("book/merge/driver.py", "replace"): "git makes up the name of the file it hands to a merge driver",
    ("book/git/stuck.py", "os.scandir"): "looks at names alone, for what git waits for",
    ("book/setup/wiring.py", "os.link"): "hooks, in a folder that was seen to be the repository's own",
    ("book/setup/wiring.py", "replace"): "hooks, in a folder that was seen to be the repository's own",
    ("book/setup/wiring.py", "unlink"): "hooks, in a folder that was seen to be the repository's own",
    ("book/setup/wiring.py", "mkdir"): "hooks, in a folder that was seen to be the repository's own",
    ("book/setup/wiring.py", "rmdir"): "hooks, in a folder that was seen to be the repository's own",
    ("book/write/disk.py", "rename"): "a folder that the gate opened",
    ("book/write/write_lock.py", "os.open"): "Windows: a lock in the person's folder for temporary files",
    ("book/write/write_lock.py", "tempfile"): "Windows: a lock in the person's folder for temporary files",
    ("book/write/state_files.py", "mkdir"): "the person's own folder for state, outside any book",
    ("pages/forms/picture.py", "open"): "decodes a picture from bytes in memory",
    ("cli/bench/exporting.py", "glob"): OWN,
    ("cli/bench/exporting.py", "read_bytes"): OWN,
    ("cli/commands/tutorial.py", "read_text"): OWN,
    ("cli/commands/demo.py", "iterdir"): "tells whether a folder that the person names is empty",
    (
        "cli/commands/demo.py",
        "mkdir",
    ): "a folder that the person names, seen to be behind no link of a repository",
    ("cli/start/main.py", "os.open"): NULL,
    ("hook.py", "open"): STORE,
    ("cli/call/streams.py", "open"): NULL,
}


def doors(path: Path) -> Iterator[str]:
    """Yield what a module calls that touches files, by name."""
    tree = ast.parse(path.read_text("utf-8"))
    own = {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Import | ast.ImportFrom):
            names = [node.module] if isinstance(node, ast.ImportFrom) else [one.name for one in node.names]
            yield from (name for name in names if name in MODULES)
        elif isinstance(node, ast.Call):
            yield from called(node, own)


def called(node: ast.Call, own: set[str]) -> Iterator[str]:
    function = node.func
    if isinstance(function, ast.Name) and function.id == "open" and "open" not in own:
        yield "open"
    if isinstance(function, ast.Attribute):
        of_os = isinstance(function.value, ast.Name) and function.value.id == "os"
        if of_os and function.attr in OF_OS:
            yield f"os.{function.attr}"
        elif not of_os and (function.attr in OF_PATHS or is_path_replace(node, function)):
            yield function.attr


def is_path_replace(node: ast.Call, function: ast.Attribute) -> bool:
    """Tell Path.replace, which takes one thing, from str.replace, which takes two, and from that of dates."""
    return function.attr == "replace" and len(node.args) == 1 and not node.keywords


def test_what_is_not_opened_through_the_gate_has_a_reason() -> None:
    found = {
        (path.relative_to(PACKAGE).as_posix(), door)
        for path in PACKAGE.rglob("*.py")
        if path.parent.name != "disk"
        for door in doors(path)
    }
    missing, gone = sorted(found - REASONS.keys()), sorted(REASONS.keys() - found)
    assert not missing, "open it through jobkit.book.disk, or say here why not"
    assert not gone, "this reason is not needed any more"
