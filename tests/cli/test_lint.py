"""`jobkit lint` as it is used: what it finds, what it says, how it ends."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.book.repo import GitRepo
from tests.books import JOB, JOB_PATH, line_of, make_book
from tests.conftest import Run


def test_a_sound_book_has_no_findings(tmp_path: Path, run: Run) -> None:
    ran = run("lint", "--book", make_book(tmp_path))
    assert (ran.status, ran.out, ran.err) == (0, "3 files: no problems found\n", "")


def test_four_slips_are_four_findings_each_at_its_line(tmp_path: Path, run: Run) -> None:
    """A unit, a date, a key and a limit are broken in one job."""
    slips = {
        'value = "0.4 Ω"': 'value = "0.4 V"',
        "finished = 2026-10-09": "finished = 2026-10-04",
        'did = "clean"': 'did = "clean"\nmintues = 5',
        'value = "23.4 Ω"': 'value = "8.2 Ω"',
    }
    text = JOB
    for before, after in slips.items():
        text = text.replace(before, after)
    book = make_book(tmp_path, {JOB_PATH: text})
    findings = run("lint", "--book", book, "--format", "json").data["findings"]
    assert [(finding["rule"], finding["line"]) for finding in findings] == [
        ("date-order", line_of(text, "finished = ")),
        ("schema", line_of(text, '"0.4 V"')),
        ("reading-outside", line_of(text, '"8.2 Ω"')),
        ("schema", line_of(text, "mintues")),
    ]
    assert all(finding["mend"] for finding in findings)
    assert {finding["job"] for finding in findings} == {"K26-0001"}


def test_a_staged_error_stops_a_commit_though_the_working_tree_is_clean(tmp_path: Path) -> None:
    repo = GitRepo.make(tmp_path)
    make_book(tmp_path)
    repo.commit("A sound book")
    hook = tmp_path / ".git/hooks/pre-commit"
    hook.parent.mkdir(exist_ok=True)
    hook.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m jobkit lint --staged\n')
    hook.chmod(0o755)
    (tmp_path / JOB_PATH).write_text(JOB.replace('"23.4 Ω"', '"23.4 kg"'), encoding="utf-8")
    repo.git("add", "-A")
    (tmp_path / JOB_PATH).write_text(JOB, encoding="utf-8")
    ended = repo.attempt("commit", "-m", "Slip")
    assert ended.returncode == 1
    assert f"{JOB_PATH}:{line_of(JOB, '23.4')}:" in ended.stdout + ended.stderr
    repo.git("add", "-A")
    (tmp_path / "note.txt").write_text("x")
    repo.git("add", "note.txt")
    assert repo.attempt("commit", "-m", "Sound again").returncode == 0


def test_a_revision_is_read_from_git(tmp_path: Path, run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    repo = GitRepo.make(tmp_path)
    unsent = JOB.replace("sent = 2026-10-12\n", "")
    make_book(tmp_path, {JOB_PATH: unsent.replace('"23.4 Ω"', '"8.2 Ω"')})
    repo.commit("Out")
    make_book(tmp_path, {JOB_PATH: unsent})
    monkeypatch.chdir(tmp_path)
    assert run("lint").status == 0
    assert "reading-outside" in run("lint", "--rev", "HEAD").out
    ran = run("lint", "--rev", "no-such")
    assert (ran.status, ran.out) == (2, "")
    assert "no-such" in ran.err


MISUSES = {
    "no book": (["lint"], "jobkit init"),
    "no such folder": (["lint", "--book", "nowhere"], "nowhere"),
    "no such file": (["lint", "--book", "BOOK", "BOOK/jobs/2026/none.toml"], "none.toml"),
    "a file of another book": (["lint", "--book", "BOOK", "."], "outside the book"),
    "no such format": (["lint", "--book", "BOOK", "--format", "xml"], "choose one of text, json"),
    "no such option": (["lint", "--stagd"], "--stag"),
    "no such command": (["lnit"], "did you mean `jobkit lint`?"),
    "no such job": (["show", "99", "--book", "BOOK"], 'no job "99"'),
    "no such week": (["week", "2026-W54", "--book", "BOOK"], "2026 has 53 weeks"),
    "no such day": (["week", "--on", "31.12.2026", "--book", "BOOK"], "write it like 2026-10-19"),
    "not in git": (["lint", "--staged", "--book", "BOOK"], "git"),
    "a missing argument": (["verdict", "5 V"], "LIMIT"),
    "a value that is none": (["verdict", "5 kg", ">= 1 V"], "kg"),
    "a limit that is none": (["verdict", "5 V", "about 5"], "about 5"),
}


@pytest.mark.parametrize(("words", "told"), MISUSES.values(), ids=MISUSES)
def test_misuse_is_one_line_and_status_2(
    tmp_path: Path, run: Run, monkeypatch: pytest.MonkeyPatch, words: list[str], told: str
) -> None:
    book = make_book(tmp_path / "book")
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    monkeypatch.chdir(elsewhere)
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    ran = run(*[word.replace("BOOK", str(book)) for word in words])
    assert ran.status == 2
    assert ran.out == ""
    assert told in ran.err
    assert ran.err.startswith("jobkit: ")
    assert ran.err.count("\n") == 1


def test_a_fault_of_jobkit_itself_is_one_line_and_status_3(
    tmp_path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = make_book(tmp_path)
    monkeypatch.setattr("jobkit.cli.check.checking.open_book", lambda *_: 1 / 0)
    ran = run("lint", "--book", book)
    assert ran.status == 3
    assert "internal error" in ran.err
    with pytest.raises(ZeroDivisionError):
        run("lint", "--book", book, "--debug")


def _start(book: Path, *words: str, **more: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "jobkit", *words],
        cwd=book,
        env={**os.environ, **more},
        capture_output=True,
        check=False,
    )


def test_a_terminal_without_the_letters_gets_them_spelled_out(tmp_path: Path) -> None:
    text = JOB.replace('"23.4 Ω"', '"8.2 Ω"')
    ended = _start(make_book(tmp_path, {JOB_PATH: text}), "lint", PYTHONIOENCODING="cp1252", PYTHONUTF8="0")
    assert ended.returncode == 1
    assert b"8.2 ohm" in ended.stdout
    assert ended.stderr == b""


@pytest.mark.parametrize("words", ["show 1", "lint", "--help", "week --help", "summarise --format json"])
def test_a_closed_pipe_is_no_fault(tmp_path: Path, words: str) -> None:
    command = f'"{sys.executable}" -m jobkit {words} | true; exit ${{PIPESTATUS[0]}}'
    ended = subprocess.run(["bash", "-c", command], cwd=make_book(tmp_path), capture_output=True, check=False)
    assert (ended.returncode, ended.stderr) == (0, b"")


def test_lint_starts_without_the_slow_libraries(tmp_path: Path) -> None:
    code = "import sys; from jobkit.cli.start.main import main; main(['lint']); print(*sys.modules)"
    ended = subprocess.run(
        [sys.executable, "-c", code], cwd=make_book(tmp_path), capture_output=True, check=True
    )
    assert not {"typer", "click", "jsonschema", "tomlkit", "tabulate", "inspect"} & set(
        ended.stdout.decode().split()
    )


def test_options_may_stand_before_and_after(tmp_path: Path, run: Run) -> None:
    book = make_book(tmp_path)
    assert run("--book", book, "lint").out == run("lint", "--book", book).out == run("lint", book).out
    assert run("--book", book, "week", "2026-W41").out == run("week", "2026-W41", "--book", book).out


def test_an_answer_goes_whole_into_a_file(tmp_path: Path, run: Run) -> None:
    book = make_book(tmp_path / "book")
    page = run("week", "2026-W41", "--book", book).out
    ran = run("week", "2026-W41", "--book", book, "-o", tmp_path / "week.txt")
    assert (ran.status, ran.out) == (0, "")
    assert (tmp_path / "week.txt").read_text("utf-8") == page
    ran = run("week", "2026-W41", "--book", book, "-o", tmp_path / "no" / "week.txt")
    assert ran.status == 2
    assert "week.txt" in ran.err


@pytest.mark.parametrize("form", ["text", "json", "sarif", "github"])
def test_an_odd_file_name_is_told_in_every_form(tmp_path: Path, run: Run, form: str) -> None:
    book = make_book(tmp_path / "book", {"jobs/2026/a\nb.toml": "", os.fsdecode(b"jobs/2026/\xff.toml"): ""})
    written = tmp_path / "answer"
    assert run("--book", book, "lint", "--format", form, "-o", written).status == 1
    text = written.read_text("utf-8")
    assert "a\nb" not in text
    if form == "json":
        files = {found["file"] for found in json.loads(text)["findings"]}
        assert files == {"jobs/2026/a\nb.toml", "jobs/2026/\udcff.toml"}
