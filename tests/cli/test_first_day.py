"""`init`, `demo`, `tidy`, `upgrade`: books from nothing, from the example, and from long ago."""

from __future__ import annotations

import filecmp
import shutil
from itertools import pairwise
from pathlib import Path

import pytest

from jobkit.book.read.load import load_job
from jobkit.book.setup.daily_states import days_of
from jobkit.book.setup.example import history
from jobkit.book.setup.new_book import blank_files
from jobkit.book.toml.parse import parse_text
from tests.at_the_bench import JOB, JOB_PATH, bench_book
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import EXAMPLE, put
from tests.cli.terminal import Terminal
from tests.conftest import Run
from tests.faults.steps import KILL, Fault, call
from tests.long_run import share


@pytest.fixture(autouse=True)
def _alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Hide the machine's settings of git, and stand in an empty folder."""
    forget_git_settings(monkeypatch)
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.chdir(tmp_path)


# init


def test_a_new_book_is_sound_and_says_what_comes_next(run: Run) -> None:
    ran = run("init", "new", "--name", "Rim Bench", "--zone", "Atlantic/Reykjavik", "--currency", "eur")
    assert ran.status == 0
    assert ran.err == "next: cd new && git init && jobkit wire && jobkit book-in\n"
    assert parse_text(Path("new/bench.toml").read_text("utf-8"))["bench"] == {
        "name": "Rim Bench", "letter": "R", "zone": "Atlantic/Reykjavik", "currency": "EUR",
    }  # fmt: skip
    assert run("lint", "--book", "new").out.endswith("no problems found\n")


def test_rate_tax_and_cooling_time_are_written(run: Run) -> None:
    words = (
        "--name",
        "Rim",
        "--zone",
        "atlantic/reykjavik",
        "--currency",
        "EUR",
        "--rate",
        "48",
        "--tax",
        "24,5",
    )
    assert run("init", "new", *words, "--cooling", "20").status == 0
    doc = parse_text(Path("new/bench.toml").read_text("utf-8"))
    assert doc["bench"] == {
        "name": "Rim", "letter": "R", "zone": "Atlantic/Reykjavik", "currency": "EUR", "rate": "48.00 EUR",
    }  # fmt: skip
    assert (doc["tax"], doc["heat"]) == ({"rate": "24.5 %"}, {"cooling_minutes": 20})
    assert run("lint", "--book", "new").out.endswith("no problems found\n")


@pytest.mark.parametrize(("tax", "told"), [("none", None), ("0", None), ("19 %", {"rate": "19 %"})])
def test_no_tax_is_no_entry(run: Run, tax: str, told: dict[str, str] | None) -> None:
    run("init", "new", "--zone", "UTC", "--tax", tax)
    assert parse_text(Path("new/bench.toml").read_text("utf-8")).get("tax") == told


QUESTIONS = [
    ("name of the bench (Enter for new): ", "Rim Bench"),
    ("letter of its job ids (Enter for R): ", "rim"),
    ('the letter cannot be "rim"', None),
    ("letter of its job ids (Enter for R): ", ""),
    ("time zone (Enter for ", "Nowhere"),
    ('there is no time zone "Nowhere"', None),
    ("time zone (Enter for ", "Atlantic/Reykjavik"),
    ("currency (Enter for none): ", "euro"),
    ("did you mean EUR?", None),
    ("currency (Enter for none): ", "eur"),
    ("rate of an hour on the bench (Enter for none): ", "a lot"),
    ('the rate cannot be "a lot"', None),
    ("rate of an hour on the bench (Enter for none): ", "48"),
    ("tax on bills in percent (Enter for none): ", "24"),
    ("minutes a board cools down before it is read cold (Enter for 10): ", ""),
    ("new/bench.toml and 12 more files", None),
    ("for its board file (Enter for later): ", "Birch/1"),
    ("design cannot be", None),
    ("for its board file (Enter for later): ", "birch-b1"),
    ("kind of board (Enter for graphics card): ", ""),
    ("processor, such as U10 (Enter for none): ", "U10"),
    ("bottom: 2,2,2,2 (Enter for 0): ", "8"),
    ("first memory package (Enter for U1): ", ""),
    ("boards/birch-b1.toml: 3 points, 8 memory packages", None),
]


def test_a_wrong_answer_is_asked_again_and_nothing_is_lost(run: Run, tmp_path: Path) -> None:
    with Terminal(["init", "new"], tmp_path, {"XDG_STATE_HOME": str(tmp_path / "state")}) as there:
        for shown, typed in QUESTIONS:
            there.sees(shown)
            if typed is not None:
                there.types(typed)
        assert there.ends() == 0
    assert "next: cd new && git init && jobkit wire && jobkit book-in" in there.shown
    doc = parse_text(Path("new/bench.toml").read_text("utf-8"))
    assert (doc["bench"]["name"], doc["bench"]["letter"], doc["bench"]["rate"]) == (
        "Rim Bench",
        "R",
        "48.00 EUR",
    )
    assert doc["heat"] == {"cooling_minutes": 10}
    ran = run("lint", "--book", "new")
    assert ran.out.endswith("no problems found\n")


def test_a_book_in_another_repository_is_told_so(run: Run, tmp_path: Path) -> None:
    GitRepo.make(tmp_path / "mine")
    ran = run("init", "mine/bench", "--zone", "UTC")
    assert ran.err == (
        f"it is inside the git repository {tmp_path / 'mine'}; for one of its own, `git init` in mine/bench\n"
        "next: cd mine/bench && jobkit wire && jobkit book-in\n"
    )
    GitRepo.make(tmp_path / "own")
    assert run("init", "own", "--zone", "UTC").err == "next: cd own && jobkit wire && jobkit book-in\n"


def test_editor_and_git_files_are_those_of_the_example(run: Run) -> None:
    run("init", "new", "--zone", "UTC")
    for name in (".taplo.toml", "tombi.toml", ".gitignore", ".gitattributes"):
        assert Path("new", name).read_text("utf-8") == (EXAMPLE / name).read_text("utf-8")
    assert {"private/", ".*.tmp"} <= {*Path("new/.gitignore").read_text("utf-8").split()}
    same = filecmp.dircmp("new/schema", EXAMPLE / "schema")
    assert (same.left_only, same.right_only, same.diff_files) == ([], [], [])


def test_the_remarks_of_a_new_book_are_sound_once_they_are_let_in(tmp_path: Path, run: Run) -> None:
    """What stands there as a remark is what a newcomer will switch on: it must pass."""
    run("init", "new", "--zone", "UTC", "--currency", "EUR")
    for name in ("bench.toml", "meters.toml", "stock.toml"):
        lines = (tmp_path / "new" / name).read_text("utf-8").split("\n")
        bare = [line.removeprefix("# ") if line[2:3] == "[" or " = " in line else line for line in lines]
        put(tmp_path / "new" / name, "\n".join(bare))
    assert "[proof" in (tmp_path / "new/bench.toml").read_text("utf-8")
    ran = run("lint", "--book", "new")
    assert ran.status == 0, ran.out
    assert "error" not in ran.out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("init", "new", "--id-letter", "kk"), 'the letter cannot be "kk"'),
        (("init", "new", "--zone", "Nowhere/At_all"), 'there is no time zone "Nowhere/At_all"'),
        (("init", "new", "--currency", "euro"), "EURO"),
        (("init", "new", "--rate", "48"), "--rate needs a currency; give --currency too"),
        (("init", "new", "--currency", "EUR", "--rate", "cheap"), 'the rate cannot be "cheap"'),
        (
            ("init", "new", "--tax", "much"),
            'the tax cannot be "much"; write a percentage such as 24, or none',
        ),
        (("init", "new", "--tax", "101"), 'the tax cannot be "101"'),
        (("init", "new", "--cooling", "an hour"), 'the cooling time cannot be "an hour"'),
        (("init", "new", "--cooling", "9999"), 'the cooling time cannot be "9999"'),
        (("init", "there/meters.toml"), "there/meters.toml is not a folder; name another folder"),
        (("init", "there"), "meters.toml is there already"),
        (("init", "book/inside"), "is a book already"),
        (("demo", "there"), "there is not empty"),
        (("demo", "there/meters.toml"), "there/meters.toml is not a folder; name a folder"),
    ],
)
def test_nothing_that_is_there_is_touched(run: Run, words: tuple[str, ...], said: str) -> None:
    put(Path("there/meters.toml"), "mine")
    bench_book(Path("book"))
    ran = run(*words)
    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err
    assert not Path("new").exists()
    assert [path.name for path in Path("there").iterdir()] == ["meters.toml"]
    assert Path("there/meters.toml").read_text("utf-8") == "mine"


NEW = ("init", "new", "--name", "Rim Bench", "--zone", "UTC")


def test_wherever_init_is_killed_private_stays_private_and_it_goes_on_where_it_was(
    run: Run, tmp_path: Path
) -> None:
    whole = call(NEW, tmp_path)
    made = _files(tmp_path / "new")
    assert whole.status == 0
    shutil.rmtree(tmp_path / "new")
    for number in share(range(1, whole.steps + 1), 2):
        assert call(NEW, tmp_path, Fault(KILL, number)).status == -9
        left = _files(tmp_path / "new")
        assert left.items() <= made.items()
        assert not left or ".gitignore" in left
        assert (left == made) == ("bench.toml" in left)
        if left != made:
            ran = run(*NEW)
            assert (ran.status, ran.out) == (0, "new/bench.toml and 12 more files\n")
        assert _files(tmp_path / "new") == made
        shutil.rmtree(tmp_path / "new", ignore_errors=True)


def _files(folder: Path) -> dict[str, bytes]:
    files = (path for path in folder.rglob("*") if path.is_file() and path.suffix != ".tmp")
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def test_files_for_git_that_are_there_already_need_the_lines_of_a_book(run: Run, tmp_path: Path) -> None:
    put(tmp_path / "new/.gitignore", "*.bak\n")
    put(tmp_path / "new/README.md", "mine\n")
    ran = run(*NEW)
    assert ran.status == 2
    assert ran.err == (
        "jobkit: new/.gitignore is there already, without a line that a book needs; "
        "add to it: private/, .*.tmp\n"
    )
    put(tmp_path / "new/.gitignore", "*.bak\nprivate/\n.*.tmp\n")
    assert run(*NEW).status == 0
    assert (tmp_path / "new/.gitignore").read_text() == "*.bak\nprivate/\n.*.tmp\n"


def test_every_file_of_a_new_book_is_named_once() -> None:
    paths = [path for path, _ in blank_files({"name": "x", "letter": "X", "zone": "UTC"})]
    assert len(paths) == len({*paths}) == 13


# demo


def test_the_example_comes_with_its_days_by_two_people(run: Run, tmp_path: Path) -> None:
    ran = run("demo", "demo")
    assert ran.status == 0
    repo = GitRepo(tmp_path / "demo")
    assert repo.git("status", "--short") == ""
    log = repo.git("log", "--format=%an|%ad|%s", "--date=format:%Y-%m-%d").splitlines()
    assert {line.split("|")[0] for line in log} == {"Ida", "Tor"}
    days = [line.split("|")[1] for line in log]
    assert days == sorted(days, reverse=True)
    assert "Ida|2026-10-20|K26-0047: quoted, price" in [line.replace("4 price", "price") for line in log]
    names = sorted(path.relative_to(EXAMPLE).as_posix() for path in EXAMPLE.rglob("*") if path.is_file())
    assert repo.git("ls-files").splitlines() == names
    assert all((repo.root / name).read_bytes() == (EXAMPLE / name).read_bytes() for name in names)


def test_it_is_the_same_everywhere(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    run("demo", "one")
    monkeypatch.setenv("TZ", "Pacific/Auckland")
    put(
        tmp_path / "config", "[user]\nname = Nobody\n[core]\nautocrlf = true\n[init]\ndefaultBranch = trunk\n"
    )
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(tmp_path / "config"))
    run("demo", "two")
    one, two = (
        GitRepo(tmp_path / name).git("rev-parse", "HEAD", "--abbrev-ref", "HEAD") for name in ("one", "two")
    )
    assert one == two


def test_each_day_of_each_job_is_a_sound_file() -> None:
    for commit in history():
        for path, content in commit.files.items():
            if path.startswith("jobs/") and path.endswith(".toml"):
                assert load_job(path, content).troubles == (), (path, commit.at)


def test_entries_appear_on_their_days_and_stay() -> None:
    text = (EXAMPLE / "jobs/2026/K26-0047.toml").read_text("utf-8")
    days = days_of(text)
    assert days[-1].text == text
    assert "outcome" not in days[0].text
    assert "[price]" not in days[0].text
    counts = [day.text.count("[[reading]]") for day in days]
    assert counts == sorted(counts)
    for before, after in pairwise(days):
        left = [line for line in before.text.split("\n") if line.strip()]
        assert all(line in after.text.split("\n") for line in left)


# tidy


def test_tidy_changes_spelling_alone_and_says_what(run: Run) -> None:
    book = bench_book(Path("book"))
    rough = JOB + '\n[[reading]]  # as shown\npoint = "VMEM"\nkind = "resistance"\nvalue = "23.40 ohm"\n'
    put(book / JOB_PATH, rough)
    ran = run("tidy", "--check", "--book", "book")
    assert ran.status == 1
    assert f"{JOB_PATH}: 23.40 ohm -> 23.40 Ω\n" in ran.out
    assert (book / JOB_PATH).read_text("utf-8") == rough
    ran = run("tidy", str(book / JOB_PATH))
    assert (ran.status, ran.out) == (0, f"{JOB_PATH}: 23.40 ohm -> 23.40 Ω\n")
    assert ran.err == "1 file tidied\n"
    assert (book / JOB_PATH).read_text("utf-8") == rough.replace("ohm", "Ω")
    assert run("tidy", str(book / JOB_PATH)).err == "0 files tidied\n"


def test_the_example_is_tidy(run: Run) -> None:
    assert run("tidy", "--check", "--book", EXAMPLE) == (0, "", "0 files would be tidied\n")


def test_tidy_goes_past_a_broken_file(run: Run) -> None:
    book = bench_book(Path("book"))
    put(book / "jobs/2026/K26-0008.toml", "[[reading]\n")
    put(book / "jobs/2026/K26-0009.toml", JOB + '[[inject]]\nrail = "V12"\nvolts = "1 V"\namps = "5 uA"\n')
    ran = run("tidy", "--book", "book")
    assert ran.status == 2
    assert "jobs/2026/K26-0008.toml" in ran.err
    assert "5 uA -> 5 µA" in ran.out
    assert run("tidy", "elsewhere").status == 2


# upgrade


def test_upgrade_brings_old_files_forward_and_renews_the_schemas(run: Run) -> None:
    run("init", "book", "--zone", "UTC")
    put(Path("book", JOB_PATH), JOB.replace("format = 1", "format = 0").replace("client", "owner"))
    put(Path("book/schema/job.schema.json"), "{}\n")
    Path("book/schema/stock.schema.json").unlink()
    assert run("lint", "--book", "book").status == 1
    ran = run("upgrade", "--check", "--book", "book")
    assert (ran.status, ran.err) == (1, "3 files would be upgraded\n")
    ran = run("upgrade", "--book", "book")
    assert ran.out.splitlines() == [JOB_PATH, "schema/job.schema.json", "schema/stock.schema.json"]
    assert Path("book", JOB_PATH).read_text("utf-8") == JOB
    assert run("upgrade", "--book", "book").err == "0 files upgraded\n"


def test_upgrade_refuses_what_is_newer_before_it_touches_anything(run: Run) -> None:
    book = bench_book(Path("book"))
    old = JOB.replace("format = 1", "format = 0").replace("client", "owner")
    put(book / JOB_PATH, old)
    put(book / "jobs/2026/K26-0008.toml", JOB.replace("format = 1", "format = 2"))
    ran = run("upgrade", "--book", "book")
    assert (ran.status, ran.out) == (2, "")
    assert "K26-0008.toml has format 2, this jobkit reads formats up to 1; upgrade jobkit" in ran.err
    assert (book / JOB_PATH).read_text("utf-8") == old
    assert not (book / "schema").exists()


def test_what_a_killed_call_left_beside_the_last_file_is_taken_away(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run("init", "book", "--zone", "Europe/Berlin").status == 0
    left = tmp_path / "book/.bench.toml.tmp"
    left.hardlink_to(tmp_path / "book/bench.toml")
    assert "is a book already" in run("init", "book").err
    assert not left.exists()
    assert (tmp_path / "book/bench.toml").exists()
