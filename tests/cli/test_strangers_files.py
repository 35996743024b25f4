"""Logs, papers, catalogues, stock, sites and exports of a stranger's book: nothing runs, nothing escapes, all ends.

Each call is a process of its own with bounds of time and memory. `test_hostile_books.py` has the files of jobs and
boards, `tests/book/test_git.py` each question to git, `tests/kept` the store of answers.
"""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import pytest

from tests.book.repo import GitRepo, forget_git_settings
from tests.conftest import Run
from tests.faults.hostile import KINDS, PRIVATE
from tests.faults.steps import Ended, call
from tests.form_readers import READERS, page, text
from tests.hostile import plain_book
from tests.long_run import LONG, share

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform == "win32", reason="pipes, links and limits as POSIX has them"),
]

DAY = ("--on", "2026-11-20")
_SECONDS = 120
_JOB = "jobs/2026/K26-0047.toml"
_LOGS_OF_42 = "jobs/2026/K26-0042"
MADE = (("site", "../site", *DAY), ("export", "../tables", *DAY))
HTML = ("report", "42", *DAY, "--format", "html")
GERMAN = ("report", "42", *DAY, "--lang", "de")
READ_BY: dict[str, tuple[tuple[str, ...], ...]] = {
    f"{_LOGS_OF_42}/memory.csv": (("memory", "42"), ("suspects", "42"), ("show", "42")),
    f"{_LOGS_OF_42}/heat-on.csv": (("heat", "42"), HTML),
    f"{_LOGS_OF_42}/load.csv": (("load", "42"), ("usual", "tarnhow-t7-16"), HTML),
    "stock.toml": (("stock", *DAY), ("stock", "--reorder", *DAY)),
    "papers/head.html": (HTML, ("bill", "42", "--format", "html")),
    "papers/style.css": (HTML,),
    "papers/de.po": (GERMAN, ("phrases", "--lang", "de")),
}
"""Files that commands of logs, papers and stock read, and those commands."""


@pytest.fixture(scope="module")
def original(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = plain_book(tmp_path_factory.mktemp("strangers") / "book")
    GitRepo.make(root).commit("The example")
    return root


@pytest.fixture
def book(original: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    forget_git_settings(monkeypatch)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("JOBKIT_BY", "ida")
    return shutil.copytree(original, tmp_path / "book")


@pytest.fixture
def victim(tmp_path: Path) -> Path:
    """Return a file outside the book that no command may read."""
    place = tmp_path / "victim.toml"
    place.write_text(f'format = 0\ntitle = "{PRIVATE}"\n')
    return place


def check(ended: Ended, victim: Path) -> None:
    """Fail where a call did not end plainly, or told or wrote what is outside the book."""
    assert ended.status in {0, 1, 2}, ended
    assert "internal error" not in ended.err
    assert "Traceback" not in ended.err
    text(ended.err)
    assert PRIVATE not in ended.out + ended.err
    assert victim.read_text() == f'format = 0\ntitle = "{PRIVATE}"\n'
    made = [
        path for name in ("site", "tables") for path in victim.with_name(name).rglob("*") if path.is_file()
    ]
    assert not [path for path in made if PRIVATE.encode() in path.read_bytes()]


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__.strip("_"))
@pytest.mark.parametrize("path", READ_BY)
def test_what_is_not_a_plain_file_is_not_read(
    book: Path, victim: Path, path: str, kind: Callable[[Path, Path], None]
) -> None:
    (book / path).unlink()
    kind(book / path, victim)
    asked = READ_BY[path]
    for words in share(asked, len(asked), KINDS.index(kind)):
        check(call(words, book, seconds=_SECONDS), victim)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__.strip("_"))
def test_site_and_export_read_none_of_them(
    book: Path, victim: Path, kind: Callable[[Path, Path], None]
) -> None:
    for path in READ_BY:
        (book / path).unlink()
        kind(book / path, victim)
    for words in share(MADE, 2, KINDS.index(kind)):
        check(call(words, book, seconds=_SECONDS), victim)


BULKY = {
    "very many keys": "".join(f"k{number} = 1\n" for number in range(1_000_000 if LONG else 100_000)),
    "tables 10,000 deep": f"[{'.'.join(['a'] * 10_000)}]\nb = 1\n",
    "tables in braces 10,000 deep": f"a = {'{ a = ' * 10_000}1{' }' * 10_000}\n",
    "lists 10,000 deep": f"a = {'[' * 10_000}{']' * 10_000}\n",
}


@pytest.mark.parametrize("kind", BULKY)
@pytest.mark.parametrize("path", [_JOB, "bench.toml", "stock.toml", "meters.toml", "papers/de.po"])
def test_bulk_ends_in_time_and_in_little_memory(book: Path, victim: Path, path: str, kind: str) -> None:
    (book / path).write_text(BULKY[kind])
    for words in (("lint", *DAY), ("stock", *DAY), GERMAN):
        check(call(words, book, seconds=_SECONDS), victim)


NAMES = ("a\nb", "\x1b[2J\x1b]52;c;aGk=\x07", "::error file=x::y", "=1+1", "\u202egpj", "<b>x", "%0A")


@pytest.mark.parametrize("names", [[name] for name in NAMES] if LONG else [NAMES], ids=ascii)
def test_names_of_files_are_told_and_not_obeyed(
    book: Path, victim: Path, names: Sequence[str], tmp_path: Path
) -> None:
    for folder, ending in (("jobs/2026", ".toml"), ("boards", ".toml"), (_LOGS_OF_42, ".csv")):
        for name in names:
            (book / folder / f"{name}{ending}").write_text("broken = \n")
    for form in ("text", "json", "sarif", "github"):
        ended = call(("lint", *DAY, "--format", form), book, seconds=_SECONDS)
        check(ended, victim)
        READERS[form](ended.out)
    for words in (("summarise", *DAY), ("show", "42"), *MADE, ("--complete", "show", "")):
        ended = call(words, book, seconds=_SECONDS)
        check(ended, victim)
        text(ended.out)
    for one in (tmp_path / "site").rglob("*.html"):
        page(one.read_text("utf-8"))


@pytest.mark.parametrize("path", ["../../../../victim.csv", "../../../private/victim.csv", "/victim.csv"])
def test_a_log_outside_the_folder_of_its_job_is_not_read(book: Path, victim: Path, path: str) -> None:
    for place in (victim.with_name("victim.csv"), book / "private/victim.csv"):
        rows = "".join(f"1,A5A5,A5A1,{20 * row},{86 if row else 24},230\n" for row in range(100))
        place.write_text(f"channel,written,read,time,{PRIVATE},power\n{rows}")
    job = book / "jobs/2026/K26-0042.toml"
    whole = job.read_text("utf-8")
    for log in ("memory.csv", "load.csv", "heat-on.csv"):
        assert f'"{log}"' in whole
        whole = whole.replace(f'"{log}"', f'"{path}"')
    job.write_text(whole, "utf-8")
    data = ("show", "42", "--format", "json")
    for words in (("memory", "42"), ("heat", "42"), ("load", "42"), ("suspects", "42"), data, HTML, *MADE):
        check(call(words, book, seconds=_SECONDS), victim)


@pytest.mark.parametrize("made_up", ["../../../../out", "/out", "K26-0047/../../../out", "."])
def test_an_id_that_leads_elsewhere_names_no_file(
    book: Path, victim: Path, made_up: str, tmp_path: Path
) -> None:
    job = book / _JOB
    job.write_text(job.read_text("utf-8").replace('"K26-0047"', f'"{made_up}"'), "utf-8")
    for words in (*MADE, ("label", "47"), ("show", "47"), ("book-in", "--renumber", _JOB)):
        check(call(words, book, seconds=_SECONDS), victim)
    assert not list(tmp_path.rglob("out*"))
    known = {"book", "cache", "site", "tables", "victim.toml"}
    assert {path.name for path in tmp_path.iterdir()} <= known


COMMANDS = [
    *(("lint",), ("lint", "--staged"), ("lint", "--rev", "HEAD"), ("lint", "--since", "HEAD~1"), ("diff",)),
    *(("diff", "--staged"), ("diff", "HEAD~1..HEAD"), ("trail", "47"), ("week",), ("due",), ("queue",)),
    *(("summarise",), ("stock",), ("comebacks",), ("earnings",), ("memory", "42"), ("heat", "42")),
    *(("load", "42"), ("suspects", "61"), ("show", "47"), ("usual", "tarnhow-t7-16"), ("bill", "42")),
    *(("report", "42", "--lang", "de"), ("warranty", "35"), ("label", "47"), ("phrases", "--lang", "nl")),
    *(("on", "62"), ("jot", "note", "x"), ("read", "vmem", "30"), ("undo", "--yes"), ("tidy", "--check")),
    *(("upgrade", "--check"), ("site", "../site"), ("export", "../tables"), ("wire",), ("wire", "--undo")),
]
_SETTINGS = (
    *("core.fsmonitor", "core.pager", "core.editor", "core.sshCommand", "core.askPass", "credential.helper"),
    *("diff.external", "diff.evil.textconv", "diff.evil.command", "filter.evil.clean", "filter.evil.smudge"),
    *("filter.evil.process", "gpg.program", "gpg.ssh.program", "merge.evil.driver", "sequence.editor"),
    *("pager.log", "pager.diff", "uploadpack.packObjectsHook", "remote.origin.uploadpack", "alias.log"),
)


@pytest.fixture
def sprung(book: Path, tmp_path: Path) -> Iterator[Path]:
    """Return the file that every trap of the repository makes when it is run."""
    place = tmp_path / "sprung"
    trap = tmp_path / "trap"
    trap.write_text(f'#!/bin/sh\ntouch "{place}"\ncat\n')
    trap.chmod(0o755)
    repo = GitRepo(book)
    repo.write(".gitattributes", "* filter=evil diff=evil merge=evil\n")
    repo.commit("Traps")
    for hook in ("post-index-change", "reference-transaction", "fsmonitor-watchman", "post-checkout"):
        repo.write(f".git/hooks/{hook}", trap.read_bytes()).chmod(0o755)
    settings = "".join(_section(name, str(trap)) for name in _SETTINGS)
    settings += '[log]\n\tshowSignature = true\n[commit]\n\tgpgSign = true\n[remote "origin"]\n\turl = ssh://h.example/x\n'
    repo.write("../included", settings)
    with (book / ".git/config").open("a") as file:
        file.write(f'{settings}[includeIf "gitdir:**"]\n\tpath = {tmp_path}/included\n')
    yield place
    repo.attempt("status")
    assert place.exists(), "the traps do not work"


def _section(name: str, trap: str) -> str:
    first, *middle, last = name.split(".")
    head = f'{first} "{".".join(middle)}"' if middle else first
    return f'[{head}]\n\t{last} = "{trap}"\n'


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_no_setting_of_a_repository_is_run(
    run: Run, book: Path, sprung: Path, words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(book)
    job = book / _JOB
    job.write_text(job.read_text("utf-8").replace("title = ", "title =  ", 1), "utf-8")
    os.utime(book / ".git/index", ns=(job.stat().st_mtime_ns, job.stat().st_mtime_ns))
    ran = run(*words)
    assert ran.status in {0, 1, 2}, ran
    assert "internal error" not in ran.err
    assert not sprung.exists()
