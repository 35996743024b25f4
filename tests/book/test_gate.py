"""The gate to the disk: what is below the root is opened, nothing else is, and nothing keeps the reader waiting."""

from __future__ import annotations

import os
import socket
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest

from jobkit.book.disk import folder as gate
from jobkit.book.disk.errors import LARGEST, DiskError, MissingError, OutsideError, RefusedError
from jobkit.book.disk.folder import folder_beneath
from jobkit.book.disk.reading import open_beneath, read_beneath, read_each, read_plain
from jobkit.book.disk.writing import replacing

pytestmark = pytest.mark.skipif(
    sys.platform == "win32", reason="makes links, pipes and sockets as POSIX has them"
)

OUTSIDE = "what a stranger must not reach"


@pytest.fixture(params=["by handle", "by checks"])
def root(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """Return a folder with a few files, beside it one that is out of bounds; opened in each of the two ways."""
    if request.param == "by checks":
        monkeypatch.setattr(gate, "_BY_HANDLE", False)
    for path in (
        "book/bench.toml",
        "book/jobs/2026/K26-0001.toml",
        "outside/victim.toml",
        "outside/2025/x.toml",
    ):
        file = tmp_path / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(OUTSIDE if "outside" in path else path)
    return str(tmp_path / "book")


def test_a_plain_file_below_the_root_is_read(root: str) -> None:
    assert read_beneath(root, "jobs/2026/K26-0001.toml") == b"book/jobs/2026/K26-0001.toml"
    with open_beneath(root, "bench.toml") as file:
        assert file.read() == b"book/bench.toml"


def _link(to: str) -> Callable[[Path], None]:
    return lambda place: place.symlink_to(to)


def _socket(place: Path) -> None:
    with socket.socket(socket.AF_UNIX) as made:
        before = Path.cwd()
        os.chdir(place.parent)  # the name of a socket may not be longer than 108 bytes (unix(7))
        made.bind(place.name)
        os.chdir(before)


def _device(place: Path) -> None:
    try:
        os.mknod(place, 0o600 | 0o020000, os.makedev(1, 5))
    except PermissionError:
        pytest.skip("only root makes devices")


ODD: dict[str, tuple[Callable[[Path], None], str]] = {
    "link to a file outside": (_link("../outside/victim.toml"), "is a symbolic link"),
    "link to a file inside": (_link("bench.toml"), "is a symbolic link"),
    "link to an endless device": (_link("/dev/zero"), "is a symbolic link"),
    "link to itself": (_link("odd"), "is a symbolic link"),
    "link to nothing": (_link("nothing"), "is a symbolic link"),
    "folder": (Path.mkdir, "is a folder"),
    "named pipe": (os.mkfifo, "is a named pipe"),
    "socket": (_socket, "is a socket"),
    "device": (_device, "is a device"),
}  # fmt: skip
every_odd = pytest.mark.parametrize(("make", "said"), ODD.values(), ids=ODD)


@every_odd
def test_what_is_not_a_plain_file_is_refused(root: str, make: Callable[[Path], None], said: str) -> None:
    make(Path(root, "odd"))
    for read in (read_beneath, open_beneath):
        with pytest.raises(DiskError) as refused:
            read(root, "odd")
        assert refused.value.message.startswith(f"odd {said}")
        assert refused.value.mend
    (answer,) = read_each(root, ["odd"])
    assert str(answer) == str(refused.value)


@every_odd
def test_no_lock_is_taken_on_what_is_not_a_plain_file(
    root: str, make: Callable[[Path], None], said: str
) -> None:
    make(Path(root, "odd"))
    with folder_beneath(root, "") as folder, pytest.raises(RefusedError, match=said):
        folder.open_lock("odd")


@every_odd
def test_a_new_file_takes_the_place_of_a_link_and_nothing_is_written_through_it(
    root: str, make: Callable[[Path], None], said: str
) -> None:
    odd = Path(root, "odd")
    make(odd)
    if said == "is a folder":
        with pytest.raises(OSError, match="directory"), replacing(root, "odd") as file:
            file.write(b"new")
    else:
        with replacing(root, "odd") as file:
            file.write(b"new")
        assert (odd.is_symlink(), odd.read_bytes()) == (False, b"new")
    assert Path(root, "../outside/victim.toml").read_text() == OUTSIDE
    assert Path(root, "bench.toml").read_text() == "book/bench.toml"
    assert {path.name for path in Path(root).iterdir()} == {"bench.toml", "jobs", "odd"}


LINKED_FOLDERS = {"at the top": ("archive", "archive/x.toml"), "below": ("jobs/2025", "jobs/2025/x.toml")}


@pytest.mark.parametrize(("link", "path"), LINKED_FOLDERS.values(), ids=LINKED_FOLDERS)
def test_a_link_on_the_way_is_refused(root: str, link: str, path: str) -> None:
    Path(root, link).symlink_to(Path(root, "../outside/2025"))
    with pytest.raises(DiskError, match=f"^{link} is a symbolic link"):
        read_beneath(root, path)
    with pytest.raises(RefusedError, match=f"{link} is a symbolic link"), folder_beneath(root, link):
        pass
    with pytest.raises(RefusedError), replacing(root, path) as file:
        file.write(b"new")
    with pytest.raises(RefusedError), folder_beneath(root, f"{link}/new", make=True):
        pass
    assert Path(root, "../outside/2025/x.toml").read_text() == OUTSIDE
    assert [path.name for path in Path(root, "../outside/2025").iterdir()] == ["x.toml"]


@pytest.mark.parametrize(
    "path",
    ["", ".", "..", "../outside/victim.toml", "jobs/../../outside/victim.toml", "/etc/hostname", "jobs//2026", "a\0b",
     "jobs/2026/", "./bench.toml"],
)  # fmt: skip
def test_a_path_leads_down_and_nowhere_else(root: str, path: str) -> None:
    with pytest.raises(DiskError, match="does not name a file below the book's folder"):
        read_beneath(root, path)
    with pytest.raises(OutsideError), replacing(root, path):
        pass


def test_a_root_behind_a_link_of_the_persons_own_is_opened(root: str, tmp_path: Path) -> None:
    (tmp_path / "mine").symlink_to(root)
    assert read_beneath(str(tmp_path / "mine"), "bench.toml") == b"book/bench.toml"


@pytest.mark.parametrize("path", ["nothing.toml", "jobs/1999/x.toml", "nothing/at/all"])
def test_what_is_missing_is_missing(root: str, path: str) -> None:
    with pytest.raises(MissingError, match=f"^there is no {path}; check the name"):
        read_beneath(root, path)


def test_a_file_in_the_place_of_a_folder_is_said(root: str) -> None:
    with pytest.raises(DiskError, match="there is a file in place of its folder"):
        read_beneath(root, "bench.toml/x")


def test_a_file_that_is_too_large_is_refused_before_it_is_read(root: str) -> None:
    large = Path(root, "large.toml")
    for size in (LARGEST + 1, 10**12):
        with large.open("wb") as file:
            file.truncate(size)  # a hole: it takes no room on the disk
        with pytest.raises(DiskError, match=r"^large\.toml is larger than 16 MB"):
            read_beneath(root, "large.toml")
    with open_beneath(root, "large.toml") as file:
        assert file.read(3) == b"\0\0\0"
    with large.open("wb") as file:
        file.truncate(LARGEST)
    assert len(read_beneath(root, "large.toml")) == LARGEST


def test_a_file_that_grows_while_it_is_read_is_refused_at_the_limit() -> None:
    """The kernel's own files are plain ones of size 0; this one never ends for long."""
    with pytest.raises(DiskError, match=r"is larger than 0\.001 MB"):
        read_plain("/proc/self/smaps", limit=1000)


def test_many_files_are_read_in_the_order_asked_for(root: str) -> None:
    asked = [
        "bench.toml",
        "jobs/2026/K26-0001.toml",
        "jobs/1999/x",
        "jobs/1999/y",
        "jobs/2026/no",
        "bench.toml",
    ]
    found = list(read_each(root, asked))
    assert [one if isinstance(one, bytes) else one.message for one in found] == [
        b"book/bench.toml",
        b"book/jobs/2026/K26-0001.toml",
        "there is no jobs/1999/x",
        "there is no jobs/1999/y",
        "there is no jobs/2026/no",
        b"book/bench.toml",
    ]


def test_a_folder_that_is_swapped_for_a_link_while_it_is_open_changes_nothing(
    root: str, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    if "by checks" in request.node.name:
        pytest.skip("this is what the system can do only by handle")
    with folder_beneath(root, "jobs/2026") as folder:
        Path(root, "jobs/2026").rename(tmp_path / "book/jobs/away")
        Path(root, "jobs/2026").symlink_to(tmp_path / "outside/2025")
        assert [name for name, _ in folder.names()] == ["K26-0001.toml"]
        assert folder.status("x.toml") is None
        os.close(folder.make_file("new.toml"))
    assert (tmp_path / "book/jobs/away/new.toml").exists()
    assert not (tmp_path / "outside/2025/new.toml").exists()


def test_names_tell_folders_from_links_to_folders(root: str) -> None:
    Path(root, "link").symlink_to("jobs")
    with folder_beneath(root, "") as folder:
        assert sorted(folder.names()) == [("bench.toml", False), ("jobs", True), ("link", False)]


def test_no_handle_is_left_open(root: str) -> None:
    Path(root, "link").symlink_to("jobs")
    Path(root, "folder").mkdir()
    before = _open_handles()
    for path in ("bench.toml", "jobs/2026/K26-0001.toml", "link", "folder", "link/x", "nothing/x"):
        list(read_each(root, [path]))
        with suppress(DiskError):
            read_beneath(root, path)
        with suppress(DiskError):
            read_plain(f"{root}/{path}")
    assert _open_handles() == before


def _open_handles() -> int:
    return len([*Path("/proc/self/fd").iterdir()])


def test_a_file_of_git_or_of_the_person_may_be_behind_a_link_but_not_endless(
    root: str, tmp_path: Path
) -> None:
    (tmp_path / "mine").symlink_to(f"{root}/bench.toml")
    (tmp_path / "zero").symlink_to("/dev/zero")
    os.mkfifo(tmp_path / "pipe")
    assert read_plain(str(tmp_path / "mine")) == b"book/bench.toml"
    for name, said in (("zero", "is a device"), ("pipe", "is a named pipe")):
        with pytest.raises(DiskError, match=said):
            read_plain(str(tmp_path / name))


def test_a_file_whose_writing_fails_stays_as_it_was(root: str) -> None:
    def fail() -> None:
        with replacing(root, "bench.toml") as file:
            file.write(b"half")
            raise RuntimeError

    with pytest.raises(RuntimeError):
        fail()
    assert Path(root, "bench.toml").read_text() == "book/bench.toml"
    assert {path.name for path in Path(root).iterdir()} == {"bench.toml", "jobs"}
