"""The commands on warranty, comebacks, what falls due, the week, the jobs and the client's paper, as they are used."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.book.repo import GitRepo
from tests.books import BENCH, EXAMPLE, JOB, JOB_PATH, make_book
from tests.conftest import Run
from tests.pages.ics_reader import read as read_calendar
from tests.schema.schemas import thorough

ON = ("--on", "2026-11-20")

PAGES = {
    "warranty-47.txt": ("warranty", "47"),
    "warranty-35.txt": ("warranty", "35"),
    "warranty-35.md": ("warranty", "35", "--format", "markdown"),
    "warranty-35.json": ("warranty", "35", "--format", "json"),
    "comebacks.txt": ("comebacks", "--warranty", "P12M"),
    "comebacks.json": ("comebacks", "--warranty", "P12M", "--format", "json"),
    "due.txt": ("due",),
    "due.md": ("due", "--format", "markdown"),
    "due.csv": ("due", "--format", "csv"),
    "due.json": ("due", "--format", "json"),
    "summarise-open.txt": ("summarise", "--status", "open"),
    "summarise-open.csv": ("summarise", "--status", "open", "--format", "csv"),
    "week.csv": ("week", "2026-W43", "--format", "csv"),
    "report-47.txt": ("report", "47"),
    "report-47.md": ("report", "47", "--format", "markdown"),
    "report-16.txt": ("report", "16"),
    "report-21.txt": ("report", "21"),
    "report-49.txt": ("report", "49"),
    "report-53.txt": ("report", "53"),
    "intake-61.txt": ("report", "61", "--for", "intake"),
    "intake-61.md": ("report", "61", "--for", "intake", "--format", "markdown"),
    "quote-55.txt": ("report", "55", "--for", "quote"),
    "quote-55.md": ("report", "55", "--for", "quote", "--format", "markdown"),
    "message-55.txt": ("report", "55", "--for", "message"),
    "message-36.txt": ("report", "36", "--for", "message", "--about", "sent"),
    "message-43.txt": ("report", "43", "--for", "message"),
    "message-50.txt": ("report", "50", "--for", "message"),
}


@pytest.mark.parametrize(("name", "words"), PAGES.items(), ids=PAGES)
def test_page_of_the_example(
    run: Run, golden: Callable[[str, str], None], name: str, words: tuple[str, ...]
) -> None:
    ran = run(*words, *ON, "--book", EXAMPLE)
    assert (ran.status, ran.err) == (0, "")
    golden(name, ran.out)


@pytest.mark.parametrize("columns", [80, 200])
def test_no_line_is_wider_than_the_terminal(run: Run, monkeypatch: pytest.MonkeyPatch, columns: int) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    for words in {words for name, words in PAGES.items() if name.endswith(".txt")}:
        page = run(*words, *ON, "--book", EXAMPLE).out
        assert max(map(len, page.split("\n"))) <= columns, words


ANSWERS = {
    "warranty": ("warranty", "47"),
    "warranty of a chain": ("warranty", "53"),
    "comebacks": ("comebacks", "--warranty", "P1Y"),
    "due": ("due", "--within", "1y"),
    "week": ("week",),
    "summarise": ("summarise",),
    "report": ("report", "47"),
    "report of a board not repaired": ("report", "16"),
}


@pytest.mark.parametrize("words", ANSWERS.values(), ids=ANSWERS)
@pytest.mark.parametrize("day", ["2026-11-20", "2026-09-01"])
def test_json_answers_are_what_their_schema_says(run: Run, words: tuple[str, ...], day: str) -> None:
    if words == ("report", "47") and day < "2026-10-19":
        words = ("report", "35")
        day = "2026-09-15"
    ran = run(*words, "--on", day, "--format", "json", "--book", EXAMPLE)
    assert ran.status == 0
    thorough(f"answers/{words[0]}").validate(ran.data)


@pytest.mark.parametrize("words", [("comebacks",), ("due",), ("week",), ("summarise",)])
def test_before_everything_the_answers_are_empty(run: Run, words: tuple[str, ...]) -> None:
    ran = run(*words, "--on", "0001-01-01", "--format", "json", "--book", EXAMPLE)
    assert (ran.status, ran.err) == (0, "")
    thorough(f"answers/{words[0]}").validate(ran.data)
    assert not any(ran.data.get(key) for key in ("jobs", "items", "open", "curve"))
    assert run(*words, "--on", "0001-01-01", "--book", EXAMPLE).status == 0


def test_before_everything_a_job_has_no_warranty_and_no_paper(run: Run) -> None:
    ran = run("warranty", "47", "--on", "2020-02-29", "--book", EXAMPLE)
    assert (ran.status, ran.err) == (0, "")
    assert "is not covered on 2020-02-29: it was not received by then" in ran.out
    paper = run("report", "47", "--on", "2020-02-29", "--book", EXAMPLE)
    assert (paper.status, paper.out) == (2, "")
    assert "was not received on 2020-02-29" in paper.err


def test_the_calendar_of_the_example_is_sound_and_a_second_run_changes_nothing(
    run: Run, tmp_path: Path
) -> None:
    file = tmp_path / "due.ics"
    words = ("due", "--within", "1y", "--format", "ics", "--book", EXAMPLE, "-o", file)
    assert run(*words, *ON).status == 0
    first = file.read_bytes()
    events = read_calendar(first).inside
    names = [event.properties["UID"] for event in events]
    assert len(events) == len(
        run("due", "--within", "1y", *ON, "--format", "json", "--book", EXAMPLE).data["items"]
    )
    assert len(set(names)) == len(names)
    assert all(event.inside for event in events)
    assert run(*words, *ON).status == 0
    assert file.read_bytes() == first
    # A day later, what has not changed is still called and written the same.
    assert run(*words, "--on", "2026-11-21").status == 0
    assert set(names) & {event.properties["UID"] for event in read_calendar(file.read_bytes()).inside}


def test_a_week_as_csv_is_one_row(run: Run) -> None:
    rows = list(
        csv.DictReader(io.StringIO(run("week", "2026-W43", *ON, "--format", "csv", "--book", EXAMPLE).out))
    )
    assert [(row["week"], row["received"], row["sent"]) for row in rows] == [("2026-W43", "2", "3")]


SECOND = (
    JOB.replace("K26-0001", "K26-0002")
    .replace("2026-10-0", "2026-11-0")
    .replace("2026-10-1", "2026-11-1")
    .replace("[price]\n", '[comeback]\nof = "K26-0001"\nfound = "same-fault"\n[price]\n')
    .replace('[warranty]\nduration = "P6M"\n', "")
)
"""JOB once more a month later: the same board came back on 2026-11-05 and went out again on 2026-11-12."""
SECOND_PATH = "jobs/2026/K26-0002.toml"


def chain(root: Path, habit: str) -> Path:
    bench = f'{BENCH}[warranty]\nduration = "P6M"\ncomeback = "{habit}"\n'
    return make_book(root, {"bench.toml": bench, SECOND_PATH: SECOND})


@pytest.mark.parametrize(("habit", "last"), [("continues", "2027-04-12"), ("restarts", "2027-05-12")])
def test_a_comeback_continues_or_restarts_as_the_bench_says(
    run: Run, tmp_path: Path, habit: str, last: str
) -> None:
    ran = run("warranty", "2", "--on", "2026-12-01", "--book", chain(tmp_path, habit), "--format", "json")
    assert (ran.data["chain"], ran.data["last_day"]) == (["K26-0001", "K26-0002"], last)
    assert habit in ran.data["rule"]


def test_several_books_are_told_apart_by_their_names(run: Run, tmp_path: Path) -> None:
    books = [chain(tmp_path / name, "continues") for name in ("north", "south")]
    both = ("--book", books[0], "--book", books[1], "--on", "2026-12-01", "--format", "json")
    ids = [job["id"] for job in run("summarise", *both).data["jobs"]]
    assert ids == ["north/K26-0001", "south/K26-0001", "north/K26-0002", "south/K26-0002"]
    assert run("week", "2026-W45", *both).data["comebacks"] == ["north/K26-0002", "south/K26-0002"]
    found = run("comebacks", *both).data
    assert (found["jobs"], found["comebacks"]) == (4, 2)
    due = run("due", "--within", "1y", *both).data["items"]
    assert [item["job"] for item in due] == ["north/K26-0002", "south/K26-0002"]
    assert run("week", "--book", books[0], "--book", books[0], "--format", "json", "--on", "2026-11-05").data[
        "received"
    ] == ["K26-0002"]


def test_two_books_of_one_name_are_told_apart_by_the_way_to_them(run: Run, tmp_path: Path) -> None:
    books = [make_book(tmp_path / place / "book") for place in ("north", "south")]
    ran = run("summarise", "--book", books[0], "--book", books[1], "--format", "json", *ON)
    assert [job["id"] for job in ran.data["jobs"]] == ["north/book/K26-0001", "south/book/K26-0001"]


def test_a_longer_warranty_of_benches_with_different_rates_is_refused(run: Run, tmp_path: Path) -> None:
    rated = BENCH.replace('currency = "EUR"', 'currency = "EUR"\nrate = "48.00 EUR"')
    books = [make_book(tmp_path / "one"), make_book(tmp_path / "two", {"bench.toml": rated})]
    ran = run("comebacks", "--warranty", "P1Y", "--book", books[0], "--book", books[1], *ON)
    assert (ran.status, ran.out) == (2, "")
    assert "different rates" in ran.err


def test_a_file_that_cannot_be_read_is_told_and_the_rest_is_summed_up(run: Run, tmp_path: Path) -> None:
    book = make_book(tmp_path, {SECOND_PATH: "format = = 1\n"})
    ran = run("summarise", "--book", book, "--format", "json", *ON)
    assert ran.status == 0
    assert [job["id"] for job in ran.data["jobs"]] == ["K26-0001"]
    assert ran.err == "jobkit: 1 of 2 job files could not be read; `jobkit lint` names them\n"
    paper = run("report", "2", "--book", book, *ON)
    assert (paper.status, paper.out) == (2, "")
    assert f"{SECOND_PATH} line 1" in paper.err


CLIENTS = 'format = 1\n[client.c-001]\nname = "Nobody Real"\naddress = ["1 No Street", "Nowhere"]\n'


def test_a_name_is_printed_from_the_working_tree_and_never_from_a_revision(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    repo = GitRepo.make(tmp_path)
    make_book(tmp_path, {"private/clients.toml": CLIENTS})
    repo.commit("With the clients, as should never be")
    monkeypatch.chdir(tmp_path)
    assert "Nobody Real, 1 No Street, Nowhere" in run("report", "1", *ON).out
    for words in (("report", "1", *ON), ("report", "1", *ON, "--format", "json")):
        assert "Nobody" not in run(*words, "--rev", "HEAD").out
    assert "Nobody" not in run("show", "1", *ON).out


def test_clients_that_cannot_be_read_are_told_and_the_paper_comes(run: Run, tmp_path: Path) -> None:
    broken = CLIENTS.replace('"Nobody Real"', "17")
    ran = run("report", "1", "--book", make_book(tmp_path, {"private/clients.toml": broken}), *ON)
    assert ran.status == 0
    assert "private/clients.toml" in ran.err
    assert "client number" in ran.out


def test_a_revision_is_read_from_git(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    repo = GitRepo.make(tmp_path)
    make_book(tmp_path)
    repo.commit("Sent")
    (tmp_path / JOB_PATH).unlink()
    monkeypatch.chdir(tmp_path)
    assert run("summarise", "--format", "json", *ON).data["jobs"] == []
    assert len(run("summarise", "--rev", "HEAD", "--format", "json", *ON).data["jobs"]) == 1
    assert run("warranty", "1", "--rev", "HEAD", "--format", "json", *ON).data["covered"]
    assert "Your board is repaired." in run("report", "1", "--rev", "HEAD", *ON).out


MISUSES = {
    "no such job": (["warranty", "99"], 'no job "99"'),
    "no such length of time": (["due", "--within", "soon"], "30d"),
    "no such format": (["due", "--format", "xml"], "choose one of text, markdown, html, json, csv, ics"),
    "a calendar of what is none": (
        ["week", "--format", "ics"],
        "choose one of text, markdown, html, json, csv",
    ),
    "no such warranty": (["comebacks", "--warranty", "six months"], "is not a length of time"),
    "no such status": (["summarise", "--status", "raedy"], 'did you mean "ready"?'),
    "no such client": (["summarise", "--client", "c-01"], 'did you mean "c-001"?'),
    "no such design": (["summarise", "--design", "alder"], 'did you mean "alder-a1"?'),
    "no such outcome": (["summarise", "--outcome", "dead"], "choose one of repaired"),
    "no such day": (["summarise", "--sent-since", "2026-02-29"], "write it like 2026-10-19"),
    "a paper of two books": (["report", "1", "--book", "BOOK"], "reads one book"),
}


@pytest.mark.parametrize(("words", "told"), MISUSES.values(), ids=MISUSES)
def test_misuse_is_one_line_and_status_2(run: Run, tmp_path: Path, words: list[str], told: str) -> None:
    book, other = make_book(tmp_path / "book"), make_book(tmp_path / "other")
    ran = run(*(word.replace("BOOK", str(other)) for word in words), "--book", book)
    assert (ran.status, ran.out) == (2, "")
    assert told in ran.err
    assert ran.err.count("\n") == 1


ODD = {
    "from the 29th of February": ("2024-02-29", '[warranty]\nduration = "P1Y"', '"last_day": "2025-02-28"'),
    "of a job without dates": ("", '[warranty]\nduration = "P1Y"', '"state": "not begun"'),
    "of a job that comes back to itself": (
        "2026-10-12",
        '[comeback]\nof = "K26-0001"\n[warranty]\nduration = "P1Y"',
        "circle",
    ),
    "longer than the calendar": ("2026-10-12", '[warranty]\nduration = "P9999Y"', '"last_day": "9999-12-31"'),
}


@pytest.mark.parametrize(("sent", "more", "told"), ODD.values(), ids=ODD)
def test_odd_jobs_have_defined_answers_everywhere(
    run: Run, tmp_path: Path, sent: str, more: str, told: str
) -> None:
    head, rest = JOB.split("[dates]\n")
    dates = (
        f"received = 2024-01-05\nfinished = {sent}\nsent = {sent}\n" if sent else "received = 2024-01-05\n"
    )
    text = f"{head}[dates]\n{dates}\n[[reading]]{rest.split('[[reading]]', 1)[1]}".replace(
        '[warranty]\nduration = "P6M"', more
    )
    book = make_book(tmp_path, {JOB_PATH: text})
    pages = [
        run(*words, *ON, "--book", book, *form)
        for words in (
            ("warranty", "1"),
            ("comebacks", "--warranty", "P2Y"),
            ("due",),
            ("week",),
            ("report", "1"),
        )
        for form in ((), ("--format", "json"))
    ]
    assert [ran.status for ran in pages] == [0] * len(pages)
    assert told in "".join(ran.out for ran in pages[:2])


def test_no_time_ahead_is_that_day_alone(run: Run) -> None:
    asked = ("due", "--within", "0d", "--book", EXAMPLE, "--on")
    everything = run(
        "due", "--within", "1y", "--book", EXAMPLE, "--on", "2026-11-20", "--format", "json"
    ).data["items"]
    day = next(item["on"] for item in everything if item["days"] > 0)
    ran = run(*asked, day, "--format", "json")
    assert ran.data["items"]
    assert all(day in {item["on"], *item["remind"]} for item in ran.data["items"])
    head = run(*asked, day).out.split("\n")[0]
    assert head == f"Skerrie Bench: what falls due on {day}"
