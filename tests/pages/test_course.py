"""The course of a stay: order of time, one row for the readings of a day and stage, days without a time first."""

from __future__ import annotations

from datetime import date, datetime

from jobkit.book.read.load import load_job
from jobkit.jobs.bench import Bench
from jobkit.pages.bench.course import CourseView, course_of
from jobkit.reckon.readings.limits import judge_reading
from tests.books import JOB_PATH

TEXT = """\
format = 1
id = "K26-0001"
client = "c-1"
title = "t"
[board]
kind = "graphics card"
[intake]
complaint = "c"
[dates]
received = 2026-10-01
[[amended]]
at = 2026-10-09T10:00:00
why = "the load run was of another board"
[[work]]
at = 2026-10-03T09:00:00
minutes = 20
did = "remove"
part = "U1"
[[pad]]
part = "U1"
ball = "C4"
damage = "torn-off"
[[inject]]
at = 2026-10-02T10:00:00
rail = "V12"
volts = "1.0 V"
[[reading]]
at = 2026-10-02T09:00:00
stage = "arrival"
point = "V12"
kind = "resistance"
value = "0.4 Ω"
limit = ">= 200 Ω"
[[reading]]
at = 2026-10-02T09:05:00
stage = "arrival"
point = "VCORE"
kind = "resistance"
value = "0.4 Ω"
[[reading]]
at = 2026-10-03T11:00:00
point = "V12"
kind = "resistance"
value = "400 Ω"
limit = ">= 200 Ω"
[price]
[[price.agreed]]
on = 2026-10-03
amount = "90.00 EUR"
note = "by telephone"
"""


def test_the_course_is_in_order_of_time() -> None:
    job = load_job(JOB_PATH, TEXT.encode()).job
    assert job
    judged = [judge_reading(one, Bench(), None) for one in job.readings]
    found = course_of(CourseView(job, None, judged, frozenset()))
    assert [(one.at, one.what, one.details) for one in found] == [
        (datetime(2026, 10, 2, 9), "readings on arrival", "V12 out, 1 without a limit"),
        (datetime(2026, 10, 2, 10), "injected 1.0 V into V12", ""),
        (date(2026, 10, 3), "agreed 90.00 EUR", "by telephone"),
        (datetime(2026, 10, 3, 9), "remove U1", ""),
        (datetime(2026, 10, 3, 11), "readings while working", "1 within limits"),
        (datetime(2026, 10, 9, 10), "amended: the load run was of another board", ""),
        (None, "pad U1 ball C4 torn-off", ""),
    ]
    assert [one.minutes for one in found if one.minutes] == [20]
