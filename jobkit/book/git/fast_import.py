"""A new repository with a history that is known from the start, written in one go: git-fast-import(1)."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from pathlib import Path

from jobkit.book.git import call
from jobkit.named_tuple import NamedTuple

_BRANCH = "main"


class Commit(NamedTuple):
    """One commit on top of the one before: who, when (with the offset of the zone), why, and the files it writes."""

    name: str
    mail: str
    at: datetime
    message: str
    files: Mapping[str, bytes]


def make_repo(folder: Path, commits: Iterable[Commit]) -> None:
    """Make a repository in an empty folder, with these commits and their files in the working tree; raises GitError.

    The same commits have the same ids everywhere: no setting of the person's takes part.
    """
    place = str(folder)
    call.ask(["init", "-q", "--template=", "--object-format=sha1", "-b", _BRANCH, "."], place, {})
    own = {"GIT_DIR": str(folder.resolve() / ".git"), "GIT_WORK_TREE": str(folder.resolve())}
    with call.start(["fast-import", "--quiet", "--done"], place, own) as process:
        _, complaint = process.communicate(b"".join(_stream(commits)))
    if process.returncode:
        raise call.refusal(complaint.decode(errors="replace"), "fast-import", place)
    call.ask(["reset", "-q", "--hard"], place, own)


def _stream(commits: Iterable[Commit]) -> Iterator[bytes]:
    for commit in commits:
        hand = f"{commit.name} <{commit.mail}> {int(commit.at.timestamp())} {commit.at:%z}"
        yield f"commit refs/heads/{_BRANCH}\nauthor {hand}\ncommitter {hand}\n".encode()
        yield from _data(commit.message.encode())
        for path, content in commit.files.items():
            yield f"M 100644 inline {_quoted(path)}\n".encode()
            yield from _data(content)
    yield b"done\n"


def _data(content: bytes) -> Iterator[bytes]:
    yield f"data {len(content)}\n".encode()
    yield content
    yield b"\n"


def _quoted(path: str) -> str:
    escaped = path.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{escaped}"'
