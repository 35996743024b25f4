"""A book that somebody else wrote holds links that lead out of it: no command writes or reads through one."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.at_the_bench import JOB_PATH
from tests.book.repo import GitRepo, forget_git_settings
from tests.cli.conftest import AtBench
from tests.conftest import Run

FOLLOWS_NONE = "is a symbolic link, which jobkit does not follow"


@pytest.fixture
def outside(bench: AtBench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a folder beside the book, a repository now, that must stay as it is; work in the book."""
    forget_git_settings(monkeypatch)
    GitRepo.make(bench.root).commit("Fill")
    bench.writes("on", "7")
    monkeypatch.chdir(bench.root)
    folder = tmp_path / "outside"
    folder.mkdir()
    for path in (JOB_PATH, "stock.toml", "bench.toml"):
        (folder / Path(path).name).write_bytes((bench.root / path).read_bytes())
    job = folder / "K26-0007.toml"
    job.write_text(job.read_text("utf-8").replace("Ω", "ohm"), "utf-8")
    return folder


def replaced(path: Path, target: Path) -> None:
    """Put a link in the place of a file or folder."""
    if path.exists():
        path.rename(path.with_name(f"was-{path.name}"))
    path.parent.mkdir(parents=True, exist_ok=True)
    path.symlink_to(target)


def state(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


FILES = {
    "tidy": (("tidy",), JOB_PATH, "K26-0007.toml"),
    "tidy of one": (("tidy", JOB_PATH), JOB_PATH, "K26-0007.toml"),
    "upgrade": (("upgrade",), "schema/job.schema.json", "victim"),
    "upgrade of a job": (("upgrade",), JOB_PATH, "K26-0007.toml"),
    "upgrade of a folder": (("upgrade",), "schema", "."),
    "read": (("read", "vmem", "23.4"), JOB_PATH, "K26-0007.toml"),
    "jot": (("jot", "work", "clean"), JOB_PATH, "K26-0007.toml"),
    "output": (("week", "-o", "week.md"), "week.md", "victim"),
    "output to a folder": (("week", "-o", "weeks/43.md"), "weeks", "."),
    "output of lint": (("lint", "-o", "out/x"), "out", "."),
    "export": (("export", "tables"), "tables", "."),
    "export below": (("export", "out/tables"), "out", "."),
    "book-in": (
        ("book-in", "--client", "c-2", "--title", "x", "--kind", "graphics card", "--complaint", "y"), "jobs/2026", "."
    ),
    "stock count": (("stock", "count", "stage-50a-5x6", "3"), "stock.toml", "stock.toml"),
}  # fmt: skip


@pytest.mark.parametrize(("words", "link", "target"), FILES.values(), ids=FILES)
def test_nothing_is_written_through_a_link(
    bench: AtBench, outside: Path, words: tuple[str, ...], link: str, target: str
) -> None:
    (outside / "victim").write_text("mine")
    replaced(bench.root / link, outside / target)
    before = state(outside)
    ran = bench(*words)
    assert state(outside) == before
    assert (bench.root / link).is_symlink()
    assert ran.status == 2
    assert FOLLOWS_NONE in ran.err or "outside the book" in ran.err or 'no item "' in ran.err, ran


def test_a_new_book_is_not_made_through_a_link(tmp_path: Path, run: Run) -> None:
    (tmp_path / "outside").mkdir()
    (tmp_path / "fresh").mkdir()
    (tmp_path / "fresh/schema").symlink_to(tmp_path / "outside")
    ran = run("init", tmp_path / "fresh", "--name", "x", "--id-letter", "K", "--zone", "UTC")
    assert (ran.status, ran.err.count("\n")) == (2, 1)
    assert f"schema {FOLLOWS_NONE}" in ran.err
    assert not [*(tmp_path / "outside").iterdir()]
    assert not (tmp_path / "fresh/bench.toml").exists()


def test_the_demo_is_not_made_through_a_link(bench: AtBench, tmp_path: Path, run: Run) -> None:
    (tmp_path / "empty").mkdir()
    (bench.root / "demo").symlink_to(tmp_path / "empty")
    ran = run("demo", bench.root / "demo")
    assert (ran.status, ran.err.count("\n")) == (2, 1)
    assert f"demo {FOLLOWS_NONE}" in ran.err
    assert not [*(tmp_path / "empty").iterdir()]


def test_undo_takes_nothing_back_through_a_link(bench: AtBench, outside: Path) -> None:
    bench.writes("read", "vmem", "23.4")
    (outside / "K26-0007.toml").write_bytes((bench.root / JOB_PATH).read_bytes())
    replaced(bench.root / JOB_PATH, outside / "K26-0007.toml")
    before = state(outside)
    ran = bench("undo")
    assert (ran.status, ran.err.count("\n")) == (2, 1)
    assert FOLLOWS_NONE in ran.err
    assert state(outside) == before


def test_attachments_are_not_taken_along_through_a_link(bench: AtBench, outside: Path) -> None:
    """Two jobs have one id; the one that gets another takes its log along, unless that is a link."""
    text = bench.text + '\n[[trial]]\nat = 2026-10-21T10:00:00\nrun = "load run"\nlog = "load.csv"\n'
    twin = bench.root / "jobs/2025/K26-0007.toml"
    twin.parent.mkdir()
    twin.write_text(text, "utf-8")
    (bench.root / "jobs/2025/K26-0007").mkdir()
    (bench.root / "jobs/2025/K26-0007/load.csv").symlink_to(outside / "stock.toml")
    ran = bench("book-in", "--renumber", str(twin))
    assert ran.status == 0
    assert f"jobs/2025/K26-0007/load.csv {FOLLOWS_NONE}" in ran.err
    assert not (bench.root / "jobs/2026/K26-0008/load.csv").exists()


@pytest.mark.parametrize("what", ["session-*.json", "written-*.jsonl"])
def test_what_is_remembered_is_not_written_through_a_link(bench: AtBench, outside: Path, what: str) -> None:
    bench.writes("read", "vmem", "23.4")
    (file,) = (bench.root / ".git/jobkit").glob(what)
    (outside / "victim").write_text("mine")
    replaced(file, outside / "victim")
    before = state(outside)
    ran = bench("read", "vmem", "23.5", "--job", "7", "--by", "tor", "--meter", "dmm-2")
    assert ran.status == 0, "the reading itself is written"
    assert FOLLOWS_NONE in ran.err
    assert state(outside) == before


def test_git_is_not_set_up_through_a_link(bench: AtBench, outside: Path, run: Run) -> None:
    hooks = bench.root / ".git/hooks"
    hooks.rename(hooks.with_name("was"))
    hooks.symlink_to(outside)
    before = state(outside)
    ran = run("wire", "--book", bench.root)
    assert (ran.status, ran.err.count("\n")) == (2, 1)
    assert f"{hooks} is a link" in ran.err
    assert state(outside) == before
