"""The book is found from anywhere inside it."""

from pathlib import Path

import pytest

from jobkit.book.shelf.find import NoBookError, find_book


@pytest.fixture
def book(tmp_path: Path) -> Path:
    book = tmp_path / "the book"
    (book / "jobs/2026/K26-0001").mkdir(parents=True)
    (book / "bench.toml").write_text("format = 1\n")
    (book / "jobs/2026/K26-0001.toml").write_text("")
    return book


@pytest.mark.parametrize(
    "start", [".", "bench.toml", "jobs", "jobs/2026/K26-0001", "jobs/2026/K26-0001.toml"]
)
def test_from_inside(book: Path, start: str) -> None:
    assert find_book(book / start) == book


def test_from_the_current_folder(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(book / "jobs")
    assert find_book(".") == book


def test_the_nearest_book_is_meant(book: Path) -> None:
    (book / "jobs/bench.toml").write_text("")
    assert find_book(book / "jobs/2026") == book / "jobs"


def test_through_a_link(book: Path, tmp_path: Path) -> None:
    (tmp_path / "today").symlink_to(book / "jobs/2026")
    assert find_book(tmp_path / "today") == book


def test_a_broken_bench_file_is_not_passed_by(book: Path) -> None:
    (book / "jobs/bench.toml").symlink_to("nowhere")
    assert find_book(book / "jobs/2026") == book / "jobs"


@pytest.mark.parametrize(
    ("start", "said"),
    [
        (
            ".",
            r"there is no bench.toml in .* or in a folder above it; create a book with `jobkit init`.* --book",
        ),
        ("not there", r"there is no .*not there; name the folder of a book with --book"),
    ],
)
def test_no_book(tmp_path: Path, start: str, said: str) -> None:
    with pytest.raises(NoBookError, match=said):
        find_book(tmp_path / start)
