"""Export: tables that an engine which knows nothing of jobkit (DuckDB) can read and count."""

from __future__ import annotations

import json
import os
import resource
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import duckdb
import jsonschema
import pytest

from jobkit.jobs.sorts import ENTRIES
from jobkit.pages.tables.export import NAMES
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import EXAMPLE
from tests.conftest import Run

SCHEMAS = Path(__file__).parent.parent.parent / "schema/export"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    shutil.copytree(EXAMPLE, tmp_path / "book")
    return tmp_path / "book"


def files(folder: Path) -> dict[str, bytes]:
    """Read every file but the notes of the export, which have the times of the files in them."""
    there = (path for path in folder.rglob("*") if path.is_file() and path.name != NOTES)
    return {str(path.relative_to(folder)): path.read_bytes() for path in there}


NOTES = ".jobkit-export.json"


def rows(folder: Path, table: str) -> list[dict[str, Any]]:
    paths = sorted(folder.glob(f"{table}/year=*/{table}.jsonl"))
    return [json.loads(line) for path in paths for line in path.read_text("utf-8").splitlines()]


def asked(question: str, folder: Path) -> list[tuple[Any, ...]]:
    answer = duckdb.sql(question.replace("DIR", str(folder)))
    assert answer is not None
    return answer.fetchall()


def test_every_row_holds_to_its_schema(book: Path, tmp_path: Path, run: Run) -> None:
    bench = (book / "bench.toml").read_text("utf-8")
    (book / "bench.toml").write_text(bench.replace("[lint]", '[lint]\nnote = ["no-such-rule"]', 1), "utf-8")
    job = next(iter(sorted(book.glob("jobs/2026/*.toml"))))
    job.write_text(job.read_text("utf-8").replace("cold", "colt", 1), "utf-8")
    assert run("--book", book, "export", tmp_path / "out").status == 0
    for table in NAMES:
        schema = json.loads((SCHEMAS / f"{table}.schema.json").read_text("utf-8"))
        jsonschema.Draft202012Validator.check_schema(schema)
        gate = jsonschema.Draft202012Validator(schema, format_checker=jsonschema.FormatChecker())
        found = rows(tmp_path / "out", table)
        assert found, table
        for row in (*found, *schema["examples"]):
            gate.validate(row)
            assert set(row) == set(schema["properties"]), table
    assert (tmp_path / "out/findings/year=0").is_dir()


def test_an_engine_counts_what_the_files_say(book: Path, tmp_path: Path, run: Run) -> None:
    """Counted another way: headers of entries in the text of the files, and what `summarise` lists."""
    run("--book", book, "export", tmp_path / "out", "--on", "2026-11-20")
    texts = [path.read_text("utf-8") for path in book.glob("jobs/*/*.toml")]
    for table, header in ((sort.field, f"[[{'.'.join(sort.path)}]]") for sort in ENTRIES):
        (counted,) = asked(
            "select count(*) from 'DIR/TABLE/*/*.jsonl'".replace("TABLE", table), tmp_path / "out"
        )
        assert counted == (sum(line == header for text in texts for line in text.splitlines()),), table
    listed = run("--book", book, "summarise", "--format", "json", "--on", "2027-12-31").data["jobs"]
    found = asked("select id, outcome from 'DIR/jobs/*/*.jsonl' order by id", tmp_path / "out")
    assert found == sorted((job["id"], job["outcome"]) for job in listed)


def test_the_year_of_the_folder_is_a_column(book: Path, tmp_path: Path, run: Run) -> None:
    run("--book", book, "export", tmp_path / "out")
    found = asked(
        "select year, count(*) from read_json('DIR/jobs/*/*.jsonl', hive_partitioning = true)"
        " group by year order by year",
        tmp_path / "out",
    )
    years = sorted({path.parent.name for path in book.glob("jobs/*/*.toml")})
    assert found == [(int(year), len(list(book.glob(f"jobs/{year}/*.toml")))) for year in years]


def test_a_second_run_leaves_the_same_bytes_and_what_is_gone_goes(
    book: Path, tmp_path: Path, run: Run
) -> None:
    out = tmp_path / "out"
    run("--book", book, "export", out)
    first = files(out)
    (out / "notes.txt").write_text("mine")
    (out / "jobs/year=1999").mkdir()
    (out / "jobs/year=1999/jobs.jsonl").write_text("{}\n")
    (out / "jobs/year=2026/.jobs.jsonl.123.tmp").write_text("left by a killed run")
    run("--book", book, "export", out)
    assert files(out) == {**first, "notes.txt": b"mine"}
    for path in book.glob("jobs/2025/*.toml"):
        path.unlink()
    run("--book", book, "export", out)
    assert not any("year=2025" in name for name in files(out))


def test_a_revision_is_exported_as_it_was(
    book: Path, tmp_path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    forget_git_settings(monkeypatch)
    repo = GitRepo.make(book)
    repo.commit("As it was")
    run("--book", book, "export", tmp_path / "then", "--on", "2026-11-20")
    for path in book.glob("jobs/2026/*.toml"):
        path.write_text(path.read_text("utf-8").replace("cold", "warm"), "utf-8")
    run("--book", book, "export", tmp_path / "now", "--on", "2026-11-20")
    run("--book", book, "export", tmp_path / "rev", "--on", "2026-11-20", "--rev", "HEAD")
    assert files(tmp_path / "rev") == files(tmp_path / "then") != files(tmp_path / "now")


@pytest.mark.parametrize("name", ["book", "book/jobs", "book/jobs/2026", "book/bench.toml"])
def test_the_book_itself_is_not_written_into(name: str, book: Path, tmp_path: Path, run: Run) -> None:
    before = files(book)
    ran = run("--book", book, "export", tmp_path / name)
    assert ran.status == 2
    assert ran.err.count("\n") == 1
    assert files(book) == before


def test_a_folder_that_cannot_be_written_to_is_one_line(book: Path, tmp_path: Path, run: Run) -> None:
    (tmp_path / "file").write_text("")
    ran = run("--book", book, "export", tmp_path / "file/below")
    assert (ran.status, ran.out) == (2, "")
    assert "cannot be written: there is a file in place of its folder" in ran.err


RECIPE = """
select design, cause_part, count(*) as jobs, round(avg(minutes)) as minutes
from 'DIR/jobs/*/*.jsonl' where cause_part is not null group by all order by jobs desc, design, cause_part limit 5
"""


def test_the_question_of_the_readme_is_answered(book: Path, tmp_path: Path, run: Run) -> None:
    run("--book", book, "export", tmp_path / "out")
    found = asked(RECIPE, tmp_path / "out")
    assert 0 < len(found) <= 5
    assert all(jobs >= 1 for _, _, jobs, _ in found)


LINKS = {
    "the folder": ("tables", "../outside"),
    "the folder of a table": ("tables/jobs", "../../outside"),
    "the folder of a year": ("tables/jobs/year=2026", "../../../outside"),
    "a file that is left from a killed run": (
        f"tables/jobs/year=2026/.jobs.jsonl.{os.getpid()}.tmp", "../../../../outside/victim"
    ),
    "a file": ("tables/jobs/year=2026/jobs.jsonl", "../../../../outside/victim"),
}  # fmt: skip


@pytest.mark.parametrize(("link", "target"), LINKS.values(), ids=LINKS)
def test_nothing_is_written_through_a_link_that_came_with_the_book(
    link: str, target: str, book: Path, tmp_path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "outside").mkdir()
    (tmp_path / "outside/victim").write_text("mine")
    (tmp_path / "outside/jobs.jsonl").write_text("mine")
    (book / link).parent.mkdir(parents=True, exist_ok=True)
    (book / link).symlink_to(target)
    monkeypatch.chdir(book)
    ran = run("export", "tables")
    assert files(tmp_path / "outside") == {"victim": b"mine", "jobs.jsonl": b"mine"}
    if "file" in link or link.endswith((".jsonl", ".tmp")):
        assert ran.status == 0
    else:
        assert (ran.status, ran.err.count("\n")) == (2, 1)
        assert f"{link} is a symbolic link, which jobkit does not follow" in ran.err


def test_a_full_disk_is_one_line_and_leaves_the_old_tables(book: Path, tmp_path: Path, run: Run) -> None:
    """The kernel itself refuses in the middle of a table: no file of the process may be larger than this."""
    out = tmp_path / "out"
    run("--book", book, "export", out)
    job = book / "jobs/2026/K26-0047.toml"
    job.write_text(job.read_text("utf-8").replace("cold", "warm", 1), "utf-8")
    before = files(out)
    done = subprocess.run(
        [sys.executable, "-m", "jobkit", "--no-cache", "--book", str(book), "export", str(out)],
        cwd=Path(__file__).parent.parent.parent,
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (5000, 5000)),
    )
    assert (done.returncode, done.stdout) == (2, "")
    assert (
        done.stderr
        == f"jobkit: {out} cannot be written: the file may not grow that large; raise the file size limit\n"
    )
    assert files(out) == before


def test_a_name_that_is_not_utf_8_is_spelled_out(book: Path, tmp_path: Path, run: Run) -> None:
    (book / os.fsdecode(b"jobs/2026/\xff.toml")).write_text("id = ")
    (book / os.fsdecode(b"jobs/2026/K26-\xfe.toml")).write_text(
        (book / "jobs/2026/K26-0047.toml").read_text()
    )
    out = tmp_path / os.fsdecode(b"\xff")
    assert run("--book", book, "export", out).status == 0
    out.rename(tmp_path / "out")
    found = asked("select distinct file from 'DIR/findings/*/*.jsonl'", tmp_path / "out")
    assert (r"jobs/2026/\xff.toml",) in found
    found = asked("select file from 'DIR/jobs/*/*.jsonl'", tmp_path / "out")
    assert (r"jobs/2026/K26-\xfe.toml",) in found


def test_several_books_are_told_apart_by_their_names(book: Path, tmp_path: Path, run: Run) -> None:
    out = tmp_path / "out"
    assert run("export", out, "--book", book, "--book", EXAMPLE, "--on", "2026-11-20").status == 0
    one = tmp_path / "one"
    assert run("export", one, "--book", EXAMPLE, "--on", "2026-11-20").status == 0
    for table in NAMES:
        assert len(rows(out, table)) == 2 * len(rows(one, table))
    jobs = {row["id"]: row for row in rows(out, "jobs")}
    assert {job.split("/")[0] for job in jobs} == {book.name, EXAMPLE.name}
    back = [row for row in jobs.values() if row["comeback_of"]]
    assert back
    assert all(row["comeback_of"] in jobs and row["file"].startswith(row["id"].split("/")[0]) for row in back)
    assert {row["job"] for row in rows(out, "readings")} <= jobs.keys()
    donors = {row["source"] for row in rows(out, "used")} - {None, "stock", "bought", "client"}
    assert donors
    assert donors <= jobs.keys()


def test_the_folder_of_no_book_is_written_to(book: Path, run: Run) -> None:
    ran = run("export", book / "jobs", "--book", EXAMPLE, "--book", book)
    assert (ran.status, ran.out) == (2, "")
    assert "is the folder of the book" in ran.err
