"""`book-in`: from options or questions; earlier jobs at once; two jobs under one id told apart."""

from __future__ import annotations

from pathlib import Path

import pytest

from jobkit.book.git.linemerge import Labels
from jobkit.book.merge.markers import whole_conflict
from tests.at_the_bench import JOB, JOB_PATH, bench_book
from tests.books import put
from tests.cli.conftest import AtBench
from tests.cli.terminal import Terminal

NEW = "jobs/2026/K26-0008.toml"
NEEDED = ("--client", "c-2", "--title", "Loud", "--complaint", "Loud fan", "--kind", "graphics card")
SENT = (
    JOB.replace("title", 'outcome = "repaired"\ntitle').replace("R3-0001", "R3-0044")
    + "finished = 2026-04-30\nsent = 2026-05-03\n"
)


def test_options_make_a_sound_file_and_choose_the_job(bench: AtBench) -> None:
    more = (
        *("--design", "row", "--serial", "R3-9", "--condition", "dust", "--condition", "one screw, bent"),
        *("--prior-work", "lik", "--from", "IS", "--declared", "180", "--kept-back", "bracket"),
        *("--place", "shelf B3"),
    )
    out = bench.writes("book-in", *NEEDED, *more)
    assert out == f"K26-0008 booked in: {NEW}\n"
    assert (bench.root / NEW).read_text("utf-8") == (
        "#:schema ../../schema/job.schema.json\nformat = 1\n"
        'id     = "K26-0008"\nclient = "c-2"\ntitle  = "Loud"\n'
        '\n[board]\nkind      = "graphics card"\ndesign    = "rowan-r3"\nserial    = "R3-9"\nplace     = "shelf B3"\n'
        'kept_back = ["bracket"]\n'
        '\n[intake]\ncomplaint  = "Loud fan"\ncondition  = ["dust", "one screw, bent"]\nprior_work = "likely"\n'
        'from       = "IS"\ndeclared   = "180.00 EUR"\n'
        "\n[dates]\nreceived = 2026-10-22\n"
    )
    assert bench.writes("on").startswith("K26-0008")
    assert bench("lint", f"{bench.root / NEW}").status == 0


def test_an_earlier_job_of_the_serial_is_said_at_once(bench: AtBench) -> None:
    put(bench.root / JOB_PATH, SENT)
    ran = bench("book-in", *NEEDED, "--serial", "r3-0044")
    assert ran.out == (
        "was here as K26-0007, sent 2026-05-03, under warranty until 2026-11-03, No picture\n"
        f"K26-0008 booked in: {NEW}\n"
    )
    assert ran.err == "if this is a comeback, record it: `jobkit jot comeback of K26-0007`\n"


@pytest.mark.parametrize("typed", ["r3-0044", "R3 0044", "r30044", "R3\u20110044"])
def test_a_serial_is_compared_as_people_do_and_written_as_typed(bench: AtBench, typed: str) -> None:
    put(bench.root / JOB_PATH, SENT)
    out = bench.writes("book-in", *NEEDED, "--serial", typed, "--comeback-of", "7")
    assert out.startswith("was here as K26-0007")
    assert f'serial = "{typed}"' in (bench.root / NEW).read_text("utf-8")
    findings = bench("lint", "--format", "json").data["findings"]
    assert [one for one in findings if one["rule"] == "comeback-serial"] == []
    assert "K26-0007" in bench("show", "8").out.partition("Earlier jobs of this board")[2]


@pytest.mark.parametrize(
    ("earlier", "said"),
    [
        (
            SENT.replace("2026-05-03", "2025-12-03").replace("2026-04-30", "2025-12-01"),
            "warranty ended 2026-06-03",
        ),
        (SENT + '[warranty]\nvoid = "opened"\n', "warranty void: opened"),
        (SENT.replace("sent = 2026-05-03\n", ""), "not sent yet, warranty not begun"),
        (
            SENT.replace("sent = 2026-05-03\n", '[fate]\nis = "kept-for-parts"\nowner_agreed = true\n'),
            "kept for parts since 2026-04-30",
        ),
        (SENT.replace("repaired", "beyond-repair"), "sent 2026-05-03, no warranty"),
    ],
)
def test_what_the_earlier_promise_is_worth(bench: AtBench, earlier: str, said: str) -> None:
    put(bench.root / JOB_PATH, earlier)
    assert said in bench("book-in", *NEEDED, "--serial", "R3-0044").out


def test_a_comeback_is_named(bench: AtBench) -> None:
    bench.writes("book-in", *NEEDED, "--comeback-of", "7")
    assert '[comeback]\nof = "K26-0007"' in (bench.root / NEW).read_text("utf-8")


_LOUD = ("--title", "Loud", "--complaint", "Loud fan")


@pytest.mark.parametrize(
    ("words", "taken"),
    [
        (("--client", "c-2", "--design", "rowan-r3"), {"board.kind": "graphics card"}),
        (("--client", "c-2", "--serial", "r3-0044"), {"board.kind": "sound card"}),
        (
            ("--comeback-of", "7"),
            {"client": "c-001", "board.design": "rowan-r3", "board.kind": "graphics card"},
        ),
        (
            ("--comeback-of", "7", "--design", "rowan-r3", "--client", "c-2"),
            {"board.kind": "graphics card"},
        ),
        (
            ("--comeback-of", "7", "--client", "c-2", "--kind", "capture card"),
            {"board.design": "rowan-r3"},
        ),
    ],
    ids=["design", "serial", "comeback", "comeback of a design", "what is said goes first"],
)
def test_what_follows_is_not_demanded(bench: AtBench, words: tuple[str, ...], taken: dict[str, str]) -> None:
    put(bench.root / JOB_PATH, SENT.replace('kind   = "graphics card"', 'kind   = "sound card"'))
    ran = bench("book-in", *_LOUD, *words)
    assert ran.status == 0
    said = [line.strip() for line in ran.out.splitlines() if line.startswith("    ")]
    assert said == [f"{key} {value}" for key, value in taken.items()]
    text = (bench.root / NEW).read_text("utf-8")
    assert all(f'"{value}"' in text for value in taken.values())


def test_a_day_in_the_future_is_noticed(bench: AtBench) -> None:
    ran = bench("book-in", *NEEDED, "--received", "2090-01-01")
    assert ran.status == 0
    assert "warning date-future: received 2090-01-01 is in the future" in ran.err


def test_whose_board_it_is_now_does_not_follow_from_its_serial(bench: AtBench) -> None:
    put(bench.root / JOB_PATH, SENT)
    status, _, err = bench("book-in", *_LOUD, "--serial", "R3-0044")
    assert (status, err) == (
        2,
        "jobkit: book-in lacks --client; give the missing options, or run it in a terminal and answer the questions\n",
    )


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--client", "c-2"), "book-in lacks --title, --kind, --complaint; give the missing options, or"),
        ((*NEEDED, "--design", "rowan-r4"), '"rowan-r4" is not a design with a board file; write "rowan-r3"'),
        ((*NEEDED, "--client", "Somebody"), "client cannot be"),
        ((*NEEDED, "--from", "Iceland"), "from cannot be"),
        ((*NEEDED, "--declared", "cheap"), 'declared cannot be "cheap"'),
        ((*NEEDED, "--received", "soon"), '"soon" is not a day'),
        ((*NEEDED, "--comeback-of", "99"), 'there is no job "99"'),
        ((*NEEDED, "--prior-work", "maybe"), '"maybe" is not a choice for prior_work'),
    ],
)
def test_a_slip_is_one_line_and_no_file_is_made(bench: AtBench, words: tuple[str, ...], said: str) -> None:
    ran = bench("book-in", *words)
    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err
    assert ran.err.count("\n") == 1
    assert not (bench.root / NEW).exists()


def test_undo_takes_the_file_away_unless_there_is_more_in_it(bench: AtBench) -> None:
    bench.writes("book-in", *NEEDED, "--design", "rowan-r3")
    bench.writes("read", "vmem", "23")
    bench.writes("undo")
    put(bench.root / NEW, (bench.root / NEW).read_text("utf-8") + "# by hand\n")
    assert "the entry was changed after it was written" in bench("undo").err
    put(bench.root / NEW, (bench.root / NEW).read_text("utf-8").replace("# by hand\n", ""))
    bench.writes("undo")
    assert not (bench.root / NEW).exists()


AT_THE_END = [
    ("country it came from, such as IS", "Iceland"),
    ('from cannot be "Iceland"; write it like "IS"\ncountry it came from, such as IS', "is"),
    ("visible damage, several with ; between", "one screw, bent; dust"),
    ("what else was in the parcel, several with ; between", ""),
    ("shelf", "shelf B3"),
]


def test_questions_with_their_habits(tmp_path: Path) -> None:
    book = bench_book(tmp_path / "book", SENT)
    with Terminal(["book-in"], book, {"XDG_STATE_HOME": str(tmp_path), "JOBKIT_BY": "ida"}) as there:
        there.sees("serial (Enter for none): ")
        there.types("R3-0044")
        there.sees("was here as K26-0007, sent 2026-05-03")
        there.sees("a comeback of K26-0007 (Enter yes, n no): ")
        there.types("c-2")
        there.sees('"c-2" is not an answer')  # answers to another question are not taken for a yes
        there.sees("a comeback of K26-0007 (Enter yes, n no): ")
        there.types("n")
        there.sees("design (Enter for rowan-r3): ")
        there.types("birch")
        there.sees('"birch" is not a design with a board file')  # unknown: said, and asked again
        there.sees("design (Enter for rowan-r3): ")
        there.types("")
        there.sees("kind of board (Enter for graphics card): ")
        there.types("")
        there.sees("client (Enter for c-001): ")
        there.types("me")
        there.sees("client cannot be")
        there.sees("client (Enter for c-001): ")
        there.types("c-2")
        there.sees("what the client says: ")
        there.types("")
        there.sees("what the client says: ")
        there.types("Loud fan; rattles on start")
        there.sees("title (Enter for Loud fan): ")
        there.types("")
        for question, typed in AT_THE_END:
            there.sees(f"{question} (Enter for none): ")
            there.types(typed)
        there.sees("booked in: jobs/20")
        there.sees("take the readings on arrival now (Enter yes, n later): ")
        there.types("n")
        assert there.ends() == 0
    (made,) = (path for path in book.glob("jobs/*/*.toml") if path.stem != "K26-0007")
    text = made.read_text("utf-8")
    assert 'complaint = "Loud fan; rattles on start"' in text
    assert 'title  = "Loud fan"' in text
    assert "comeback" not in text
    assert 'from      = "IS"' in text
    assert 'condition = ["one screw, bent", "dust"]' in text
    assert 'place  = "shelf B3"' in text
    assert "came_with" not in text


def test_a_country_is_no_source_of_parts(bench: AtBench) -> None:
    """Of stock, bought and client, two letters would be a beginning."""
    bench.writes("book-in", *NEEDED, "--from", "st")
    assert 'from      = "ST"' in (bench.root / NEW).read_text("utf-8")
    bench.writes("jot", "intake", "from", "no")
    assert 'from      = "NO"' in (bench.root / NEW).read_text("utf-8")


def test_two_jobs_in_one_file_are_told_apart(bench: AtBench) -> None:
    log = '\n[[seen]]\ncheck = "memory test"\nlog = "{}"\n'
    other = JOB.replace("No picture since Monday", "Loud fan") + log.format("theirs.csv")
    ours = JOB + log.format("both.csv")
    put(bench.root / JOB_PATH, whole_conflict(ours, other + log.format("both.csv"), Labels()))
    for name in ("theirs.csv", "both.csv"):
        put(bench.root / "jobs/2026/K26-0007" / name, name)
    ran = bench("book-in", "--renumber", str(bench.root / JOB_PATH))
    assert ran.status == 0, ran
    assert ran.out == f"K26-0008: {NEW}, beside {JOB_PATH}\n"
    assert f"next: `git add {JOB_PATH} {NEW} jobs/2026/K26-0007 jobs/2026/K26-0008`" in ran.err
    assert bench.text == ours
    assert (bench.root / NEW).read_text("utf-8") == (other + log.format("both.csv")).replace(
        "0007", "0008", 1
    )
    files = sorted(
        path.relative_to(bench.root / "jobs/2026").as_posix() for path in bench.root.rglob("*.csv")
    )
    assert files == ["K26-0007/both.csv", "K26-0008/both.csv", "K26-0008/theirs.csv"]


def test_a_file_of_the_same_name_elsewhere_gets_another_id(bench: AtBench) -> None:
    put(bench.root / "jobs/old/K26-0007.toml", JOB)
    ran = bench("book-in", "--renumber", str(bench.root / "jobs/old/K26-0007.toml"))
    assert ran.status == 0, ran
    assert not (bench.root / "jobs/old/K26-0007.toml").exists()
    assert (bench.root / NEW).read_text("utf-8") == JOB.replace("0007", "0008")


@pytest.mark.parametrize(
    ("path", "said"),
    [(JOB_PATH, "is the only job with its id"), ("jobs/2026/none.toml", "is not a file of the book")],
)
def test_what_needs_no_other_id_stays(bench: AtBench, path: str, said: str) -> None:
    ran = bench("book-in", "--renumber", str(bench.root / path))
    assert (ran.status, said in ran.err) == (2, True)
    assert bench.text == JOB


def test_a_kind_that_the_book_does_not_have_is_said(bench: AtBench) -> None:
    ran = bench("book-in", *NEEDED[:-1], "toaster card")
    assert ran.status == 0
    assert '"toaster card" is a kind of board that this book does not have yet; known kinds: ' in ran.err
