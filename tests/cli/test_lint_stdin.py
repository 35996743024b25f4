"""`jobkit lint --stdin PATH`: unsaved text is checked as the file would be once it is saved."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import pytest

from jobkit.book.shelf.opening import Tree, kind_of
from jobkit.book.shelf.overlay import Overlay
from jobkit.cli.start.main import main
from jobkit.lint.run.partial import lint_few
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import JOB, JOB_PATH, line_of, make_book
from tests.conftest import Run
from tests.lint.broken_books import Broken, broken_books
from tests.lint.laid import lay, opened
from tests.long_run import share

Type = Callable[[str | bytes], None]


@pytest.fixture
def typed(monkeypatch: pytest.MonkeyPatch) -> Type:
    """Give a text on stdin."""

    def give(text: str | bytes) -> None:
        data = text if isinstance(text, bytes) else text.encode()
        monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(data)))

    return give


def test_the_unsaved_text_is_checked_and_the_saved_one_stays(tmp_path: Path, run: Run, typed: Type) -> None:
    book = make_book(tmp_path)
    typed(JOB.replace('"0.4 Ω"', '"0.4 kg"'))
    ran = run("lint", "--stdin", book / JOB_PATH, "--format", "json")
    assert ran.status == 1
    (finding,) = ran.data["findings"]
    assert (finding["file"], finding["line"]) == (JOB_PATH, line_of(JOB, '"0.4 Ω"'))
    assert (book / JOB_PATH).read_text("utf-8") == JOB
    assert run("lint", book / JOB_PATH).status == 0


def test_a_file_that_was_never_saved_is_checked_in_its_book(tmp_path: Path, run: Run, typed: Type) -> None:
    book = make_book(tmp_path)
    typed(JOB.replace("K26-0001", "K27-0003").replace("alder-a1", "alder-a2"))
    ran = run("lint", "--stdin", book / "jobs/2027/K27-0003.toml")
    assert ran.status == 1
    assert "jobs/2027/K27-0003.toml:9:1: error design-unknown" in ran.out


@pytest.mark.parametrize("path", ["boards/alder-a1.toml", "bench.toml", "private/clients.toml"])
def test_the_own_files_of_the_bench_are_checked_too(tmp_path: Path, run: Run, typed: Type, path: str) -> None:
    book = make_book(tmp_path)
    typed("format = 1\nnonsense = 1\n")
    assert f"{path}:2:1: error schema: unknown key" in run("lint", "--stdin", book / path).out


def test_line_ends_of_an_editor_on_windows_move_no_finding(tmp_path: Path, run: Run, typed: Type) -> None:
    book = make_book(tmp_path)
    slipped = JOB.replace('"0.4 Ω"', '"0.4 kg"')
    typed(slipped)
    plain = run("lint", "--stdin", book / JOB_PATH).out
    typed(slipped.replace("\n", "\r\n"))
    assert run("lint", "--stdin", book / JOB_PATH).out == plain


def test_half_typed_text_is_one_finding(tmp_path: Path, run: Run, typed: Type) -> None:
    book = make_book(tmp_path)
    typed(JOB + "\n[[reading]]\nvalue = ")
    ran = run("lint", "--stdin", book / JOB_PATH, "--format", "json")
    assert [one["rule"] for one in ran.data["findings"]] == ["schema"]


@pytest.mark.parametrize("uncached", [False, True])
def test_a_sent_job_is_sealed_before_it_is_saved(
    tmp_path: Path, run: Run, typed: Type, monkeypatch: pytest.MonkeyPatch, *, uncached: bool
) -> None:
    forget_git_settings(monkeypatch)
    repo = GitRepo.make(tmp_path)
    make_book(tmp_path)
    repo.commit("Sent")
    if uncached:
        monkeypatch.setenv("JOBKIT_NO_CACHE", "1")
    typed(JOB.replace('"23.4 Ω"', '"32.4 Ω"'))
    assert "error sealed: the job was sent" in run("lint", "--stdin", tmp_path / JOB_PATH).out
    typed(JOB)
    assert "no problems" in run("lint", "--stdin", tmp_path / JOB_PATH).out


MISUSES = {
    "another file": (("jobs",), "leave out the other files"),
    "staged": (("--staged",), "leave out the other files"),
    "a revision": (("--rev", "HEAD"), "leave out the other files"),
    "two books": (("--book", ".", "--book", ".."), "name one --book"),
}


@pytest.mark.parametrize(("words", "fix"), MISUSES.values(), ids=MISUSES)
def test_it_checks_one_file_alone(
    tmp_path: Path, run: Run, typed: Type, words: tuple[str, ...], fix: str
) -> None:
    typed(JOB)
    ran = run("lint", "--stdin", make_book(tmp_path) / JOB_PATH, *words)
    assert (ran.status, ran.out) == (2, "")
    assert fix in ran.err


@pytest.mark.parametrize("path", ["jobs/2026/K26-0001/load.csv", "README.md", "jobs/x.toml"])
def test_a_file_that_lint_does_not_check_is_refused(tmp_path: Path, run: Run, typed: Type, path: str) -> None:
    typed(JOB)
    ran = run("lint", "--stdin", make_book(tmp_path) / path)
    assert ran.status == 2
    assert f"lint does not check {path}" in ran.err


def test_a_file_outside_a_book_is_refused(tmp_path: Path, run: Run, typed: Type) -> None:
    typed(JOB)
    assert "no bench.toml" in run("lint", "--stdin", tmp_path / "x.toml").err
    ran = run("lint", "--book", make_book(tmp_path / "book"), "--stdin", tmp_path / "x.toml")
    assert "outside the book" in ran.err


def test_text_that_is_too_large_or_missing_is_told(
    tmp_path: Path, run: Run, typed: Type, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = make_book(tmp_path)
    typed(b"#" * 16_000_001)
    ran = run("lint", "--stdin", book / JOB_PATH)
    assert ran.status == 2
    assert "larger than" in ran.err
    monkeypatch.setattr("sys.stdin", None)
    assert main(["lint", "--stdin", str(book / JOB_PATH)]) == 1


CHANGED = [
    one
    for one in broken_books()
    if all(text and not path.startswith("later/") for path, text in one.files.items())
]


@pytest.mark.parametrize("broken", share(CHANGED, 3), ids=lambda broken: broken.name)
def test_the_findings_are_those_of_the_saved_text(broken: Broken, tmp_path: Path) -> None:
    texts = {
        path: text for path, text in broken.files.items() if kind_of(path) not in {"attachment", "other"}
    }
    rest = {path: text for path, text in broken.files.items() if path not in texts}
    saved = lay(tmp_path / "saved", broken.files)
    unsaved = lay(tmp_path / "unsaved", rest)
    overlay = Overlay(Tree(unsaved), {path: text.encode() for path, text in texts.items()})
    jobs = sorted(path for path in texts if kind_of(path) == "job")
    seen = lint_few(opened(unsaved, overlay), texts.__contains__, jobs).findings
    few = lint_few(opened(saved), texts.__contains__, jobs).findings
    assert seen == few
