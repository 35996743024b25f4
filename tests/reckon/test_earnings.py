"""What came in an hour: money over bench time, group by group."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from tests.bills import MADE, ON, bench, book
from tests.books import put
from tests.conftest import Run
from tests.schema.schemas import fast

WORK = '[[work]]\nat = 2026-10-08T11:00:00\nminutes = {}\ndid = "{}"\n'
USED = '[[used]]\nat = 2026-10-08T12:00:00\nitem = "{}"\n{}\n'


def rows(run: Run, root: Path, *more: str) -> list[tuple[str, int, float, str, str, str, str | None]]:
    ran = run("earnings", *ON, "--book", root, "--format", "json", *more)
    assert (ran.status, ran.err) == (0, "")
    assert list(fast("answers/earnings").iter_errors(ran.data)) == []
    return [
        (one["group"], one["jobs"], one["hours"], one["billed"], one["parts"], one["left"], one["per_hour"])
        for one in (*ran.data["rows"], *ran.data["all"])
    ]


def test_an_hour_of_one_job(run: Run, tmp_path: Path) -> None:
    # 155.00 of the repair and 10.00 back, no shipping; a stage at its cost, not at its price; 90 minutes
    price = (
        '[price]\ncharged = "155.00 EUR"\nshipping = "12.00 EUR"\n'
        '[[price.credit]]\non = 2026-10-12\namount = "10.00 EUR"\nwhy = "late"\n'
    )
    root = book(tmp_path, price + WORK.format(90, "fit") + USED.format("stage", "qty = 2"))
    wanted = (1, 1.5, "145.00 EUR", "8.40 EUR", "136.60 EUR", "91.07 EUR")
    assert rows(run, root) == [("2026-W41", *wanted), ("all", *wanted)]


def test_minutes_that_are_not_whole(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, '[price]\ncharged = "100.00 EUR"\n' + WORK.format(22.5, "fit"))
    wanted = (1, 0.38, "100.00 EUR", "0.00 EUR", "100.00 EUR", "266.67 EUR")
    assert rows(run, root) == [("2026-W41", *wanted), ("all", *wanted)]


def test_gross_prices_are_earned_without_their_tax(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, '[price]\ncharged = "124.00 EUR"\n' + WORK.format(60, "fit"), bench(prices="gross"))
    assert rows(run, root)[0][3] == "100.00 EUR"


def test_the_money_of_a_job_is_shared_out_by_the_minute(run: Run, tmp_path: Path) -> None:
    work = WORK.format(20, "fit") + WORK.format(30, "clean") + WORK.format(10, "fit")
    root = book(tmp_path, '[price]\ncharged = "100.00 EUR"\n' + work)
    assert rows(run, root, "--by", "work") == [
        ("clean", 1, 0.5, "50.00 EUR", "0.00 EUR", "50.00 EUR", "100.00 EUR"),
        ("fit", 1, 0.5, "50.00 EUR", "0.00 EUR", "50.00 EUR", "100.00 EUR"),
        ("all", 1, 1, "100.00 EUR", "0.00 EUR", "100.00 EUR", "100.00 EUR"),
    ]


@pytest.mark.parametrize(
    ("by", "group"),
    [("week", "2026-W41"), ("design", "graphics card without a board file"), ("work", "no bench time")],
)
def test_a_job_without_bench_time_has_no_hourly_figure(run: Run, tmp_path: Path, by: str, group: str) -> None:
    root = book(tmp_path, '[price]\ncharged = "100.00 EUR"\n')
    assert rows(run, root, "--by", by)[0] == (group, 1, 0, "100.00 EUR", "0.00 EUR", "100.00 EUR", None)


def test_hours_under_warranty_count(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, WORK.format(60, "fit"))
    assert rows(run, root)[0] == ("2026-W41", 1, 1, "0.00 EUR", "0.00 EUR", "0.00 EUR", "0.00 EUR")


def test_unfinished_and_earlier_jobs_are_left_out(run: Run, tmp_path: Path) -> None:
    open_job = book(tmp_path / "a", '[price]\nquoted = "100.00 EUR"\n', dates="started = 2026-10-08\n")
    assert rows(run, open_job) == []
    done = book(tmp_path / "b", '[price]\ncharged = "100.00 EUR"\n')
    assert len(rows(run, done, "--since", "2026-10-09")) == 2
    assert rows(run, done, "--since", "2026-10-10") == []


def test_currencies_are_never_added_up(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, '[price]\ncharged = "100.00 EUR"\n' + WORK.format(60, "fit"))
    other = (root / "jobs/2026/K26-0001.toml").read_text("utf-8").replace("K26-0001", "K26-0002")
    bought = USED.format("a socket", 'from = "bought"\ncost = "3.00 KWD"')
    put(root / "jobs/2026/K26-0002.toml", other.replace("100.00 EUR", "7000 JPY") + bought)
    assert rows(run, root)[:3] == [
        ("2026-W41", 1, 1, "100.00 EUR", "0.00 EUR", "100.00 EUR", "100.00 EUR"),
        ("2026-W41", 1, 1, "7000 JPY", "0 JPY", "7000 JPY", "7000 JPY"),
        ("2026-W41", 0, 0, "0.000 KWD", "3.000 KWD", "-3.000 KWD", None),
    ]


def test_a_job_that_cannot_be_billed_is_named(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, '[price]\ncharged = "100.00 EUR"\nshipping = "5.00 USD"\n')
    assert rows(run, root) == []
    out = run("earnings", *ON, "--book", root).out
    assert "K26-0001 is not included: K26-0001 cannot be billed in two currencies" in " ".join(out.split())


def test_a_part_without_a_cost_is_named(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, '[price]\ncharged = "9.00 EUR"\n' + USED.format("a socket", 'from = "bought"'))
    assert "No cost is entered for a socket." in run("earnings", *ON, "--book", root).out


def test_an_unknown_grouping_is_refused(run: Run, tmp_path: Path) -> None:
    ran = run("earnings", *ON, "--by", "weeks", "--book", book(tmp_path, ""))
    assert (ran.status, ran.err) == (
        2, 'jobkit: earnings cannot be grouped by "weeks"; choose one of week, design, work\n',
    )  # fmt: skip


def test_the_table_for_programs_has_minutes(run: Run, tmp_path: Path) -> None:
    root = book(tmp_path, '[price]\ncharged = "100.00 EUR"\n' + WORK.format(90, "fit"))
    assert run("earnings", *ON, "--book", root, "--format", "csv").out.splitlines() == [
        "week,jobs,minutes,billed,parts,after_parts,per_hour,currency",
        "2026-W41,1,90,100.00,0.00,100.00,66.67,EUR",
        "all,1,90,100.00,0.00,100.00,66.67,EUR",
    ]


def test_the_week_is_that_of_the_finish(run: Run, tmp_path: Path) -> None:
    # ISO 8601: 2026-12-31 is in 2026-W53
    dates = MADE.replace("2026-10-09", "2026-12-31").replace("2026-10-12", "2026-12-31")
    root = book(tmp_path, '[price]\ncharged = "1.00 EUR"\n', dates=dates)
    ran = run("earnings", *ON, "--book", root, "--on", date(2027, 1, 1).isoformat(), "--format", "json")
    assert ran.data["rows"][0]["group"] == "2026-W53"
