"""The content of files as git stores it, by the hundred thousand."""

import hashlib
import subprocess
import threading
from collections.abc import Iterable, Iterator
from enum import Enum

from jobkit.book.disk.errors import LARGEST
from jobkit.book.git import call
from jobkit.book.git.repo import Repo


def blob_id(content: bytes, hashing: str = "sha1") -> str:
    r"""Return the id that git gives to a file's content.

    `hashing` is a repository's object format, "sha1" or "sha256". Source: gitformat-pack(5) and Pro Git, 2nd
    edition, section 10.2 "Object Storage" (header "blob <size>\\0").

    >>> blob_id(b"what is up, doc?")
    'bd9dbf5aae1a3862dd1526723246b20206e5fc37'
    """
    digest = hashlib.new(hashing, b"blob %d\0" % len(content), usedforsecurity=False)
    digest.update(content)
    return digest.hexdigest()


class Unread(Enum):
    """Why a content is not given: the repository lacks it, or it is larger than what is read of any file."""

    MISSING = "missing"
    TOO_LARGE = "too large"


def read_blobs(repo: Repo, blobs: Iterable[str]) -> Iterator[bytes | Unread]:
    """Yield the content of each blob id in turn, from one git process, holding one content at a time.

    MISSING is one that the repository lacks (it is damaged, or a partial clone: nothing is fetched), TOO_LARGE one that
    is not read. Raises GitError where git itself fails.
    """
    wanted = list(blobs)
    if wanted:
        yield from begin_blobs(repo, wanted)


def begin_blobs(repo: Repo, wanted: list[str]) -> Iterator[bytes | Unread]:
    """Ask git at once for contents that `read_blobs` gives, of at least one blob; they may be read later."""
    contents = _contents(repo, wanted, *_begin(repo, wanted))
    # Begun, so that git is ended even if nobody reads on.
    next(contents)
    return contents


def _begin(repo: Repo, wanted: list[str]) -> tuple["subprocess.Popen[bytes]", threading.Thread]:
    # Nobody reads complaints while contents flow; a full pipe of them would halt git.
    quiet = subprocess.DEVNULL
    process = call.start(["cat-file", "--batch", "--buffer"], repo.top, repo.environment(), stderr=quiet)
    # A second thread asks, so that neither side waits for the other with a full pipe.
    asker = threading.Thread(target=_ask_for, args=(process, wanted), daemon=True)
    asker.start()
    return process, asker


def _contents(
    repo: Repo, wanted: list[str], process: "subprocess.Popen[bytes]", asker: threading.Thread
) -> Iterator[bytes | Unread]:
    try:
        yield Unread.MISSING  # taken by `begin_blobs`
        for place in range(1, len(wanted) + 1):
            content = _next_content(process, repo)
            if content is Unread.TOO_LARGE and place < len(wanted):
                # To begin again behind it takes less than to read all of it.
                _end(process, asker)
                process, asker = _begin(repo, wanted[place:])
            yield content
    finally:
        _end(process, asker)


def _ask_for(process: "subprocess.Popen[bytes]", wanted: list[str]) -> None:
    assert process.stdin is not None
    try:
        with process.stdin as questions:
            questions.write("".join(f"{blob}\n" for blob in wanted).encode("ascii"))
    except OSError:
        # The process has ended; its missing answers are what the reader reports.
        return


def _next_content(process: "subprocess.Popen[bytes]", repo: Repo) -> bytes | Unread:
    """Read one answer, `<id> blob <size>` LF `<content>` LF; git-cat-file(1), "BATCH OUTPUT"."""
    assert process.stdout is not None
    head = process.stdout.readline().split()
    if head[1:2] == [b"missing"]:
        return Unread.MISSING
    if len(head) != 3:
        raise _broken_off(repo)
    size = int(head[2])
    if size > LARGEST:
        return Unread.TOO_LARGE
    content = process.stdout.read(size + 1)
    if len(content) != size + 1:
        raise _broken_off(repo)
    return content[:-1]


def _broken_off(repo: Repo) -> call.GitError:
    mend = "run `git fsck` there; a clone made with --filter gets the rest with `git fetch --refetch --no-filter`"
    return call.GitError(f"git stopped reading files in {repo.top}", mend)


def _end(process: "subprocess.Popen[bytes]", asker: threading.Thread) -> None:
    process.kill()
    asker.join()
    assert process.stdout is not None
    process.stdout.close()
    process.wait()
