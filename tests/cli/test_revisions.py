"""`--rev` everywhere: a command that reads an older revision answers as it did then, settings and board files too."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
import typer.main

from jobkit.cli.start.app import COMMANDS, app
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import EXAMPLE
from tests.conftest import Run

ABOUT = {
    "show": ("47",),
    "warranty": ("47",),
    "bill": ("47",),
    "report": ("47",),
    "trail": ("47",),
    "suspects": ("47",),
    "usual": ("tarnhow-t7-16",),
    "week": ("2026-W43",),
}
"""What the commands that need one are asked about."""

LATER = {
    "bench.toml": (("Skerrie Bench", "Another Bench"), ('rate = "48.00 EUR"', 'rate = "60.00 EUR"'), ("24 %", "7 %")),
    "boards/tarnhow-t7-16.toml": (("10 Ω", "1 Ω"), ("graphics card", "capture card")),
    "meters.toml": (("2026-", "2025-"),),
    "stock.toml": (("counted    = 1", "counted    = 3"), ("counted = 1", "counted = 3")),
    "jobs/2026/K26-0047.toml": (
        ("0.4 Ω", "40 Ω"), ("155.00 EUR", "1.00 EUR"), ("P6M", "P1M"), ("repaired", "declined"),
    ),
}  # fmt: skip
"""What changes after the revision that is asked for."""


def with_revision() -> list[str]:
    """Name every command that takes --rev."""
    group = typer.main.get_command(app)
    context = typer.Context(group)
    commands = {name: group.get_command(context, name) for name in COMMANDS}  # type: ignore[attr-defined]
    return [
        name
        for name, command in commands.items()
        # What export writes goes into a folder: see test_export.
        if name != "export" and any("--rev" in one.opts for one in command.params)
    ]


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Make a book with a past, in a larger repository, and a clone that stands where that past was the present."""
    with pytest.MonkeyPatch.context() as patch:
        forget_git_settings(patch)
        root = tmp_path_factory.mktemp("revisions")
        repo = GitRepo.make(root / "now")
        shutil.copytree(EXAMPLE, repo.root / "the book")
        repo.commit("As it was")
        for name, slips in LATER.items():
            place = repo.root / "the book" / name
            text = place.read_text("utf-8")
            for old, new in slips:
                text = text.replace(old, new)
            place.write_text(text, "utf-8")
        (repo.root / "the book/jobs/2026/K26-0041.toml").unlink()
        repo.commit("As it is")
        then = repo.clone(root / "then")
        then.git("checkout", "-q", "--detach", "HEAD~1")
    return repo.root / "the book", root / "then" / "the book"


def test_the_commands_that_read_jobs_take_a_revision() -> None:
    assert {"lint", "show", "summarise", "week", "due", "warranty", "report", "bill", "trail"} <= {
        *with_revision()
    }


@pytest.mark.parametrize("command", with_revision())
def test_an_older_revision_answers_as_it_did(
    run: Run, books: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    forget_git_settings(monkeypatch)
    now, then = books
    words = [command, *ABOUT.get(command, ()), *(() if command == "lint" else ("--on", "2026-11-20"))]
    was = run(*words, "--book", then)
    # An invoice says that the book has no name of the client; a revision has none, and is not asked for one.
    said = "jobkit: no name for c-031 in private/clients.toml; write name and address under [client.c-031]\n"
    assert (was.status in {0, 1}, was.err) == (True, said if command == "bill" else "")
    assert was.out
    assert run(*words, "--book", now, "--rev", "HEAD~1") == was._replace(err="")
    assert run(*words, "--book", now) != was
    ran = run(*words, "--book", now, "--rev", "nope")
    assert (ran.status, ran.out, "'nope' names no commit" in ran.err) == (2, "", True)
