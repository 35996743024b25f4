"""`jot`: every other entry, checked before it is written."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.at_the_bench import JOB, JOB_PATH, work
from tests.book.repo import GitRepo
from tests.books import put
from tests.cli.conftest import AtBench
from tests.cli.terminal import Terminal
from tests.faults.steps import KILL, Fault, call
from tests.long_run import share


@pytest.mark.parametrize(
    ("words", "said", "written"),
    [
        ("work fit u3 new", "K26-0007 work: did fit, part U3, came new", 'part = "U3"'),
        ("wo clean final_clean", "K26-0007 work: did clean, what final clean", 'what = "final clean"'),
        ("date agreed", "K26-0007 dates agreed 2026-10-22", "agreed   = 2026-10-22"),
        ("sent 2026-10-21", "K26-0007 dates sent 2026-10-21", "sent     = 2026-10-21"),
        ("outcome rep", "K26-0007 outcome repaired", 'outcome = "repaired"'),
        (
            "price quoted 160 ceiling 200",
            "K26-0007 price quoted 160.00 EUR",
            '[price]\nquoted = "160.00 EUR"',
        ),
        ("cause q214 shorted", "K26-0007 cause part Q214", '[cause]\npart = "Q214"\nfault = "shorted"'),
        ("seen memory failed 3H", "K26-0007 seen: check memory test, failed 3H", 'failed = ["3H"]'),
        ("wait parts", "K26-0007 wait: since 2026-10-22, for parts", "since = 2026-10-22"),
        ("used stage q214", "K26-0007 used: part Q214, item stage-50a-5x6", 'item = "stage-50a-5x6"'),
        ("trial picture pass", "K26-0007 trial: run picture, result pass", 'result = "pass"'),
        ("waive METER-OVERDUE checked about v12", "K26-0007 waive: rule meter-overdue", 'about = "V12"'),
        ("work --did fit --part u3", "K26-0007 work: did fit, part U3", 'did = "fit"'),
        ("trial picture pass --cold-start", "cold_start yes", "cold_start = true"),
        (
            "note stuck_in_customs",
            "K26-0007 note: text stuck in customs",
            "[[note]]\nat = 2026-10-22T10:05:00",
        ),
        (
            "message client fails_again",
            "K26-0007 message: with client",
            'with = "client" text = "fails again"',
        ),
        ("work clean --at 9:15 --by tor", "K26-0007 work: did clean", "at = 2026-10-22T09:15:00"),
    ],
)
def test_an_entry_is_written_and_said(bench: AtBench, words: str, said: str, written: str) -> None:
    ran = bench("jot", *(word.replace("_", " ") for word in words.split()))
    assert ran.status == 0, ran
    assert said in ran.out
    assert " ".join(written.split()) in " ".join(bench.text.split())


def test_every_entry_carries_when_and_by_whom(bench: AtBench) -> None:
    bench("jot", "pad", "q214", "4", "lifted", "supply")
    bench("jot", "agreement", "160")
    assert bench.text.count("2026-10-22T10:05:00") == 2
    assert bench.text.count('"ida"') == 2


def test_the_first_work_on_the_board_starts_the_job(bench: AtBench) -> None:
    bench("jot", "work", "inspect")
    assert "started" not in bench.text
    out = bench("jot", "work", "fit", "u3").out
    assert "dates.started 2026-10-22" in out
    assert bench.text.count("started") == 1
    bench.writes("undo")
    assert "started" not in bench.text
    assert 'did = "inspect"' in " ".join(bench.text.split())


def test_a_price_agreed_to_sets_the_day(bench: AtBench) -> None:
    bench("jot", "agreement", "160", "on", "2026-10-20")
    assert 'amount = "160.00 EUR"' in bench.text
    assert "agreed = 2026-10-20" in bench.text


def test_a_quote_sets_the_day(bench: AtBench) -> None:
    assert "dates.quoted 2026-10-22" in bench("jot", "price", "quoted", "160").out
    bench.clock.passes(60 * 24)
    assert "dates.quoted" not in bench("jot", "price", "quoted", "170").out
    assert "quoted = 2026-10-22" in bench.text


@pytest.mark.parametrize(
    ("outcome", "day"),
    [("repaired", "finished"), ("beyond-repair", "finished"), ("declined", "declined")],
)
def test_an_outcome_sets_the_day_once(bench: AtBench, outcome: str, day: str) -> None:
    ran = bench("jot", "outcome", outcome)
    assert f"    dates.{day} 2026-10-22\n" in ran.out
    assert f'"{day}" is missing' not in ran.err
    assert "dates." not in bench("jot", "outcome", "no-fault-found").out


def test_a_list_grows_and_a_value_that_goes_is_said(bench: AtBench) -> None:
    bench.writes("jot", "board", "kept_back", "bracket", "kept_back", "8 screws, short")
    bench.writes("jot", "board", "kept_back", "fan")
    assert 'kept_back = ["bracket", "8 screws, short", "fan"]' in bench.text
    out = bench.writes("jot", "board", "kept_back", "none")
    assert out == "K26-0007 board kept_back none, was bracket and 8 screws, short and fan\n"
    assert "kept_back = []" in bench.text
    bench("jot", "price", "quoted", "160")
    assert "price quoted 170.00 EUR, was 160.00 EUR" in bench("jot", "price", "quoted", "170").out


def test_a_pad_is_completed_once_it_is_repaired(bench: AtBench) -> None:
    bench("jot", "pad", "q214", "4", "lifted", "supply")
    bench("jot", "pad", "q214", "4", "film", "0.3")
    assert bench.text.count("[[pad]]") == 1
    assert 'repaired = "film"\nreads = "0.3 Ω"' in bench.text
    assert bench("jot", "pad", "q214", "4").status == 2


def test_a_pad_is_found_in_any_case(bench: AtBench) -> None:
    bench("jot", "pad", "q214", "k1", "lifted", "supply")
    assert 'ball = "K1"' in " ".join(bench.text.split())
    put(bench.root / JOB_PATH, bench.text.replace('"K1"', '"k1"'))
    assert bench("jot", "pad", "Q214", "K1", "film", "0.3").status == 0
    assert bench.text.count("[[pad]]") == 1
    assert 'ball = "k1"' in " ".join(bench.text.split())


def test_a_donor_is_named_by_the_end_of_its_id(bench: AtBench) -> None:
    put(bench.root / "jobs/2026/K26-0002.toml", JOB.replace("0007", "0002"))
    bench("jot", "used", "stage", "q214", "from", "2")
    assert 'from = "K26-0002"' in " ".join(bench.text.split())
    ran = bench("jot", "used", "stage", "q214", "from", "99")
    assert (ran.status, 'there is no job "99"' in ran.err) == (2, True)


def test_a_pad_of_a_package_is_another_than_that_of_the_board(bench: AtBench) -> None:
    bench("jot", "pad", "q214", "4", "lifted", "supply")
    bench("jot", "pad", "q214", "4", "package", "torn-off")
    bench("jot", "pad", "q214", "4", "board", "film", "0.3")
    assert bench.text.count("[[pad]]") == 2
    assert 'damage  = "lifted"\nrepaired = "film"' in bench.text
    assert 'side   = "package"\ndamage = "torn-off"\n' in bench.text


def test_a_wait_ends_today_or_on_a_day(bench: AtBench) -> None:
    bench("jot", "wait", "parts", "since", "2026-10-20")
    assert bench.writes("jot", "wait", "over", "2026-10-21") == "K26-0007 wait for parts until 2026-10-21\n"
    ran = bench("jot", "wait", "over")
    assert (ran.status, "has no open wait" in ran.err) == (2, True)


def test_the_clock_counts_the_minutes(bench: AtBench) -> None:
    assert bench.writes("jot", "start") == "K26-0007 clock started at 10:05\n"
    ran = bench("jot", "start")
    assert "the clock has been running since 10:05 for K26-0007" in ran.err
    bench.clock.passes(75)
    assert "minutes 75" in bench("jot", "stop", "fit", "u3").out
    assert "at      = 2026-10-22T10:05:00" in bench.text
    assert "no clock is running" in bench("jot", "stop", "clean").err


def test_a_clock_goes_on_when_the_entry_is_refused(bench: AtBench) -> None:
    bench.writes("jot", "start")
    assert bench("jot", "stop", "ft").status == 2
    bench.clock.passes(5)
    assert "minutes 5" in bench("jot", "stop", "clean").out


def test_the_minutes_of_one_job_are_not_written_to_another_unasked(bench: AtBench) -> None:
    put(bench.root / "jobs/2026/K26-0009.toml", JOB.replace("0007", "0009"))
    bench.writes("jot", "start")
    bench.clock.passes(20)
    ran = bench("jot", "stop", "clean", "--job", "9")
    assert (ran.status, ran.out) == (2, "")
    assert ran.err == (
        "jobkit: the clock was started for K26-0007 at 10:05, not for K26-0009; "
        "`jobkit jot stop` writes to K26-0007; say --yes if K26-0009 is right\n"
    )
    bench.writes("on", "9")
    assert "minutes 20" in bench.writes("jot", "stop", "clean")  # without --job: the one it was started for
    assert "minutes = 20" in bench.text
    bench.writes("jot", "start")
    assert bench.writes("jot", "stop", "clean", "--job", "7", "--yes").startswith("K26-0007 work")


@pytest.mark.parametrize(("typed", "status"), [("y", 0), ("", 2)])
def test_at_a_terminal_another_job_is_asked_for(bench: AtBench, typed: str, status: int) -> None:
    put(bench.root / "jobs/2026/K26-0009.toml", JOB.replace("0007", "0009"))
    words = ["--book", str(bench.root)]
    with Terminal(["jot", "start", *words], bench.root) as there:
        assert there.ends() == 0
    with Terminal(["jot", "stop", "clean", "--job", "9", *words], bench.root) as there:
        there.sees("not for K26-0009; write its minutes to K26-0009 (y, Enter no): ")
        there.types(typed)
        assert there.ends() == status
    assert ("minutes = 1\n" in (bench.root / "jobs/2026/K26-0009.toml").read_text("utf-8")) == (status == 0)


@pytest.mark.parametrize(
    ("passed", "since", "minutes"),
    [(980, "2026-10-22 10:05", 980), (481, "10:05", 481), (-5, "10:05", -5)],
    ids=["over night", "longer than a working day", "clock set back"],
)
def test_a_clock_that_was_forgotten_is_not_believed(
    bench: AtBench, passed: int, since: str, minutes: int
) -> None:
    bench.writes("jot", "start")
    bench.clock.passes(passed)
    ran = bench("jot", "stop", "clean")
    assert (ran.status, ran.out, bench.text) == (2, "", JOB)
    assert ran.err == (
        f"jobkit: the clock has been running since {since}, that is {minutes} minutes; "
        "say how many the work took, as in `jobkit jot stop clean --minutes 45`\n"
    )
    assert "minutes 45" in bench.writes("jot", "stop", "clean", "--minutes", "45")
    assert "no clock is running" in bench("jot", "stop", "clean").err


def test_a_whole_working_day_is_believed(bench: AtBench) -> None:
    bench.writes("jot", "start")
    bench.clock.passes(480)
    assert "minutes 480" in bench.writes("jot", "stop", "clean")


@pytest.mark.parametrize(
    ("typed", "written"), [("45", "minutes = 45\n"), ("7,5", "minutes = 7.5\n"), ("0", "")]
)
def test_at_a_terminal_the_minutes_are_asked_for(bench: AtBench, typed: str, written: str) -> None:
    bench.writes("jot", "start")  # by the clock of the test, long ago for the one of this machine
    with Terminal(["jot", "stop", "clean", "--book", str(bench.root)], bench.root) as there:
        there.sees("how many minutes did the work take (0 writes nothing)? ")
        there.types("soon")
        there.sees("how many minutes did the work take (0 writes nothing)? ")
        there.types(typed)
        assert there.ends() == 0
    assert written in bench.text
    assert (bench.text == JOB) == (not written)
    assert "no clock is running" in bench("jot", "stop", "clean").err


def test_a_stop_that_was_killed_does_not_write_the_minutes_twice(bench: AtBench, tmp_path: Path) -> None:
    bench.writes("jot", "start")
    bench.clock.passes(20)
    words = ["jot", "stop", "clean", "--book", str(bench.root)]
    kept = [shutil.copytree(tmp_path / name, tmp_path / f"{name} kept") for name in ("book", "state")]
    steps = call(words, bench.root, at=bench.clock.time).steps
    assert steps > 10
    for number in share(range(1, steps + 1), 2):
        for folder in kept:
            shutil.rmtree(tmp_path / folder.name.removesuffix(" kept"))
            shutil.copytree(folder, tmp_path / folder.name.removesuffix(" kept"))
        assert call(words, bench.root, Fault(KILL, number), at=bench.clock.time).status == -9
        written = bench.text != JOB
        assert ("no clock is running" in bench("jot", "stop", "clean").err) == written
        assert bench.text.count("minutes = 20\n") == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("work ft u3", '"ft" is not a choice for did; write "fit"'),
        ("work", "work needs words; it takes did, part"),
        ("work fit u33", "U33 is not a part of rowan-r3"),
        ("pad q215 4 lifted", "Q215 is not a part of rowan-r3"),
        ("inject v13 1.0", "V13 is not a rail of rowan-r3"),
        ("inject v12 1.0A", '"volts" is missing in [[inject]]'),
        ("used stge q214", "there is no stge in stock.toml"),
        ("used xyz from donor", 'or for a donor the id of its job, such as "K26-0012"'),
        ("comeback 99", 'there is no job "99"'),
        ("date agred", '"agred" is not a date of a job'),
        ("charged 100", '"charged" is a key of the price; use `jobkit jot price charged …`'),
        ("if-not-repaired 30", "use `jobkit jot price if-not-repaired …`"),
        ("paid 50", '"50" is not a day; for a sum of money use `jobkit jot payment 50`'),
        ("agreed 120,50", "use `jobkit jot agreement 120,50`"),
        ("quoted 160", "use `jobkit jot price quoted 160`"),
        ("wrk fit", '"wrk" is not a kind of entry; write "work"'),
        ("reading vmem 3", "use `jobkit read vmem 23.4`"),
        ("work bake", '"hours" is missing in [[work]]'),
        ("client Somebody", "client cannot be"),
        ("title", "title needs words"),
        ("outcome fixed", "outcome is repaired, no-fault-found, beyond-repair or declined"),
        ("seen microscope pased rest", '"pased" does not fit in seen; write "passed"'),
        ("trial picture maybe", '"maybe" does not fit in trial; result is pass, fail or stopped'),
        ("pad q214 4", '"damage" is missing in [[pad]]; add the words `damage "lifted"`'),
    ],
)
def test_a_slip_is_one_line_and_nothing_is_written(bench: AtBench, words: str, said: str) -> None:
    ran = bench("jot", *words.split())
    assert (ran.status, ran.out) == (2, ""), ran
    assert said in ran.err
    assert ran.err.count("\n") == 1
    assert bench.text == JOB


def test_a_part_that_no_file_knows_is_refused_as_a_point_is(bench: AtBench) -> None:
    status, out, err = bench("jot", "work", "clean", "F1")
    assert (status, out, bench.text) == (2, "", JOB)
    assert err == (
        "jobkit: F1 is not a part of rowan-r3; add it to parts in boards/rowan-r3.toml; "
        "known names: L3, Q214, U10, U3, U4, or use --as-is if the name is right\n"
    )


def test_a_part_taken_as_it_is_need_not_be_said_again(bench: AtBench) -> None:
    ran = bench("jot", "work", "remove", "F1", "--as-is")
    assert ran.status == 0
    assert "warning part-unknown: F1 is not a part of rowan-r3" in ran.err
    bench.writes("jot", "work", "prepare", "F1")
    assert "VMEM without F1" in bench.writes("read", "vmem", "23.4")


def test_any_part_will_do_on_a_board_whose_parts_nobody_wrote_down(bench: AtBench) -> None:
    bare = 'format = 1\ndesign = "rowan-r3"\nkind = "graphics card"\n'
    put(bench.root / "boards/rowan-r3.toml", bare)
    bench.writes("jot", "work", "clean", "F1")
    bench.writes("jot", "seen", "memroy test")


@pytest.mark.parametrize(
    ("rule", "said"),
    [
        ("sealed", "the rule sealed cannot be waived; fix what it finds, and remove this waiver"),
        ("frobnicate", "there is no rule frobnicate; see `jobkit rules`; known names: "),
    ],
)
def test_a_waiver_that_would_waive_nothing_is_not_written_at_all(
    bench: AtBench, rule: str, said: str
) -> None:
    for words in (("rule", rule, "why", "as agreed"), ("rule", rule, "why", "as agreed", "--as-is")):
        status, out, err = bench("jot", "waive", *words)
        assert (status, out, bench.text) == (2, "", JOB)
        assert err.startswith(f"jobkit: {said}")
        assert "--as-is" not in err


def test_a_check_that_is_nearly_one_of_the_board_file_is_refused(bench: AtBench) -> None:
    status, out, err = bench("jot", "seen", "memroy test", "failed", "3H")
    assert (status, out, bench.text) == (2, "", JOB)
    assert err == (
        'jobkit: "memroy test" is not a check of the board file; '
        'write "memory test", or use --as-is if the name is right\n'
    )
    bench.writes("jot", "seen", "memroy test", "--as-is")
    assert 'check = "memroy test"' in bench.text


def test_a_check_in_free_words_is_written_and_said(bench: AtBench) -> None:
    ran = bench("jot", "seen", "microscope", "flux round U5")
    assert (ran.status, ran.out) == (0, "K26-0007 seen: check microscope, what flux round U5\n")
    assert ran.err == (
        'jobkit: "microscope" is not a check of the board file: written as free text; known names: memory test\n'
    )


def test_what_is_dangerous_is_written_because_it_happened_and_said(bench: AtBench) -> None:
    ran = bench("jot", "inject", "v12", "12", "2")
    assert ran.status == 0
    assert "error inject-volts" in ran.err
    assert 'volts = "12 V"' in bench.text


def test_sending_a_board_that_is_not_proved_is_said(bench: AtBench) -> None:
    put(bench.root / JOB_PATH, JOB.replace("title", 'outcome = "repaired"\ntitle') + "\n" + work("fit", "U3"))
    ran = bench("jot", "sent")
    assert ran.status == 0
    assert "proof-missing" in ran.err


def test_no_message_calls_a_board_ready_that_is_not_proved(bench: AtBench) -> None:
    put(bench.root / JOB_PATH, JOB.replace("title", 'outcome = "repaired"\ntitle'))
    assert bench("jot", "finished").status == 0
    refused = bench("report", "--for", "message")
    assert (refused.status, refused.out) == (2, "")
    assert "is finished, but not proved: VCORE resistance, cold: not read, and " in refused.err
    assert bench("report", "--for", "message", "--about", "ready").status == 0


def test_many_findings_of_one_rule_are_counted(bench: AtBench) -> None:
    entries = "".join(work("inspect", "U3", f"2026-10-22 {hour:02}:00") for hour in range(6, 11))
    put(bench.root / JOB_PATH, f"{JOB}\n{entries}")
    said = bench("jot", "sent", "2026-10-20").err
    assert said.count("error entry-outside-job") == 3
    assert "2 more of entry-outside-job" in said
    assert said.endswith("; `jobkit lint` shows all\n")


def test_a_change_to_a_job_that_was_sent_wants_its_reason(bench: AtBench) -> None:
    put(bench.root / JOB_PATH, JOB + "sent = 2026-10-21\n")
    GitRepo.make(bench.root).commit("Sent")
    bench("on", "7")
    assert "error sealed: the job was sent on 2026-10-21" in bench("jot", "cause", "q214", "shorted").err
    assert "sealed" not in bench("jot", "amended", "the cause came out later").err


def test_a_job_is_not_sealed_before_its_sending_is_committed(bench: AtBench) -> None:
    GitRepo.make(bench.root).commit("On the bench")
    bench("on", "7")
    put(bench.root / JOB_PATH, JOB + "sent = 2026-10-21\n")
    ran = bench("jot", "cause", "q214", "shorted")
    assert (ran.status, "sealed" in ran.err) == (0, False)


def test_help_is_made_of_the_schema(bench: AtBench) -> None:
    out = bench._run("jot", "trial", "--help").out
    assert "[RUN] [RESULT] [MINUTES]" in out
    assert "--cold-start" in out
    assert "(pass, fail, stopped)" in " ".join(out.split())
    assert "--install-completion" not in bench._run("jot", "--help").out
