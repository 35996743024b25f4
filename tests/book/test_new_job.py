"""New job files: the next free id, and no two jobs under one."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from jobkit.book.disk.errors import TakenError
from jobkit.book.read.load import load_job
from jobkit.book.write.disk import create
from jobkit.book.write.new_job import MOST, after, make_job, next_id, text_of, trouble_with
from jobkit.jobs.job_folder import job_file
from tests.at_the_bench import bench_book

VALUES: dict[str, Any] = {
    "client": "c-031",
    "title": 'Says "no signal"',
    "board": {"kind": "graphics card", "kept_back": ["bracket"]},
    "intake": {"complaint": "No picture"},
    "dates": {"received": date(2026, 10, 19)},
}


@pytest.mark.parametrize(
    ("paths", "found"),
    [
        ([], "K26-0001"),
        (["jobs/2026/K26-0009.toml"], "K26-0010"),
        (["jobs/2026/K26-0009.toml", "jobs/2026/M26-0044.toml", "jobs/2025/K25-0213.toml"], "K26-0010"),
        (["jobs/2026/K26-0003/load.csv"], "K26-0004"),
        (["jobs/2026/K26-9999.toml"], "K26-10000"),
        (["jobs/2025/K26-0020.toml"], "K26-0021"),
        (["boards/K26-0050.toml", "jobs/2026/notes.toml"], "K26-0001"),
    ],
)
def test_the_next_id_is_behind_the_last_that_was_taken(paths: list[str], found: str) -> None:
    assert next_id(paths, "K", 2026) == found


def test_a_new_file_is_sound_and_laid_out_like_the_others() -> None:
    text = text_of("K26-0061", VALUES)
    assert load_job(job_file("K26-0061"), text.encode()).troubles == ()
    assert text == (
        "#:schema ../../schema/job.schema.json\n"
        "format = 1\n"
        'id     = "K26-0061"\n'
        'client = "c-031"\n'
        "title  = 'Says \"no signal\"'\n"
        "\n[board]\n"
        'kind      = "graphics card"\n'
        'kept_back = ["bracket"]\n'
        "\n[intake]\n"
        'complaint = "No picture"\n'
        "\n[dates]\n"
        "received = 2026-10-19\n"
    )


def _made_in(root: Path) -> Callable[[str, str], None]:
    return lambda path, text: create(root, path, text)


def test_a_taken_id_is_passed_by(tmp_path: Path) -> None:
    root = bench_book(tmp_path)
    first = make_job("K26-0007", lambda job_id: text_of(job_id, VALUES), _made_in(root))
    assert first == "K26-0008"
    assert 'id     = "K26-0008"' in (root / job_file(first)).read_text("utf-8")


def test_when_no_id_is_left_that_is_said(tmp_path: Path) -> None:
    last = f"K26-{MOST}"
    make_job(last, lambda job_id: text_of(job_id, VALUES), _made_in(tmp_path))
    with pytest.raises(TakenError):
        make_job(last, lambda job_id: text_of(job_id, VALUES), _made_in(tmp_path))
    assert after("K26-0009") == "K26-0010"


def test_two_processes_never_take_one_id(tmp_path: Path) -> None:
    code = (
        "import sys; from pathlib import Path; from jobkit.book.write import disk, new_job\n"
        "def make(path, text): disk.create(Path(sys.argv[1]), path, text)\n"
        "for _ in range(15): new_job.make_job('K26-0001', lambda i: f'id = \"{i}\" # {sys.argv[2]}\\n', make)"
    )
    both = [subprocess.Popen([sys.executable, "-c", code, str(tmp_path), name]) for name in ("ida", "tor")]
    assert [one.wait(60) for one in both] == [0, 0]
    texts = [path.read_text() for path in sorted(tmp_path.glob("jobs/2026/*.toml"))]
    assert [text.split('"')[1] for text in texts] == [f"K26-{number:04d}" for number in range(1, 31)]
    assert sum("ida" in text for text in texts) == 15


@pytest.mark.parametrize(
    ("path", "value", "message"),
    [
        (("client",), "c-031", ""),
        (("client",), "Somebody", "client cannot be"),
        (("board", "design"), "Tarnhow T7", "design cannot be"),
        (("intake", "from"), "Iceland", "from cannot be"),
        (("dates", "received"), date(2026, 10, 19), ""),
        (("title",), "", "title is empty"),
    ],
)
def test_each_answer_is_held_to_the_schema(path: tuple[str, ...], value: object, message: str) -> None:
    trouble = trouble_with(path, value)
    assert (trouble.message if trouble else "").startswith(message)
    assert bool(trouble) is bool(message)
