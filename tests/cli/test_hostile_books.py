"""Books from a stranger: whatever stands in them, a command ends in time and in little memory, and reads nothing else.

Each command runs in a process of its own, which is killed where it does not end and gets no more memory than a large
book needs: so a test fails where jobkit waits for ever or reads without end.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.book.repo import GitRepo, forget_git_settings
from tests.books import JOB, JOB_PATH, make_book
from tests.conftest import Ran
from tests.faults.steps import call

pytestmark = [
    pytest.mark.skipif(sys.platform == "win32", reason="pipes, devices and limits as POSIX has them"),
    pytest.mark.slow,
]

_SECONDS = 30
ON = ("--on", "2026-11-20")
READING = [("lint", *ON), ("week", *ON), ("show", "1", *ON)]
GOING_THROUGH = [("tidy",), ("tidy", "--check"), ("upgrade",), ("upgrade", "--check")]
named = pytest.mark.parametrize("words", [*READING, *GOING_THROUGH], ids=" ".join)


def ran(*words: str | Path) -> Ran:
    """Run jobkit within bounds."""
    ended = call(words, Path(__file__).parent, seconds=_SECONDS)
    return Ran(ended.status, ended.out, ended.err)


def said_plainly(told: Ran) -> bool:
    """Tell whether what went wrong was told as a fault of the book, not of jobkit."""
    return told.status in {0, 1, 2} and "internal error" not in told.err and "Traceback" not in told.err


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    forget_git_settings(monkeypatch)
    root = make_book(tmp_path / "book", {"meters.toml": "format = 1\n", "stock.toml": "format = 1\n"})
    GitRepo.make(root).commit("Fill")
    return root


def pipe(place: Path) -> None:
    place.unlink(missing_ok=True)
    os.mkfifo(place)


def link_to_zero(place: Path) -> None:
    place.unlink(missing_ok=True)
    place.symlink_to("/dev/zero")


def device(place: Path) -> None:
    place.unlink(missing_ok=True)
    try:
        os.mknod(place, 0o600 | 0o020000, os.makedev(1, 5))
    except PermissionError:
        pytest.skip("only root makes devices")


def huge(place: Path) -> None:
    with place.open("wb") as file:
        file.truncate(10**12)


ENDLESS: dict[str, Callable[[Path], None]] = {
    "pipe": pipe, "link to zero": link_to_zero, "device": device, "huge": huge
}  # fmt: skip
every_endless = pytest.mark.parametrize("make", ENDLESS.values(), ids=ENDLESS)


@named
@every_endless
@pytest.mark.parametrize("path", [JOB_PATH, "bench.toml"])
def test_a_file_without_end_holds_nothing_up(
    book: Path, words: tuple[str, ...], make: Callable[[Path], None], path: str
) -> None:
    (book / "jobs/2026/K26-0002.toml").write_text(JOB.replace("K26-0001", "K26-0002"))
    make(book / path)
    told = ran("--book", book, *words)
    assert said_plainly(told), told
    if words[0] in {"lint", "tidy", "upgrade"}:
        assert f"{path} is " in told.out + told.err, "the file is named"


@pytest.mark.parametrize("words", READING, ids=" ".join)
@every_endless
def test_attributes_without_end_hold_nothing_up(
    book: Path, words: tuple[str, ...], make: Callable[[Path], None]
) -> None:
    make(book / "jobs/.gitattributes")
    told = ran("--book", book, *words)
    assert said_plainly(told), told


@pytest.mark.parametrize(
    "path", [".gitattributes", "jobs/2026/.gitattributes", ".gitignore", ".git/info/attributes"]
)
def test_a_pipe_of_git_s_own_holds_nothing_up(book: Path, path: str) -> None:
    (book / path).parent.mkdir(exist_ok=True)
    pipe(book / path)
    (book / "private").mkdir()
    assert said_plainly(ran("--book", book, "lint", *ON))


def test_a_pipe_that_git_itself_waits_for_is_named(book: Path) -> None:
    pipe(book / "jobs/.gitattributes")
    told = ran("--book", book, "wire")
    assert told.status == 2
    assert told.err == (
        f"jobkit: git waits for {book}/jobs/.gitattributes, which is not a plain file; remove it\n"
    )


@pytest.mark.parametrize("words", [READING[0], READING[1]], ids=" ".join)
@every_endless
@pytest.mark.parametrize("name", ["answer"])
def test_kept_answers_without_end_hold_nothing_up(
    book: Path, words: tuple[str, ...], make: Callable[[Path], None], name: str
) -> None:
    fresh = ran("--no-cache", "--book", book, *words)
    (book / ".git/jobkit").mkdir()
    make(book / ".git/jobkit" / name)
    told = ran("--book", book, *words)
    assert (told.status, told.out) == (fresh.status, fresh.out)


@pytest.mark.parametrize("words", READING, ids=" ".join)
@pytest.mark.parametrize("folder", ["jobs", "boards"])
def test_a_folder_that_is_a_link_is_not_gone_through(book: Path, words: tuple[str, ...], folder: str) -> None:
    """Below / there is all of this machine."""
    (book / folder).rename(book / "was")
    (book / folder).symlink_to("/")
    told = ran("--book", book, *words)
    assert told.status == 2
    assert told.err.startswith(f"jobkit: {folder} is a symbolic link, which jobkit does not follow")


@pytest.mark.parametrize("where", ["index", "revision"])
def test_a_file_of_git_that_is_too_large_is_said_of_its_file(book: Path, where: str) -> None:
    """Git packs a gigabyte of nothing into a megabyte: a small clone may hold it."""
    repo = GitRepo(book)
    for name in ("K26-0002", "K26-0003"):
        with (book / f"jobs/2026/{name}.toml").open("wb") as file:
            file.truncate(100_000_000)
    (book / "jobs/2026/K26-0004.toml").write_text(JOB.replace("K26-0001", "K26-0004"))
    repo.git("add", "-A")
    way = ("--staged",) if where == "index" else ("--rev", "HEAD")
    if where == "revision":
        repo.commit("Too large")
    told = ran("--book", book, "lint", *way, *ON)
    assert told.status == 1
    for name in ("K26-0002", "K26-0003"):
        assert f"jobs/2026/{name}.toml is larger than 16 MB, and jobkit reads no more of one file" in told.out
    assert "K26-0004" not in told.out
    assert told.out.count("is larger than 16 MB") == 2


@pytest.fixture
def nested(book: Path) -> Iterator[Callable[[], None]]:
    """Return what nests 1,200 folders in the folder of the job; they are taken away again, which Python cannot."""
    folder = book / "jobs/2026/K26-0001"

    def make() -> None:
        folder.mkdir()
        handle = os.open(folder, os.O_RDONLY)
        for _ in range(1200):
            os.mkdir("d", dir_fd=handle)
            handle = _within(handle)
        os.close(handle)

    yield make
    subprocess.run(["rm", "-rf", str(folder)], check=True)


@pytest.mark.parametrize("words", READING, ids=" ".join)
def test_attachments_nested_very_deep_are_not_looked_at(
    book: Path, nested: Callable[[], None], words: tuple[str, ...]
) -> None:
    fresh = ran("--book", book, *words)
    nested()
    assert ran("--book", book, *words) == fresh
    assert ran("--no-cache", "--book", book, *words) == fresh


def _within(handle: int) -> int:
    inner = os.open("d", os.O_RDONLY, dir_fd=handle)
    os.close(handle)
    return inner


def test_completion_waits_for_nothing(book: Path) -> None:
    for path in ("boards/alder-a1.toml", "meters.toml", "stock.toml"):
        pipe(book / path)
    for words in (("read", ""), ("jot", "work", ""), ("read", "--meter", ""), ("show", "")):
        told = ran("--complete", "--book", book, *words)
        assert (told.status, told.err) == (0, "")


@pytest.mark.parametrize("words", GOING_THROUGH, ids=" ".join)
def test_what_cannot_be_read_stops_nothing_else(book: Path, words: tuple[str, ...]) -> None:
    """The first file of a book cannot be read; the others are gone through all the same."""
    pipe(book / "bench.toml")
    other = book / "jobs/2026/K26-0002.toml"
    other.write_text(JOB.replace("K26-0001", "K26-0002").replace("23.4 Ω", "23.4 ohm"))
    told = ran("--book", book, *words)
    assert told.status == 2
    assert told.err.startswith("jobkit: bench.toml: bench.toml is a named pipe; rename it")
    if words[0] == "tidy":
        assert 'jobs/2026/K26-0002.toml: "23.4 ohm"' in told.out.replace("23.4 ohm ->", '"23.4 ohm" ->')
        assert ("23.4 Ω" in other.read_text()) == ("--check" not in words)
