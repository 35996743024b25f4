"""What is wrong in private/clients.toml is said without a word of it: findings end up in logs and tables."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.book.repo import GitRepo
from tests.books import JOB, JOB_PATH, make_book
from tests.conftest import Run

WORD = "Zaubernuss"
HEAD = "format = 1\n[client.c-001]\n"
SLIPS = {
    "unknown key": f'{HEAD}name = "A"\n{WORD} = "A"\n',
    "unknown key at the top": f"format = 1\n{WORD} = 1\n",
    "mistyped key": f'{HEAD}nmae = "{WORD}"\n',
    "no name": f'format = 1\n[client."{WORD}"]\ncountry = "IS"\n',
    "empty name": f'format = 1\n[client."{WORD}"]\nname = ""\n',
    "text for a list": f'{HEAD}name = "A"\naddress = "{WORD}"\n',
    "list for a text": f'{HEAD}name = ["{WORD}"]\n',
    "table for a text": f'{HEAD}name = "A"\nphone = {{ {WORD} = "{WORD}" }}\n',
    "number in a list": f'{HEAD}name = "A"\naddress = ["{WORD}", 4930555]\n',
    "no mail address": f'{HEAD}name = "A"\nmail = "{WORD} at home"\n',
    "no country": f'{HEAD}name = "A"\ncountry = "{WORD}"\n',
    "no day": f'{HEAD}name = "A"\nsince = "{WORD}"\n',
    "text for a client": f'format = 1\n[client]\n{WORD} = "c-001"\n',
    "no format": f'format = "{WORD}"\n',
    "a later format": f'format = 7\n[client.c-001]\nname = "{WORD}"\n',
    "no quotes": f"{HEAD}name = {WORD}\n",
    "decimal comma": f"{HEAD}name = 4930555,5 # {WORD}\n",
    "a table twice": f'format = 1\n[client.{WORD}]\nname = "A"\n[client.{WORD}]\nname = "B"\n',
    "key of two words": f'{HEAD}{WORD} Weg = "A"\n',
    "key without a value": f"{HEAD}{WORD}\n",
    "unfinished merge": f'<<<<<<< ours\n{HEAD}name = "{WORD}"\n=======\n>>>>>>> theirs\n',
    "not UTF-8": f'{HEAD}name = "{WORD} Möbius"\n'.encode("latin-1"),
    "too large a number": f"{HEAD}name = 9{'0' * 60} # {WORD}\n",
}


@pytest.mark.parametrize("content", SLIPS.values(), ids=SLIPS)
def test_no_answer_repeats_what_stands_in_it(tmp_path: Path, run: Run, content: str | bytes) -> None:
    root = make_book(tmp_path / "book", {"private/clients.toml": content})
    for form in ("text", "json", "sarif", "github"):
        ran = run("lint", "--book", root, "--format", form)
        assert ran.status == 1
        assert "private/clients.toml" in ran.out
        assert WORD not in ran.out + ran.err
        assert "4930555" not in ran.out + ran.err


@pytest.mark.parametrize("content", SLIPS.values(), ids=SLIPS)
def test_export_leaves_findings_about_private_out(tmp_path: Path, run: Run, content: str | bytes) -> None:
    root = make_book(tmp_path / "book", {"private/clients.toml": content})
    assert run("--book", root, "export", tmp_path / "out").status == 0
    written = [path.read_text("utf-8") for path in (tmp_path / "out").rglob("*.jsonl")]
    assert written
    assert not [text for text in written if "private" in text or WORD in text]


def test_export_leaves_out_that_a_private_file_is_in_git(tmp_path: Path, run: Run) -> None:
    repo = GitRepo.make(tmp_path / "book")
    make_book(repo.root)
    repo.commit("Too much", {f"private/{WORD}.toml": "format = 1\n"})
    assert f"private/{WORD}.toml" in run("lint", "--book", repo.root).out
    assert run("--book", repo.root, "export", tmp_path / "out").status == 0
    assert not [path for path in (tmp_path / "out").rglob("*.jsonl") if WORD in path.read_text("utf-8")]


def test_a_slip_is_told_with_its_line_and_how_to_write_it(tmp_path: Path, run: Run) -> None:
    root = make_book(tmp_path, {"private/clients.toml": f'{HEAD}nmae = "A"\nphone = 441632960100\n'})
    assert run("lint", "--book", root).out.splitlines()[:-1] == [
        'private/clients.toml:2:9: error schema: "name" is missing',
        '    write it like "Renders at Hollin Mill"',
        "private/clients.toml:3:1: error schema: unknown key",
        '    write "name"',
        'private/clients.toml:4:1: error schema: "phone" has a value that does not fit here',
        '    write it like "+44 1632 960100"',
    ]


def test_a_paper_tells_of_the_slip_by_its_line(tmp_path: Path, run: Run) -> None:
    content = f'{HEAD}name = "A"\n{WORD} = 1\n'
    root = make_book(tmp_path, {JOB_PATH: JOB, "private/clients.toml": content})
    ran = run("--book", root, "report", "1", "--on", "2026-11-20")
    assert ran.status == 0
    assert "private/clients.toml line 4: unknown key" in ran.err
    assert WORD not in ran.err
