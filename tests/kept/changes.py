"""Things that happen to a book between two looks at it, at random but the same for each seed."""

from __future__ import annotations

import os
import random
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path

from tests.book.repo import GitRepo

Change = Callable[["Upheaval"], None]


class Upheaval:
    """A book in git and the dice that decide what happens to it next."""

    def __init__(self, repo: GitRepo, seed: int) -> None:
        self.repo = repo
        self.root = repo.root
        self.dice = random.Random(seed)  # noqa: S311 - a dice, not a key

    def next(self) -> str:
        """Let something happen, and say what."""
        return self.one_of(CHANGES)

    def one_of(self, changes: Sequence[Change]) -> str:
        """Let one of some changes happen, and say which."""
        change = self.dice.choice(changes)
        with suppress(OSError, IndexError):
            change(self)
        return change.__name__

    def job(self) -> Path:
        """Pick a job file."""
        return self.dice.choice(sorted(path for path in self.root.glob("jobs/*/*.toml") if path.is_file()))

    def git(self, *words: str) -> None:
        """Run git; a refusal is something that happens too."""
        self.repo.attempt(*words)


def edit_a_word(up: Upheaval) -> None:
    """Change letters or digits of a job, some of which matter."""
    path = up.job()
    text = path.read_text("utf-8")
    places = [found.span() for found in re.finditer(r'(?<=")[^"\n]+(?=")|[0-9]{4}-[0-9]{2}-[0-9]{2}', text)]
    start, end = up.dice.choice(places)
    words = (
        "repaired",
        "K26-0012",
        "cold",
        "VCORE",
        "2031-01-01",
        "99 kg",
        "stage-50a-5x6",
        text[start:end][::-1],
    )
    path.write_text(text[:start] + up.dice.choice(words) + text[end:], "utf-8")


def edit_without_a_trace(up: Upheaval) -> None:
    """Change as many bytes as there were, and set the times back to what they were."""
    path = up.job()
    text, seen = path.read_text("utf-8"), path.stat()
    while int(time.time()) <= int(seen.st_ctime):
        time.sleep(0.05)  # git compares times of change by the second, so it cannot see this within one
    path.write_text(text.replace("proof", "work ").replace("VCORE", "VMEMX"), "utf-8")
    os.utime(path, ns=(seen.st_atime_ns, seen.st_mtime_ns))


def touch_with_old_times(up: Upheaval) -> None:
    for _ in range(3):
        os.utime(up.job(), (1_000_000_000, up.dice.choice((0, 1_000_000_000, 2_000_000_000))))


def break_a_file(up: Upheaval) -> None:
    path = up.job()
    path.write_bytes(path.read_bytes()[: up.dice.randrange(400)])


def add_an_entry(up: Upheaval) -> None:
    more = '\n[[used]]\nat = 2026-11-01T10:00:00\npart = "Q9"\nitem = "stage-50a-5x6"\nfrom = "stock"\nqty = 40\n'
    donor = '\n[[used]]\nat = 2026-11-01T10:00:00\npart = "U6"\nfrom = "K26-0016"\n'
    waive = '\n[[waive]]\nrule = "odd-one-out"\nwhy = "seen"\n'
    with up.job().open("a", encoding="utf-8") as file:
        file.write(up.dice.choice((more, donor, waive, "\n# nothing\n")))


def swap_two_files(up: Upheaval) -> None:
    one, other = up.job(), up.job()
    if one != other:
        text = one.read_bytes()
        one.write_bytes(other.read_bytes())
        other.write_bytes(text)


def rename_a_job(up: Upheaval) -> None:
    path = up.job()
    path.rename(path.with_name(f"K26-{up.dice.randrange(900, 999):04d}.toml"))


def copy_to_another_year(up: Upheaval) -> None:
    path = up.job()
    (up.root / "jobs/2025").mkdir(exist_ok=True)
    shutil.copy2(path, up.root / "jobs/2025" / path.name)


def take_a_job_away(up: Upheaval) -> None:
    up.job().unlink()


def put_something_odd(up: Upheaval) -> None:
    """Put a folder or a link where a job is looked for, empty folders too, which git does not know."""
    place = up.root / f"jobs/2026/K26-08{up.dice.randrange(10, 99)}.toml"
    kind = up.dice.randrange(4)
    if kind == 0:
        place.mkdir()
    elif kind == 1:
        place.symlink_to(up.job())
    elif kind == 2:
        place.mkdir()
        (place / "load.csv").write_text("x")
    else:
        (up.root / "jobs/2024").mkdir(exist_ok=True)
        shutil.copy(up.job(), up.root / "jobs/2024")


def move_attachments(up: Upheaval) -> None:
    files = sorted(path for path in up.root.glob("jobs/*/*/*") if path.is_file())
    path = up.dice.choice(files)
    path.rename(path.with_name(up.dice.choice(("other.csv", ".hidden.csv", "load.csv"))))


def edit_the_bench(up: Upheaval) -> None:
    path = up.root / "bench.toml"
    text = path.read_text("utf-8")
    if up.dice.random() < 0.5:
        path.write_text(
            re.sub(r"cooling_minutes = [0-9]+", f"cooling_minutes = {up.dice.randrange(5, 90)}", text),
            "utf-8",
        )
    else:
        path.write_text(
            text.replace("[lint]", '[lint]\noff = ["date-order"]', 1) if "off =" not in text else text,
            "utf-8",
        )


def edit_a_board(up: Upheaval) -> None:
    path = up.dice.choice(sorted(up.root.glob("boards/*.toml")))
    text = path.read_text("utf-8")
    changed = (
        text.replace("60 Ω", f"{up.dice.randrange(2, 90)} Ω", 1) if up.dice.random() < 0.7 else text[:200]
    )
    path.write_text(changed, "utf-8")


def edit_the_stock(up: Upheaval) -> None:
    path = up.root / "stock.toml"
    text = path.read_text("utf-8")
    path.write_text(re.sub(r"counted = [0-9]+", f"counted = {up.dice.randrange(9)}", text, count=2), "utf-8")


def add_all(up: Upheaval) -> None:
    up.git("add", "-A")


def commit(up: Upheaval) -> None:
    up.git("add", "-A")
    up.git("commit", "-q", "-m", "so far")


def stash(up: Upheaval) -> None:
    up.git("stash", *up.dice.choice(([], ["-u"])))


def pop_the_stash(up: Upheaval) -> None:
    up.git("stash", "pop")


def go_to_a_branch(up: Upheaval) -> None:
    name = up.dice.choice(("one", "two", "main"))
    up.git("checkout", "-q", *up.dice.choice(([], ["-f"])), name)
    up.git("checkout", "-q", "-b", name)


def go_back(up: Upheaval) -> None:
    up.git("reset", "-q", up.dice.choice(("--hard", "--soft", "--mixed")), "HEAD~1")


def undo_by_checkout(up: Upheaval) -> None:
    up.git("checkout", "-q", "--", ".")


def merge_a_branch(up: Upheaval) -> None:
    up.git("commit", "-q", "-a", "-m", "before the merge")
    up.git("merge", "-q", up.dice.choice(("one", "two", "main")))


def tell_git_not_to_look(up: Upheaval) -> None:
    """Mark a file as not to be looked at, then change it."""
    path = up.job()
    flag = up.dice.choice(("--assume-unchanged", "--skip-worktree"))
    up.git("update-index", flag, str(path.relative_to(up.root)))
    path.write_text(path.read_text("utf-8").replace("received", "recieved"), "utf-8")


def convert_line_ends(up: Upheaval) -> None:
    """Let git convert line ends or words on the way, so that a file is not its blob."""
    (up.root / ".gitattributes").write_text(
        up.dice.choice(("*.toml text eol=crlf\n", "*.toml filter=upper\n", "*.toml -text\n", "")), "utf-8"
    )
    up.git("config", "filter.upper.smudge", "sed s/cold/warm/")
    up.git("config", "filter.upper.clean", "sed s/warm/cold/")
    path = up.job()
    path.unlink()
    up.git("checkout", "-q", "--", str(path.relative_to(up.root)))


def write_with_other_line_ends(up: Upheaval) -> None:
    path = up.job()
    path.write_bytes(path.read_bytes().replace(b"\r\n", b"\n").replace(b"\n", b"\r\n"))
    up.git("add", str(path.relative_to(up.root)))


def trust_less(up: Upheaval) -> None:
    up.git(
        "config",
        *up.dice.choice(
            (
                ("core.trustctime", "false"),
                ("core.trustctime", "true"),
                ("core.checkStat", "minimal"),
                ("core.autocrlf", "input"),
            )
        ),
    )


def stores() -> list[Path]:
    """Name the stores of all books, that of this book among them."""
    return sorted(Path(os.environ["XDG_CACHE_HOME"]).glob("jobkit/*.sqlite"))


def damage_what_is_kept(up: Upheaval) -> None:
    path = max(stores(), key=lambda path: path.stat().st_mtime)
    data = bytearray(path.read_bytes())
    how = up.dice.randrange(4)
    if how == 0:
        data[up.dice.randrange(len(data))] ^= 255
    path.write_bytes((bytes(data), bytes(data[: len(data) // 2]), b"", b"not ours")[how])


def take_away_what_is_kept(_up: Upheaval) -> None:
    max(stores(), key=lambda path: path.stat().st_mtime).unlink()


def kill_a_run(up: Upheaval) -> None:
    """Start a check in a process of its own and kill it half way."""
    with subprocess.Popen(
        [sys.executable, "-m", "jobkit", "lint"],
        cwd=up.root,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parent.parent.parent)},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    ) as process:
        time.sleep(up.dice.uniform(0.05, 0.3))
        process.kill()


CHANGES: tuple[Change, ...] = (
    *(edit_a_word, edit_a_word, edit_a_word, add_an_entry, add_an_entry, edit_without_a_trace),
    *(
        touch_with_old_times,
        break_a_file,
        swap_two_files,
        rename_a_job,
        copy_to_another_year,
        take_a_job_away,
    ),
    *(put_something_odd, move_attachments, edit_the_bench, edit_a_board, edit_the_stock),
    *(
        add_all,
        commit,
        commit,
        stash,
        pop_the_stash,
        go_to_a_branch,
        go_back,
        undo_by_checkout,
        merge_a_branch,
    ),
    *(tell_git_not_to_look, convert_line_ends, write_with_other_line_ends, trust_less),
    *(damage_what_is_kept, take_away_what_is_kept, kill_a_run),
)
