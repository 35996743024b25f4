"""Files on the disk: whole whatever happens, and nobody's entry is lost."""

import errno
import fcntl
import os
import random
import resource
import signal
import stat
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from shutil import rmtree
from time import perf_counter, sleep
from typing import Any

import pytest

from jobkit.book.disk import folder, swap
from jobkit.book.disk.errors import LARGEST, DiskError, TakenError
from jobkit.book.disk.folder import Folder
from jobkit.book.disk.writing import write_named
from jobkit.book.edit import append_entry
from jobkit.book.toml.parse import TomlError, parse
from jobkit.book.write.disk import create, update

pytestmark = pytest.mark.skipif(
    sys.platform == "win32", reason="forks, signals and permissions as POSIX has them"
)


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """Return a job file in a folder of its own."""
    job = tmp_path / "book" / "K26-0047.toml"
    job.parent.mkdir()
    job.write_text("format = 1\n")
    return job


def at(path: Path) -> tuple[Path, str]:
    """Return a file as a root, its folder, and the path below it."""
    return path.parent, path.name


def test_a_file_is_updated(job: Path) -> None:
    assert update(*at(job), lambda text: text + "id = 1\n") == "format = 1\nid = 1\n"
    assert job.read_bytes() == b"format = 1\nid = 1\n"
    assert _litter(job) == []


def test_bytes_that_the_edit_leaves_alone_stay(job: Path) -> None:
    odd = b"\xef\xbb\xbfa = 1\r\nb = '\xc2\xb5'\n\r\nc = 1"
    job.write_bytes(odd)
    update(*at(job), lambda text: text + "2")
    assert job.read_bytes() == odd + b"2"


def test_a_text_that_comes_back_as_it_was_is_not_written(job: Path) -> None:
    before = job.stat()
    assert update(*at(job), lambda text: text) == "format = 1\n"
    assert job.stat().st_ino == before.st_ino
    assert _litter(job) == []


def test_permissions_stay(job: Path) -> None:
    for mode in (0o600, 0o640, 0o664):
        job.chmod(mode)
        update(*at(job), lambda text: text + "# more\n")
        assert stat.S_IMODE(job.stat().st_mode) == mode
        write_named(str(job), b"anew\n")
        assert stat.S_IMODE(job.stat().st_mode) == mode


def test_a_new_file_has_the_usual_permissions(job: Path) -> None:
    usual = job.with_name("usual")
    usual.touch()
    create(*at(job.with_name("created")), "")
    write_named(str(job.with_name("written")), b"")
    for name in ("created", "written"):
        assert job.with_name(name).stat().st_mode == usual.stat().st_mode


def test_a_file_of_the_person_may_be_a_link_which_stays_one(job: Path, tmp_path: Path) -> None:
    link = tmp_path / "current.toml"
    link.symlink_to("book/K26-0047.toml")
    write_named(str(link), b"anew\n")
    assert link.is_symlink()
    assert job.read_text() == "anew\n"
    assert _litter(link) == _litter(job) == []


def test_a_file_of_the_book_may_not_be_a_link(job: Path) -> None:
    link = job.with_name("link.toml")
    link.symlink_to(job.name)
    for doing in (lambda: update(*at(link), lambda text: text + "x"), lambda: create(*at(link), "x")):
        with pytest.raises(DiskError):
            doing()
    assert job.read_text() == "format = 1\n"
    assert _litter(job) == []


def test_what_the_edit_raises_comes_out_and_the_file_stays(job: Path) -> None:
    def edit(_: str) -> str:
        raise RuntimeError("no")

    with pytest.raises(RuntimeError, match="no"):
        update(*at(job), edit)
    assert job.read_text() == "format = 1\n"
    assert _litter(job) == []


def test_an_editor_that_saves_meanwhile_is_not_overwritten(job: Path) -> None:
    calls: list[str] = []

    def edit(text: str) -> str:
        if not calls:
            job.write_text(text + "by = 'the editor'\n")
        calls.append(text)
        return text + "by = 'jobkit'\n"

    assert update(*at(job), edit) == "format = 1\nby = 'the editor'\nby = 'jobkit'\n"
    assert calls == ["format = 1\n", "format = 1\nby = 'the editor'\n"]


def test_a_program_that_keeps_saving_wins(job: Path) -> None:
    def edit(text: str) -> str:
        job.write_text(text + "#")
        return text + "x"

    with pytest.raises(DiskError, match="another program keeps changing it"):
        update(*at(job), edit)
    assert job.read_text() == "format = 1\n#####"
    assert _litter(job) == []


def _replaced(job: Path, text: str) -> None:
    """Save as most editors do: a new file takes the name of the old one."""
    new = job.with_name("editor")
    new.write_text(text)
    new.replace(job)


SAVES: dict[str, Callable[[Path, str], object]] = {
    "by a new file": _replaced,
    "into the old file": Path.write_text,
}
every_save = pytest.mark.parametrize("save", SAVES.values(), ids=SAVES)


def _editor(monkeypatch: pytest.MonkeyPatch, *saves: Callable[[], object] | None) -> None:
    """Have an editor save right before each swap of names in turn: after the last look of `update` at the file."""
    todo = iter(saves)
    real = Folder.swap

    def swap(self: Folder, name: str, other: str) -> bool:
        save = next(todo, None)
        if save:
            save()
        return real(self, name, other)

    monkeypatch.setattr(Folder, "swap", swap)


@every_save
def test_a_save_between_the_last_look_and_the_new_name_is_kept(
    job: Path, monkeypatch: pytest.MonkeyPatch, save: Callable[[Path, str], object]
) -> None:
    _editor(monkeypatch, lambda: save(job, "format = 1\nby = 'the editor'\n"))
    assert update(*at(job), lambda text: text + "by = 'jobkit'\n").endswith("'the editor'\nby = 'jobkit'\n")
    assert job.read_text() == "format = 1\nby = 'the editor'\nby = 'jobkit'\n"
    assert _litter(job) == []


@every_save
def test_a_second_save_while_the_first_is_put_back_is_kept(
    job: Path, monkeypatch: pytest.MonkeyPatch, save: Callable[[Path, str], object]
) -> None:
    _editor(monkeypatch, lambda: save(job, "first\n"), lambda: save(job, "second\n"))
    update(*at(job), lambda text: text + "jobkit\n")
    assert job.read_text() == "second\njobkit\n"
    assert _litter(job) == []


def test_an_edit_is_refused_where_the_editor_wins_every_time(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    texts = [f"save {number}\n" for number in range(30)]
    _editor(
        monkeypatch,
        *(partial(_replaced, job, text) if number % 2 == 0 else None for number, text in enumerate(texts)),
    )
    with pytest.raises(DiskError, match="another program keeps changing it"):
        update(*at(job), lambda text: text + "jobkit\n")
    assert job.read_text() == "save 8\n"
    assert _litter(job) == []


def test_a_disk_that_cannot_swap_names_gets_the_new_text_too(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(folder, "swap", lambda *_: False)
    update(*at(job), lambda text: text + "id = 1\n")
    assert job.read_text() == "format = 1\nid = 1\n"
    assert _litter(job) == []


def test_a_text_that_would_be_too_large_to_be_read_is_not_written(job: Path) -> None:
    with pytest.raises(DiskError, match="is larger than 16 MB"):
        update(*at(job), lambda text: text + "#" * LARGEST)
    with pytest.raises(DiskError, match="is larger than 16 MB"):
        create(job.parent, "new.toml", "#" * (LARGEST + 1))
    assert [path.name for path in job.parent.iterdir()] == [job.name]
    assert job.read_text() == "format = 1\n"


def test_a_new_file_is_made_with_its_folders(tmp_path: Path) -> None:
    path = tmp_path / "jobs" / "2027" / "K27-0001.toml"
    create(tmp_path, "jobs/2027/K27-0001.toml", "format = 1\n")
    assert path.read_text() == "format = 1\n"
    assert _litter(path) == []
    assert path.stat().st_nlink == 1


@pytest.mark.parametrize(
    "make",
    [Path.touch, Path.mkdir, lambda path: path.symlink_to("nowhere")],
    ids=["file", "folder", "dead link"],
)
def test_a_name_that_is_taken_is_not_taken_again(tmp_path: Path, make: Callable[[Path], None]) -> None:
    path = tmp_path / "K26-0001.toml"
    make(path)
    with pytest.raises(TakenError, match=r"K26-0001\.toml is there already"):
        create(*at(path), "new\n")
    assert path.is_symlink() or path.is_dir() or path.read_bytes() == b""
    assert _litter(path) == []


def test_a_disk_without_links_gets_new_files_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # FAT refuses hard links with EPERM (link(2)).
    monkeypatch.setattr(os, "link", _failing(errno.EPERM))
    path = tmp_path / "K26-0001.toml"
    create(*at(path), "one\n")
    with pytest.raises(TakenError):
        create(*at(path), "two\n")
    assert path.read_text() == "one\n"
    assert _litter(path) == []


@pytest.mark.parametrize(
    ("name", "message"),
    [
        pytest.param(
            "missing.toml", "missing.toml cannot be written: there is no such file or folder", id="missing"
        ),
        pytest.param("folder", "folder is a folder", id="folder"),
        pytest.param(
            "K26-0047.toml/x", "cannot be written: there is a file in place of its folder", id="in a file"
        ),
        pytest.param("circle", "circle is a symbolic link, which jobkit does not follow", id="link"),
        pytest.param("../x.toml", "does not name a file below the book's folder", id="above"),
        pytest.param("x" * 300, "cannot be written: the name is too long", id="long name"),
    ],
)
def test_what_cannot_be_updated_is_said_in_words(job: Path, name: str, message: str) -> None:
    job.with_name("circle").symlink_to("circle")
    job.with_name("folder").mkdir()
    with pytest.raises(DiskError) as refused:
        update(job.parent, name, lambda text: text + "x")
    assert message in refused.value.message
    assert refused.value.mend
    assert _litter(job) == []


def test_a_file_that_is_no_utf_8_is_named_with_its_line(job: Path) -> None:
    job.write_bytes(b"a = 1\nb = '\xb5'\n")
    with pytest.raises(
        TomlError, match=r"K26-0047\.toml: byte 0xB5 is not UTF-8.*line 2, column 6"
    ) as refused:
        update(*at(job), lambda text: text + "x")
    assert refused.value.line == 2


@pytest.mark.parametrize(
    "doing",
    [
        lambda job: update(*at(job), lambda text: text + "x" * 99_999),
        lambda job: write_named(str(job), b"x" * 99_999),
    ],
    ids=["update", "write"],
)
def test_a_file_that_may_not_grow_stays_as_it_was(job: Path, doing: Callable[[Path], object]) -> None:
    """The kernel itself refuses here, in the middle of the text."""
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (50_000, limits[1]))
    try:
        with pytest.raises(DiskError, match="the file may not grow that large"):
            doing(job)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
    assert job.read_text() == "format = 1\n"
    assert _litter(job) == []


@pytest.mark.parametrize("call", ["write", "fsync", "fchmod", "open"])
@pytest.mark.parametrize(
    ("number", "message"),
    [(errno.ENOSPC, "the disk is full"), (errno.EROFS, "the disk is read-only"), (errno.EIO, os.strerror(errno.EIO))],
    ids=["full", "read-only", "broken"],
)  # fmt: skip
def test_a_disk_that_fails_is_said_in_words(
    job: Path, monkeypatch: pytest.MonkeyPatch, call: str, number: int, message: str
) -> None:
    monkeypatch.setattr(os, call, _failing(number))
    with pytest.raises(DiskError, match=message):
        update(*at(job), lambda text: text + "id = 1\n")
    monkeypatch.undo()
    assert job.read_text() == "format = 1\n"
    assert _litter(job) == []


@pytest.fixture
def powerless() -> Iterator[Path]:
    """Return a folder of a user who may not do everything, and be that user; root would be stopped by nothing."""
    folder = Path(tempfile.mkdtemp())
    user = 65_534 if os.geteuid() == 0 else os.geteuid()
    os.chown(folder, user, -1)
    before = os.geteuid()
    os.seteuid(user)
    try:
        yield folder
    finally:
        os.seteuid(before)
        folder.chmod(0o755)
        rmtree(folder)


def test_a_device_is_written_to_and_never_replaced(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with subprocess.Popen(["cat", str(pipe)], stdout=subprocess.PIPE, text=True) as reader:
        write_named(str(pipe), b"an answer\n")
        assert reader.communicate(timeout=30)[0] == "an answer\n"
    assert stat.S_ISFIFO(pipe.stat().st_mode)
    assert [path.name for path in tmp_path.iterdir()] == ["pipe"]


@pytest.mark.parametrize("protected", ["folder", "file"])
def test_what_is_write_protected_stays_as_it_was(powerless: Path, protected: str) -> None:
    job = powerless / "K26-0047.toml"
    job.write_text("format = 1\n")
    (powerless if protected == "folder" else job).chmod(0o555)
    with pytest.raises(DiskError, match=r"K26-0047\.toml cannot be written: permission is missing"):
        update(*at(job), lambda text: text + "id = 1\n")
    with pytest.raises(DiskError, match="permission is missing"):
        write_named(str(job), b"anew\n")
    if protected == "folder":
        with pytest.raises(DiskError, match="permission is missing"):
            create(*at(powerless / "new.toml"), "new\n")
    assert job.read_text() == "format = 1\n"
    assert _litter(job) == []


_APPENDER = """
import sys
from pathlib import Path
from jobkit.book.write.disk import update
from jobkit.book.edit import append_entry
sys.stdin.readline()
for number in range(50):
    update(Path(sys.argv[1]), sys.argv[2], lambda text: append_entry(text, "reading", {"by": sys.argv[3], "n": number}))
"""


def test_two_processes_at_once_both_land(job: Path) -> None:
    writers = [
        subprocess.Popen([sys.executable, "-c", _APPENDER, *map(str, at(job)), name], stdin=subprocess.PIPE)
        for name in ("ida", "jon")
    ]
    for writer in writers:
        assert writer.stdin
        writer.stdin.write(b"go\n")
        writer.stdin.flush()
    for writer in writers:
        writer.communicate(timeout=60)
        assert writer.returncode == 0
    readings = parse(job.read_bytes())["reading"]
    for name in ("ida", "jon"):
        assert [reading["n"] for reading in readings if reading["by"] == name] == list(range(50))
    assert _litter(job) == []


def test_many_processes_want_one_new_name_and_each_gets_another(tmp_path: Path) -> None:
    def book_in(name: int) -> None:
        for number in range(8):
            try:
                create(*at(tmp_path / f"K26-{number:04}.toml"), f"by = {name}\n" * 100)
            except TakenError:
                continue
            return
        raise AssertionError("no number was free")

    children = [_fork(partial(book_in, name)) for name in range(8)]
    assert [os.waitpid(child, 0)[1] for child in children] == [0] * 8
    files = sorted(tmp_path.iterdir())
    assert [file.name for file in files] == [f"K26-{number:04}.toml" for number in range(8)]
    assert sorted(file.read_text() for file in files) == [f"by = {name}\n" * 100 for name in range(8)]


def test_a_writer_killed_at_any_moment_leaves_the_old_file_or_the_new_one(job: Path) -> None:
    """Kill at moments spread over the time of four edits; every file found must be a whole one, no edit lost."""
    chance = random.Random(26)  # noqa: S311 - nothing secret
    begun = perf_counter()
    for _ in range(10):
        _append(job)
    four_edits = min(0.05, (perf_counter() - begun) / 10 * 4)
    begun_with = _lines(job)
    for _ in range(300):
        before = _lines(job)
        child = _fork(lambda: _append_for_ever(job))
        sleep(chance.uniform(0, four_edits))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        assert _lines(job) >= before
        if _lines(job) == begun_with:
            four_edits = min(four_edits * 1.1, 1.0)  # on a busy machine even the first takes longer
    assert _lines(job) > begun_with, "the writers got somewhere"
    update(*at(job), lambda text: text + "# done\n")
    assert _litter(job) == []


_STEPS = ["open", "fstat", "ftruncate", "fchmod", "lseek", "write", "fsync", "close"]


@pytest.mark.parametrize("doing", ["update", "create"])
def test_a_writer_killed_at_each_step_leaves_the_old_file_or_the_new_one(job: Path, doing: str) -> None:
    """Each call to the system in turn is the last: killed before it and after it."""
    new = job.with_name("new.toml")
    killed = 0
    for step in range(200):
        child = _fork(partial(_die_at, step, doing, job, new))
        if os.waitpid(child, 0)[1] == 0:
            break
        killed += 1
        assert job.read_text() in ("format = 1\n", "format = 1\nid = 1\n")
        assert not new.exists() or new.read_text() == "new\n"
        # Whoever comes next takes over what was left, and does not touch what is finished.
        update(*at(job), lambda _: "format = 1\n")
        if new.exists():
            update(*at(new), lambda text: text + "more\n")
            assert new.read_text() == "new\nmore\n"
            new.unlink()
        else:
            create(*at(new), "new\n")
            new.unlink()
        assert _litter(job) == []
    assert killed > 10
    assert killed < 199


def _die_at(step: int, doing: str, job: Path, new: Path) -> None:
    steps = iter(range(10_000))

    def dying(call: Callable[..., Any]) -> Callable[..., Any]:
        def last(*args: Any, **kwargs: Any) -> Any:
            if next(steps) == step:
                os.kill(os.getpid(), signal.SIGKILL)
            result = call(*args, **kwargs)
            if next(steps) == step:
                os.kill(os.getpid(), signal.SIGKILL)
            return result

        return last

    for name in _STEPS:
        setattr(os, name, dying(getattr(os, name)))
    for name in ("replace", "link", "unlink", "stat"):
        setattr(os, name, dying(getattr(os, name)))
    folder.swap = dying(swap.swap)  # type: ignore[attr-defined]
    fcntl.flock = dying(fcntl.flock)
    if doing == "update":
        update(*at(job), lambda text: text + "id = 1\n")
    else:
        create(*at(new), "new\n")


def _append_for_ever(job: Path) -> None:
    while True:
        _append(job)


def _append(job: Path) -> None:
    update(*at(job), lambda text: f"{text}# {text.count(chr(10)):06} {'x' * 500}\n")


def _lines(job: Path) -> int:
    """Count the lines of a file that is whole: numbered without a gap, the last one ended."""
    first, *lines, last = job.read_text().split("\n")
    assert first == "format = 1"
    assert last == ""
    assert lines == [f"# {number + 1:06} {'x' * 500}" for number in range(len(lines))]
    return len(lines)


def _fork(work: Callable[[], object]) -> int:
    child = os.fork()
    if child == 0:
        status = 1
        try:
            work()
            status = 0
        finally:
            os._exit(status)
    return child


def _failing(number: int) -> Callable[..., Any]:
    def fail(*_: object, **__: object) -> Any:
        raise OSError(number, os.strerror(number))

    return fail


def _litter(job: Path) -> list[str]:
    return [path.name for path in job.parent.iterdir() if path.name.startswith(".")]


def test_an_entry_that_is_appended_is_on_the_disk(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The text is brought to the disk before it gets its name, the name after."""
    done: list[str] = []

    def noted(name: str, call: Callable[..., Any]) -> Callable[..., Any]:
        def note(*args: Any) -> Any:
            done.append(name)
            return call(*args)

        return note

    monkeypatch.setattr(os, "fsync", noted("fsync", os.fsync))
    monkeypatch.setattr(folder, "swap", noted("swap", swap.swap))
    update(*at(job), lambda text: append_entry(text, "reading", {"n": 1}))
    assert done == ["fsync", "swap", "fsync"]


def test_what_a_killed_process_left_is_taken_away_and_that_of_a_running_one_is_not(tmp_path: Path) -> None:
    ended = subprocess.Popen([sys.executable, "-c", ""])
    ended.wait()
    left, running = tmp_path / f".answer.{ended.pid}.tmp", tmp_path / f".answer.{os.getppid()}.tmp"
    others = [
        tmp_path / f".other.{ended.pid}.tmp",
        tmp_path / f".answer.{ended.pid}.txt",
        tmp_path / ".answer.tmp",
    ]
    for place in (left, running, *others):
        place.write_text("half")
    write_named(str(tmp_path / "answer"), b"whole")
    assert {place.name for place in tmp_path.iterdir()} == {
        "answer",
        *(one.name for one in (running, *others)),
    }


def test_what_cannot_be_looked_through_is_written_all_the_same(tmp_path: Path) -> None:
    (tmp_path / "in").mkdir()
    (tmp_path / "in").chmod(0o300)
    write_named(str(tmp_path / "in/answer"), b"whole")
    (tmp_path / "in").chmod(0o700)
    assert (tmp_path / "in/answer").read_bytes() == b"whole"
