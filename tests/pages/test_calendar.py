"""The calendar of what falls due, read back by a reader of its own."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.pages.bench.calendar import HEADINGS, as_calendar, uids
from jobkit.pages.bench.due import next_step, why
from jobkit.reckon.progress.due import WHAT, Due
from tests.pages.ics_reader import Component, read

WARRANTY = Due(
    date(2027, 4, 26),
    "warranty",
    "K26-0047",
    date(2026, 10, 26),
    "covered",
    "Q214, phase 3; not \\ water",
    "Trips the supply: the moment it is\nswitched on",
    (date(2027, 4, 12), date(2027, 4, 25)),
)
PAYMENT = Due(date(2026, 11, 2), "payment", "K26-0043", date(2026, 10, 19), "sent", "186.00 EUR")
METER = Due(date(2027, 3, 2), "meter", "", date(2026, 3, 2), "1 year", "dmm-1")


def calendar(*items: Due, bench: str = "Skerrie Bench") -> Component:
    return read(as_calendar(bench, items).encode("utf-8"))


def test_a_calendar_is_what_the_standard_asks() -> None:
    """RFC 5545, 3.6: PRODID and VERSION 2.0; no METHOD, as nothing is sent to anybody."""
    whole = calendar(WARRANTY, PAYMENT)
    assert whole.name == "VCALENDAR"
    assert (whole.properties["VERSION"], whole.properties["PRODID"]) == ("2.0", "-//jobkit//due//EN")
    assert "METHOD" not in whole.properties
    assert [event.name for event in whole.inside] == ["VEVENT", "VEVENT"]


def test_an_event_lasts_one_whole_day() -> None:
    """RFC 5545, 3.6.1: the DTEND of a DATE is exclusive."""
    event = calendar(WARRANTY).inside[0]
    assert event.properties["DTSTART;VALUE=DATE"] == "20270426"
    assert event.properties["DTEND;VALUE=DATE"] == "20270427"
    assert event.properties["DTSTAMP"] == "20261026T000000Z"
    assert event.properties["TRANSP"] == "TRANSPARENT"


def test_words_come_back_as_they_were() -> None:
    event = calendar(WARRANTY).inside[0]
    assert event.text("SUMMARY") == "Warranty ends: K26-0047"
    assert event.text("DESCRIPTION") == (
        "Trips the supply: the moment it is\nswitched on\n"
        "last day of cover for Q214, phase 3; not \\ water, since 2026-10-26.\n"
        "Next: ask the client how the board runs, if you like."
    )


_DURATION = re.compile(r"([+-]?)P(?:([0-9]+)D)?(?:T(?:([0-9]+)H)?(?:([0-9]+)M)?(?:([0-9]+)S)?)?")


def _triggers(event: Component) -> list[timedelta]:
    found = []
    for alarm in event.inside:
        assert (alarm.name, alarm.properties["ACTION"]) == ("VALARM", "DISPLAY")
        assert alarm.text("DESCRIPTION")
        match = _DURATION.fullmatch(alarm.properties["TRIGGER"])
        assert match
        days, hours, minutes, seconds = (int(count or 0) for count in match.groups()[1:])
        size = timedelta(days=days, hours=hours, minutes=minutes, seconds=seconds)
        found.append(-size if match[1] == "-" else size)
    return found


def test_alarms_ring_at_nine_on_the_days_of_the_reminders_or_on_the_day_itself() -> None:
    """Relative to the start of the event, which is midnight (RFC 5545, 3.8.6.3)."""
    nine = timedelta(hours=9)
    assert _triggers(calendar(WARRANTY).inside[0]) == [nine - timedelta(days=14), nine - timedelta(days=1)]
    assert _triggers(calendar(PAYMENT).inside[0]) == [nine]


def test_a_second_run_changes_nothing_and_a_moved_day_keeps_its_name() -> None:
    items = (PAYMENT, METER, WARRANTY)
    assert as_calendar("Skerrie Bench", items) == as_calendar("Skerrie Bench", items)
    before, after = (calendar(WARRANTY._replace(on=date(2027, 4, day))).inside[0] for day in (26, 27))
    assert before.properties["UID"] == after.properties["UID"]
    assert before.properties["DTSTART;VALUE=DATE"] != after.properties["DTSTART;VALUE=DATE"]


def test_names_of_events_are_all_different() -> None:
    fans = [Due(date(2026, 11, day), "part", "K26-0052", date(2026, 11, 1), "parts", "fan") for day in (3, 4)]
    other = [METER._replace(about="dmm 1"), METER, PAYMENT, PAYMENT._replace(job="skerrie/K26-0043")]
    names = list(uids("Skerrie Bench", [*fans, *other]))
    assert len(set(names)) == len(names)
    assert all(re.fullmatch(r"[a-z0-9-]+@skerrie-bench\.jobkit", name) for name in names)


def test_a_bench_whose_name_has_no_plain_letter_has_a_calendar_too() -> None:
    assert calendar(PAYMENT, bench="Ω").inside[0].properties["UID"].endswith("@bench.jobkit")


def test_an_empty_calendar_is_still_one() -> None:
    assert calendar().inside == []


def test_everything_that_falls_due_has_a_heading_of_its_own() -> None:
    assert set(HEADINGS) == set(WHAT)
    assert len(set(HEADINGS.values())) == len(WHAT)


@given(st.text(st.characters(blacklist_categories=["Cs"]), max_size=200))
def test_any_words_are_folded_and_escaped_and_come_back(words: str) -> None:
    """All but control characters, which the standard has no place for (3.1); a line end of any kind is one."""
    event = calendar(WARRANTY._replace(title=words, about="")).inside[0]
    first = event.text("DESCRIPTION").rsplit("\nlast day of cover", 1)[0] if words else ""
    assert first == re.sub(r"[\x00-\x09\x0b-\x1f\x7f]", " ", words)


HOSTILE = st.text(
    st.sampled_from('\\\\;:,"\n\r\t\x00\x7f\x85\u2028é\U0001f527aN')
    | st.characters(blacklist_categories=["Cs"]),
    max_size=40,
)
ITEMS = st.builds(
    Due,
    st.just(date(2026, 11, 20)),
    st.sampled_from(["part", "meter", "dry", "warranty"]),
    HOSTILE,
    st.just(date(2026, 11, 1)),
    HOSTILE,
    HOSTILE,
    HOSTILE,
    st.just(()),
)


def _as_read(words: str) -> str:
    """Give words as a calendar holds them: a control character is a space (RFC 5545, 3.1)."""
    return re.sub(r"[\x00-\x09\x0b-\x1f\x7f]", " ", words)


@given(bench=HOSTILE, item=ITEMS)
def test_every_property_holds_hostile_words(bench: str, item: Due) -> None:
    """RFC 5545, 3.3.11: in text, backslash, semicolon, comma and line end are escaped, in whichever property."""
    whole = calendar(item, bench=bench)
    (event,) = whole.inside
    (alarm,) = event.inside
    called = f"{HEADINGS[item.what]}: {item.job or item.about}"
    assert whole.text("X-WR-CALNAME") == _as_read(f"{bench}: due")
    assert event.text("SUMMARY") == _as_read(called)
    assert alarm.text("DESCRIPTION") == _as_read(f"{called}, {item.on}")
    words = [*([item.title] if item.title else []), f"{why(item)}.", f"Next: {next_step(item)}."]
    assert event.text("DESCRIPTION") == _as_read("\n".join(words))
    assert re.fullmatch(r"[a-z0-9-]+@[a-z0-9-]+\.jobkit", event.properties["UID"])
    assert event.properties["CATEGORIES"] == item.what
    assert whole.properties.keys() == {"VERSION", "PRODID", "X-WR-CALNAME"}


@pytest.mark.parametrize("name", ["back\\slash", "two\nlines", "a; b, c", "\\"])
def test_the_name_of_a_bench_comes_back(name: str) -> None:
    assert calendar(PAYMENT, bench=name).text("X-WR-CALNAME") == f"{name}: due"
