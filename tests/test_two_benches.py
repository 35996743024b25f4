"""Two benches, two clones, one week on shared jobs: what they write meets by pull and push, and nothing is lost.

Both are wired as users wire them, so every commit goes through the hook and every pull through the merge driver. What
they write is drawn from a seed; all of it says who wrote it, so that it can be looked for at the end.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from jobkit.book.read.load import load_job
from jobkit.book.setup.wiring import wire
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import JOB, JOB_PATH, make_book
from tests.conftest import Run
from tests.long_run import share

pytestmark = pytest.mark.slow

MONDAY = datetime(2026, 9, 21, 14, 13, 20)
PULLS = {"merge": "--no-rebase", "rebase": "--rebase"}
JOBS = {
    f"jobs/2026/K26-000{number}.toml": JOB[: JOB.index("quoted")]
    .replace("K26-0001", f"K26-000{number}")
    .replace("2026-10-05", "2026-09-21")
    .replace("c-001", f"c-00{number}")
    .replace('outcome = "repaired"\n', "")
    for number in (1, 2, 3)
}


class Bench:
    """One bench at its clone: it writes, commits, pulls and pushes, at its own time of the week."""

    def __init__(self, repo: GitRepo, pull: str, dice: random.Random) -> None:
        self.repo = repo
        self.name = repo.author
        self.written: dict[str, list[tuple[datetime, str]]] = {path: [] for path in JOBS}
        self._pull = pull
        self._dice = dice
        self._count = 0
        wire(repo.root, sys.executable)

    def at(self, now: datetime) -> None:
        """Look at the clock."""
        self.now = now
        self.repo._minutes = int((now - MONDAY).total_seconds() // 60)

    def work(self) -> None:
        """Go on with some of the jobs, and commit."""
        for path in self._dice.sample(sorted(JOBS), self._dice.randint(1, 2)):
            text = (self.repo.root / path).read_text("utf-8")
            for _ in range(self._dice.randint(1, 3)):
                text = text.rstrip("\n") + "\n\n" + self._entry(path)
            self.repo.write(path, text)
        self.commit("Go on")

    def commit(self, message: str) -> None:
        """Commit what lies there; the hook lets it pass."""
        self.repo.git("commit", "-qam", message)

    def set(self, path: str, old: str, new: str) -> None:
        """Change one thing of a job."""
        text = (self.repo.root / path).read_text("utf-8")
        assert old in text
        self.repo.write(path, text.replace(old, new, 1))
        self.commit(f"Write {new.strip()}")

    def pull(self) -> None:
        """Take in what the other has pushed; nothing stands in the way."""
        self.repo.git("pull", "-q", self._pull, "origin", "main")

    def push(self) -> None:
        """Give the other what there is."""
        self.repo.git("push", "-q", "origin", "main")

    def _entry(self, path: str) -> str:
        """Write an entry that nobody else would write."""
        self._count += 1
        mark = f"{self.name} {self._count}"
        when = self.now + timedelta(minutes=self._count)
        self.written[path].append((when, mark))
        kind = self._dice.choice(("reading", "work", "seen", "used"))
        head = f'[[{kind}]]\nat = {when.isoformat()}\nby = "{self.name}"\n'
        return (
            head
            + {
                "reading": 'stage = "work"\npoint = "VMEM"\nkind = "resistance"\nvalue = "23.4 Ω"\nstate = "cold"\n'
                f'note = "{mark}"\n',
                "work": f'minutes = 10\ndid = "other"\nwhat = "{mark}"\n',
                "seen": f'check = "eye"\nfailed = ["{mark}"]\n',
                "used": f'part = "{mark}"\nitem = "wire"\nfrom = "bought"\n',
            }[kind]
        )


Benches = Callable[[str, int], tuple[Bench, Bench]]


@pytest.fixture
def benches(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Benches:
    forget_git_settings(monkeypatch)

    def make(pull: str, seed: int) -> tuple[Bench, Bench]:
        first = GitRepo.make(tmp_path / "first")
        attributes = {".gitattributes": "jobs/**/*.toml merge=jobkit diff=jobkit\n"}
        make_book(first.root, {JOB_PATH: None, **JOBS, **attributes})
        first.commit("Open the book")
        hub = first.clone(tmp_path / "hub.git", "--bare")
        dice = random.Random(seed)  # noqa: S311 - the same week in every run
        ida, bo = (
            Bench(hub.clone(tmp_path / name, author=name), PULLS[pull], dice) for name in ("ida", "bo")
        )
        return ida, bo

    return make


def days_of_the_week() -> Iterator[datetime]:
    """Yield five mornings."""
    yield from (datetime(2026, 9, 22 + day, 9) for day in range(5))


def everything_is_there(bench: Bench, *benches: Bench) -> None:
    """See that each entry ever written is in its job, once, and the job can be read."""
    for path in JOBS:
        content = (bench.repo.root / path).read_bytes()
        loaded = load_job(path, content)
        assert loaded.troubles == ()
        for mark in (mark for one in benches for _, mark in one.written[path]):
            assert content.decode().count(f'"{mark}"') == 1, f"{mark} in {path}"


def in_order(bench: Bench, path: str, *benches: Bench) -> None:
    """See that the entries both added stand in the order of their time."""
    text = (bench.repo.root / path).read_text("utf-8")
    written = sorted(one for other in benches for one in other.written[path])
    places = [text.index(f'"{mark}"') for _, mark in written]
    assert places == sorted(places)


@pytest.mark.parametrize(("pull", "seed"), share([("merge", 1), ("merge", 2), ("rebase", 3)], 2))
def test_a_week(benches: Benches, run: Run, pull: str, seed: int) -> None:
    ida, bo = benches(pull, seed)
    dice = random.Random(seed)  # noqa: S311
    for now in days_of_the_week():
        for minutes, bench in ((0, ida), (30, bo)):
            bench.at(now + timedelta(minutes=minutes))
            bench.work()
        if dice.random() < 0.7:
            for minutes, bench in ((180, ida), (190, bo), (200, ida)):
                bench.at(now + timedelta(minutes=minutes))
                bench.pull()
                bench.push()
    ida.set("jobs/2026/K26-0001.toml", "received = 2026-09-21", "received = 2026-09-21\nstarted = 2026-09-22")
    bo.set(
        "jobs/2026/K26-0001.toml",
        'complaint = "No picture since Monday"',
        'complaint = "No picture since Sunday"',
    )
    for bench in (ida, bo, ida):
        bench.at(datetime(2026, 9, 26, 18, 30))
        bench.pull()
        bench.push()
    heads = {bench.repo.git("rev-parse", "HEAD") for bench in (ida, bo)}
    assert len(heads) == 1
    for bench in (ida, bo):
        everything_is_there(bench, ida, bo)
        for path in JOBS:
            in_order(bench, path, ida, bo)
        assert run("lint", "--book", bench.repo.root).status == 0
    first = (ida.repo.root / "jobs/2026/K26-0001.toml").read_text("utf-8")
    assert "started = 2026-09-22" in first
    assert "since Sunday" in first
    for path in JOBS:
        tells_the_week(run, ida, path, ida, bo)


def tells_the_week(run: Run, bench: Bench, path: str, *benches: Bench) -> None:
    """See the trail of a job name each entry once, by who wrote it, in the order in which the week went."""
    trail = run("trail", Path(path).stem, "--book", bench.repo.root, "--format", "json").data["trail"]
    told = [
        (entry["at"], entry["by"], change["at"], change["text"])
        for entry in trail
        for change in entry["changes"]
        if change["change"] == "added" and change["at"]
    ]
    written = sorted((when, one.name, mark) for one in benches for when, mark in one.written[path])
    assert len(told) == len(written)
    for when, name, mark in written:
        (by, text), *others = [(by, text) for _, by, at, text in told if at == when.isoformat()]
        assert (by, others) == (name, [])
        assert mark in text or "VMEM 23.4 Ω" in text
    days = [at for at, *_ in told]
    assert days == sorted(days)
    assert [at for _, _, at, _ in told] == [when.isoformat() for when, *_ in written]


@pytest.mark.parametrize("pull", PULLS)
def test_only_one_thing_changed_by_both_stands_in_the_way(benches: Benches, run: Run, pull: str) -> None:
    """Both write the same price; all else of that day goes through, and the markers cannot be committed."""
    ida, bo = benches(pull, 7)
    path = "jobs/2026/K26-0002.toml"
    for bench, price in ((ida, "150.00 EUR"), (bo, "160.00 EUR")):
        bench.at(datetime(2026, 9, 22, 9 if bench is ida else 10))
        bench.work()
        bench.set(path, "[intake]", f'[price]\nquoted = "{price}"\n\n[intake]')
    ida.push()
    stopped = bo.repo.attempt("pull", "-q", PULLS[pull], "origin", "main")
    assert stopped.returncode != 0
    assert bo.repo.git("diff", "--name-only", "--diff-filter=U").split() == [path]
    text = (bo.repo.root / path).read_text("utf-8")
    assert all(price in text for price in ("150.00 EUR", "160.00 EUR"))
    bo.repo.git("add", "-A")
    refused = bo.repo.attempt("commit", "-m", "Never mind")
    assert (refused.returncode, "unfinished merge" in refused.stdout + refused.stderr) == (1, True)

    bo.repo.write(path, settled(text))
    bo.repo.git("add", "-A")
    if pull == "merge":
        bo.repo.git("commit", "-qm", "One price")
    else:
        bo.repo.git("rebase", "--continue")
    bo.push()
    ida.pull()
    for bench in (ida, bo):
        everything_is_there(bench, ida, bo)
        assert 'quoted = "160.00 EUR"' in (bench.repo.root / path).read_text("utf-8")
    changes = [
        change["text"]
        for entry in run("trail", "2", "--book", ida.repo.root, "--format", "json").data["trail"]
        for change in entry["changes"]
        if change["what"] == "price"
    ]
    assert "quoted 150.00 EUR" in changes
    assert changes[-1].startswith("quoted 160.00 EUR")


def settled(text: str) -> str:
    """Settle a conflict in favour of the price that bo wrote."""
    kept: list[str] = []
    inside = False
    for line in text.split("\n"):
        if line.startswith(("<<<<<<<", "=======", ">>>>>>>")):
            inside = not line.startswith(">>>>>>>")
        elif not (inside and "150.00 EUR" in line):
            kept.append(line)
    return "\n".join(kept)
