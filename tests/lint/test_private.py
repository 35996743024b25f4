"""What is wrong in private/clients.toml is said without a word of it: findings end up in logs, tables and kept answers."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.book.repo import GitRepo
from tests.books import JOB, JOB_PATH, make_book
from tests.conftest import Run

SECRET = "Zaubernuss"
HEAD = "format = 1\n[client.c-001]\n"
SLIPS = {
    "unknown key": f'{HEAD}name = "A"\n{SECRET} = "A"\n',
    "unknown key at the top": f"format = 1\n{SECRET} = 1\n",
    "mistyped key": f'{HEAD}nmae = "{SECRET}"\n',
    "no name": f'format = 1\n[client."{SECRET}"]\ncountry = "IS"\n',
    "empty name": f'format = 1\n[client."{SECRET}"]\nname = ""\n',
    "text for a list": f'{HEAD}name = "A"\naddress = "{SECRET}"\n',
    "list for a text": f'{HEAD}name = ["{SECRET}"]\n',
    "table for a text": f'{HEAD}name = "A"\nphone = {{ {SECRET} = "{SECRET}" }}\n',
    "number in a list": f'{HEAD}name = "A"\naddress = ["{SECRET}", 4930555]\n',
    "no mail address": f'{HEAD}name = "A"\nmail = "{SECRET} at home"\n',
    "no country": f'{HEAD}name = "A"\ncountry = "{SECRET}"\n',
    "no day": f'{HEAD}name = "A"\nsince = "{SECRET}"\n',
    "text for a client": f'format = 1\n[client]\n{SECRET} = "c-001"\n',
    "no format": f'format = "{SECRET}"\n',
    "a later format": f'format = 7\n[client.c-001]\nname = "{SECRET}"\n',
    "no quotes": f"{HEAD}name = {SECRET}\n",
    "decimal comma": f"{HEAD}name = 4930555,5 # {SECRET}\n",
    "a table twice": f'format = 1\n[client.{SECRET}]\nname = "A"\n[client.{SECRET}]\nname = "B"\n',
    "key of two words": f'{HEAD}{SECRET} Weg = "A"\n',
    "key without a value": f"{HEAD}{SECRET}\n",
    "unfinished merge": f'<<<<<<< ours\n{HEAD}name = "{SECRET}"\n=======\n>>>>>>> theirs\n',
    "not UTF-8": f'{HEAD}name = "{SECRET} Möbius"\n'.encode("latin-1"),
    "too large a number": f"{HEAD}name = 9{'0' * 60} # {SECRET}\n",
}


@pytest.mark.parametrize("content", SLIPS.values(), ids=SLIPS)
def test_no_answer_repeats_what_stands_in_it(tmp_path: Path, run: Run, content: str | bytes) -> None:
    root = make_book(tmp_path / "book", {"private/clients.toml": content})
    for form in ("text", "json", "sarif", "github"):
        ran = run("lint", "--book", root, "--format", form)
        assert ran.status == 1
        assert "private/clients.toml" in ran.out
        assert SECRET not in ran.out + ran.err
        assert "4930555" not in ran.out + ran.err


@pytest.mark.parametrize("content", SLIPS.values(), ids=SLIPS)
def test_export_leaves_findings_about_private_out(tmp_path: Path, run: Run, content: str | bytes) -> None:
    root = make_book(tmp_path / "book", {"private/clients.toml": content})
    assert run("--book", root, "export", tmp_path / "out").status == 0
    written = [path.read_text("utf-8") for path in (tmp_path / "out").rglob("*.jsonl")]
    assert written
    assert not [text for text in written if "private" in text or SECRET in text]


def test_export_leaves_out_that_a_private_file_is_in_git(tmp_path: Path, run: Run) -> None:
    repo = GitRepo.make(tmp_path / "book")
    make_book(repo.root)
    repo.commit("Too much", {f"private/{SECRET}.toml": "format = 1\n"})
    assert f"private/{SECRET}.toml" in run("lint", "--book", repo.root).out
    assert run("--book", repo.root, "export", tmp_path / "out").status == 0
    assert not [path for path in (tmp_path / "out").rglob("*.jsonl") if SECRET in path.read_text("utf-8")]


def test_a_slip_is_told_with_its_line_and_how_to_write_it(tmp_path: Path, run: Run) -> None:
    root = make_book(tmp_path, {"private/clients.toml": f'{HEAD}nmae = "A"\nphone = 4930555\n'})
    assert run("lint", "--book", root).out.splitlines()[:-1] == [
        'private/clients.toml:2:9: error schema: "name" is missing',
        '    write it like "Renders at Hollin Mill"',
        "private/clients.toml:3:1: error schema: unknown key",
        '    write "name"',
        'private/clients.toml:4:1: error schema: "phone" cannot be what stands here',
        '    write it like "+354 555 0100"',
    ]


def test_a_paper_tells_of_the_slip_by_its_line(tmp_path: Path, run: Run) -> None:
    content = f'{HEAD}name = "A"\n{SECRET} = 1\n'
    root = make_book(tmp_path, {JOB_PATH: JOB, "private/clients.toml": content})
    ran = run("--book", root, "report", "1", "--on", "2026-11-20")
    assert ran.status == 0
    assert "private/clients.toml line 4: unknown key" in ran.err
    assert SECRET not in ran.err
