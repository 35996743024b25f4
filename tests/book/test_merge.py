"""The merge, case by case: what a bench would expect of it, and forms that no bench should write."""

import re
from pathlib import Path

import pytest

from jobkit.book.git.linemerge import Labels
from jobkit.book.merge import CLEAN, CONFLICT, Merged, driver, merge, run
from jobkit.book.merge.markers import sides

JOB = """\
#:schema ../../schema/job.schema.json
format  = 1
id      = "K26-0047"
client  = "c-031"

[board]
kind   = "graphics card"

[dates]
received = 2026-10-19

# on the old meter
[[reading]]
at    = 2026-10-22T10:05:00
point = "V12"
value = "0.4 Ω"

[[pad]]
part = "Q214"
ball = "4"

[[wait]]
for   = "parts"
since = 2026-10-22
what  = "two power stages"
"""
STOCK = """\
format = 1

[item.stage]
what = "power stage"
counted = 14
counted_on = 2026-09-30

[item.fan]
what = "fan"
counted = 2
"""
METER = '[[meter]]\nname = "dmm-1"\n[[meter.range]]\nkind = "resistance"\nupto = "220 Ω"\n'
OTHER_METER = '[[meter]]\nname = "dmm-2"\n[[meter.range]]\nkind = "voltage"\nupto = "20 V"\n'
METERS = f"format = 1\n{METER}{OTHER_METER}"


def reading(minute: int, value: str, *, point: str = "V12") -> str:
    return f'\n[[reading]]\nat    = 2026-10-22T11:{minute:02}:00\npoint = "{point}"\nvalue = "{value}"\n'


def work(minute: int, did: str) -> str:
    return f'\n[[work]]\nat  = 2026-10-22T11:{minute:02}:00\ndid = "{did}"\n'


PAD = '\n[[pad]]\npart = "U5"\nball = "A1"\n'
MORE_PAD = '\n[[pad]]\npart = "U6"\nball = "B1"\n'


def changed(text: str, *edits: tuple[str, str]) -> str:
    for old, new in edits:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


EARLY = reading(5, "1 Ω")
LATE = reading(9, "2 Ω")
SPACED = EARLY.replace("T11", " 11")
NOTED_EARLY = f"\n# again{EARLY}"
NOTED_LATE = f"\n# shorted{LATE}"
FIT = work(7, "fit")
CAUSE = '\n[cause]\npart = "Q214"\n'
CAUSE_FAULT = '\n[cause]\nfault = "shorted"\n'
WARRANTY = '\n[warranty]\nduration = "P6M"\n'
PRICE = '\n[price]\nquoted = "1 EUR"\n'
AGREED = "\n[[price.agreed]]\non = 2026-10-20\n"
AGREED_LATER = "\n[[price.agreed]]\non = 2026-10-21\n"
PRICED_ON = "\n[price]\non = 2026-10-20\n"
ODD_WORK = '\n[[work]]\nat.day = 2026-10-20\ndid = "fit"\n'
WAIT = '\n[[wait]]\nfor = "client"\nsince = 2026-10-21\n'
BEFORE_WAIT = EARLY.replace("10-22T", "10-20T")
OWN = '\n[own]\nwhat = "x"\n'

ADDED = [
    ("by time", LATE, EARLY, EARLY + LATE),
    ("by time across lists", EARLY + LATE, FIT, EARLY + FIT + LATE),
    ("by time with a space for the T", LATE, SPACED, SPACED + LATE),
    ("ties by content", reading(5, "9 Ω"), EARLY, EARLY + reading(5, "9 Ω")),
    ("dated and alike: one event", EARLY + FIT, EARLY, EARLY + FIT),
    ("dated and alike among others", EARLY + FIT, work(3, "bake") + EARLY, work(3, "bake") + EARLY + FIT),
    ("undated and alike: two events", PAD + FIT, PAD, PAD + FIT + PAD),
    ("undated and alike, and one more", PAD + MORE_PAD, PAD, PAD + PAD + MORE_PAD),
    ("undated behind dated", PAD, EARLY, EARLY + PAD),
    ("undated in front of dated stays there", PAD + LATE, EARLY, PAD + EARLY + LATE),
    ("an undated side keeps its order", MORE_PAD + PAD, PAD, PAD + MORE_PAD + PAD),
    ("with the remark above", NOTED_LATE, NOTED_EARLY, NOTED_EARLY + NOTED_LATE),
    ("one side alone keeps its order", LATE + EARLY + CAUSE, CAUSE, LATE + EARLY + CAUSE),
    ("tables", CAUSE, WARRANTY, CAUSE + WARRANTY),
    ("a table behind the entries", CAUSE, EARLY, EARLY + CAUSE),
    ("one table key by key", CAUSE, CAUSE_FAULT, CAUSE_FAULT + 'part = "Q214"\n'),
    ("one table with one key alike", CAUSE, CAUSE + 'fault = "x"\n', CAUSE + 'fault = "x"\n'),
    ("a table with entries", PRICE + AGREED_LATER, "\n[price]\n" + AGREED, PRICE + AGREED + AGREED_LATER),
    ("entries of a table alone", PRICE + AGREED_LATER, PRICE + AGREED, PRICE + AGREED + AGREED_LATER),
    ("a table with a day is not an entry", PRICED_ON, EARLY, EARLY + PRICED_ON),
    ("a key of a key is not its time", ODD_WORK, EARLY, EARLY + ODD_WORK),
    ("a wait by the day it began", WAIT, reading(5, "1 Ω").replace("10-22T", "10-20T"), BEFORE_WAIT + WAIT),
    (
        "tables of both in their order",
        WARRANTY + CAUSE + PRICE,
        WARRANTY + CAUSE + OWN,
        WARRANTY + CAUSE + OWN + PRICE,
    ),
]


@pytest.mark.parametrize(
    ("ours", "theirs", "expected"), [row[1:] for row in ADDED], ids=[row[0] for row in ADDED]
)
def test_additions_at_the_end(ours: str, theirs: str, expected: str) -> None:
    for one, other in ((ours, theirs), (theirs, ours)):
        assert merge(JOB, JOB + one, JOB + other) == Merged(JOB + expected, clean=True)


def test_additions_behind_their_own_list() -> None:
    pad = "\n[[pad]]"
    ours = changed(JOB, (pad, reading(9, "1 Ω") + pad))
    theirs = changed(JOB, (pad, reading(5, "2 Ω") + pad)) + work(7, "fit")
    expected = changed(JOB, (pad, reading(5, "2 Ω") + reading(9, "1 Ω") + pad)) + work(7, "fit")
    assert merge(JOB, ours, theirs) == Merged(expected, clean=True)


# Two edits of JOB, and what comes of both.
Edit = tuple[str, str]
CHANGED: list[tuple[str, list[Edit], list[Edit], list[Edit]]] = [
    (
        "two dates",
        [("2026-10-19\n", "2026-10-19\nquoted = 2026-10-20\n")],
        [("2026-10-19\n", "2026-10-19\nagreed = 2026-10-21\n")],
        [("2026-10-19\n", "2026-10-19\nagreed = 2026-10-21\nquoted = 2026-10-20\n")],
    ),
    (
        "two dates alike, in their order, and one more each",
        [("2026-10-19\n", "2026-10-19\nsent = 2026-10-21\nagreed = 2026-10-20\nquoted = 2026-10-20\n")],
        [("2026-10-19\n", "2026-10-19\nsent = 2026-10-21\nagreed = 2026-10-20\npaid = 2026-10-22\n")],
        [
            (
                "2026-10-19\n",
                "2026-10-19\nsent = 2026-10-21\nagreed = 2026-10-20\npaid = 2026-10-22\nquoted = 2026-10-20\n",
            )
        ],
    ),
    (
        "a key that tells an entry, and another key of it",
        [('ball = "4"\n', 'ball = "5"\n')],
        [('ball = "4"\n', 'ball = "4"\ncarries = "supply"\n')],
        [('ball = "4"\n', 'ball = "5"\ncarries = "supply"\n')],
    ),
    (
        "one date alike",
        [("2026-10-19\n", "2026-10-20\n")],
        [("2026-10-19\n", "2026-10-20\n"), ("c-031", "c-032")],
        [("2026-10-19\n", "2026-10-20\n"), ("c-031", "c-032")],
    ),
    (
        "two keys of one entry",
        [('"0.4 Ω"', '"0.5 Ω"')],
        [('"0.4 Ω"\n', '"0.4 Ω"\nmeter = "dmm-1"\n')],
        [('"0.4 Ω"\n', '"0.5 Ω"\nmeter = "dmm-1"\n')],
    ),
    (
        "two keys of an entry without identity",
        [('ball = "4"\n', 'ball = "4"\ncarries = "supply"\n')],
        [('ball = "4"\n', 'ball = "4"\nrepaired = "film"\n')],
        [('ball = "4"\n', 'ball = "4"\ncarries = "supply"\nrepaired = "film"\n')],
    ),
    (
        "a wait ended, its reason mended",
        [("since = 2026-10-22\n", "since = 2026-10-22\nuntil = 2026-10-23\n")],
        [("two power stages", "three power stages")],
        [("since = 2026-10-22\n", "since = 2026-10-22\nuntil = 2026-10-23\n"), ("two power", "three power")],
    ),
    (
        "an entry taken out, another changed",
        [('\n[[pad]]\npart = "Q214"\nball = "4"\n', "")],
        [("two power", "three power")],
        [('\n[[pad]]\npart = "Q214"\nball = "4"\n', ""), ("two power", "three power")],
    ),
    (
        "both take one out",
        [('ball = "4"\n', "")],
        [('ball = "4"\n', ""), ("c-031", "c-1")],
        [('ball = "4"\n', ""), ("c-031", "c-1")],
    ),
    (
        "remarks above one entry",
        [("# on the old meter\n", "# on the old meter\n# leads nulled\n")],
        [("# on the old meter\n", "# on the old meter\n# again\n")],
        [("# on the old meter\n", "# on the old meter\n# again\n# leads nulled\n")],
    ),
    (
        "remarks in front of one above an entry",
        [("# on the old meter\n", "# leads nulled\n# on the old meter\n")],
        [("# on the old meter\n", "# again\n# on the old meter\n")],
        [("# on the old meter\n", "# again\n# leads nulled\n# on the old meter\n")],
    ),
    (
        "a remark, and the value below it",
        [("# on the old meter", "# on the new meter")],
        [("0.4 Ω", "0.5 Ω")],
        [("# on the old meter", "# on the new meter"), ("0.4 Ω", "0.5 Ω")],
    ),
    (
        "a remark above a key, and the key's value",
        [("received", "# by post\nreceived")],
        [("2026-10-19\n", "2026-10-20\n")],
        [("received = 2026-10-19\n", "# by post\nreceived = 2026-10-20\n")],
    ),
    (
        "blank lines, and what stands near them",
        [("\n\n[board]", "\n\n\n\n[board]"), ('"Q214"\n', '"Q214"\n\n')],
        [("\n\n[board]", "\n[board]"), ('"4"', '"5"')],
        [("\n\n[board]", "\n\n\n\n[board]"), ('"4"', '"5"')],
    ),
    (
        "a remark at the very end",
        [('"two power stages"\n', '"two power stages"\n\n# ask again in May\n')],
        [('"two power stages"\n', '"two power stages"\n' + PAD)],
        [('"two power stages"\n', '"two power stages"\n\n# ask again in May\n' + PAD)],
    ),
]  # fmt: skip


@pytest.mark.parametrize(
    ("ours", "theirs", "expected"), [row[1:] for row in CHANGED], ids=[row[0] for row in CHANGED]
)
def test_changes_of_different_things(ours: list[Edit], theirs: list[Edit], expected: list[Edit]) -> None:
    one, other = changed(JOB, *ours), changed(JOB, *theirs)
    assert merge(JOB, one, other) == Merged(changed(JOB, *expected), clean=True)
    assert merge(JOB, other, one) == Merged(changed(JOB, *expected), clean=True)


CONFLICTS: list[tuple[str, list[Edit], list[Edit], str]] = [
    (
        "one date, two days",
        [("2026-10-19\n", "2026-10-19\nsent = 2026-10-26\n")],
        [("2026-10-19\n", "2026-10-19\nsent = 2026-10-27\n")],
        "received = 2026-10-19\n<<<<<<< ours\nsent = 2026-10-26\n=======\nsent = 2026-10-27\n>>>>>>> theirs\n\n# on",
    ),
    (
        "one key at the top",
        [("c-031", "c-032")],
        [("c-031", "c-033")],
        '"K26-0047"\n<<<<<<< ours\nclient  = "c-032"\n=======\nclient  = "c-033"\n>>>>>>> theirs\n\n[board]',
    ),
    (
        "a key taken out here, changed there",
        [('client  = "c-031"\n', "")],
        [("c-031", "c-033")],
        '"K26-0047"\n<<<<<<< ours\n=======\nclient  = "c-033"\n>>>>>>> theirs\n\n[board]',
    ),
    (
        "changed here, taken out there",
        [("0.4 Ω", "0.5 Ω")],
        [('# on the old meter\n[[reading]]\nat    = 2026-10-22T10:05:00\npoint = "V12"\nvalue = "0.4 Ω"\n', "")],
        "received = 2026-10-19\n\n<<<<<<< ours\n# on the old meter\n[[reading]]\n",
    ),
    (
        "one line of a list",
        [('ball = "4"', 'ball = ["4", "5"]')],
        [('ball = "4"', 'ball = [\n  "4",\n  "6",\n]')],
        '<<<<<<< ours\nball = ["4", "5"]\n=======\nball = [\n  "4",\n  "6",\n]\n>>>>>>> theirs\n\n[[wait]]',
    ),
    (
        "one remark in two ways",
        [("# on the old meter", "# on the new meter")],
        [("# on the old meter", "# on dmm-2")],
        "\n\n<<<<<<< ours\n# on the new meter\n[[reading]]\n",
    ),
]  # fmt: skip


@pytest.mark.parametrize(
    ("ours", "theirs", "shown"), [row[1:] for row in CONFLICTS], ids=[row[0] for row in CONFLICTS]
)
def test_changes_of_one_thing(ours: list[Edit], theirs: list[Edit], shown: str) -> None:
    one, other = changed(JOB, *ours), changed(JOB, *theirs)
    merged = merge(JOB, one, other)
    assert not merged.clean
    assert shown in merged.text
    both = sides(merged.text)
    assert both is not None
    assert [plain_lines(side) for side in both] == [plain_lines(one), plain_lines(other)]


def test_entries_that_say_the_same_are_told_apart_by_their_remarks() -> None:
    first, second = f"\n# once{EARLY}", f"\n# again{EARLY}"
    changed_second = changed(second, ("1 Ω", "2 Ω"))
    merged = Merged(JOB + changed_second, clean=True)
    assert merge(JOB + first + second, JOB + second, JOB + first + changed_second) == merged


def test_another_time_makes_it_another_entry() -> None:
    merged = merge(JOB, changed(JOB, ("T10:05", "T10:06")), changed(JOB, ("0.4 Ω", "0.5 Ω")))
    both = sides(merged.text)
    assert not merged.clean
    assert both is not None
    assert [re.findall(r"T10:0[0-9]", side) for side in both] == [["T10:06"], ["T10:06", "T10:05"]]


def plain_lines(text: str) -> list[str]:
    return [line for line in text.split("\n") if line]


@pytest.mark.parametrize(
    ("base", "ours", "theirs", "expected"),
    [
        pytest.param(
            STOCK,
            changed(STOCK, ("counted = 14\n", "counted = 12\n")) + '\n[item.paste]\nwhat = "paste"\n',
            changed(STOCK, ("counted = 2\n", "counted = 1\n")) + '\n[item.coil]\nwhat = "coil"\n',
            changed(STOCK, ("counted = 14\n", "counted = 12\n"), ("counted = 2\n", "counted = 1\n"))
            + '\n[item.coil]\nwhat = "coil"\n\n[item.paste]\nwhat = "paste"\n',
            id="stock",
        ),
        pytest.param(
            METERS,
            changed(METERS, ('"220 Ω"\n', '"220 Ω"\n[[meter.range]]\nkind = "voltage"\n')),
            changed(METERS, ('"220 Ω"\n', '"220 Ω"\n[[meter.range]]\nkind = "current"\n'), ('"20 V"', '"25 V"')),
            changed(
                METERS,
                ('"220 Ω"\n', '"220 Ω"\n[[meter.range]]\nkind = "current"\n[[meter.range]]\nkind = "voltage"\n'),
                ('"20 V"', '"25 V"'),
            ),
            id="ranges of one meter",
        ),
        pytest.param(
            METERS,
            "format = 1\n" + METER,
            f'format = 1\n[[meter]]\nname = "dmm-0"\n{METER}{OTHER_METER}',
            f'format = 1\n[[meter]]\nname = "dmm-0"\n{METER}',
            id="meters come and go",
        ),
        pytest.param(
            "format = 1\n",
            "format = 1\n[item.coil]\ncounted = 2\n",
            "format = 1\n[item.paste]\ncounted = 3\n[item.coil]\ncounted = 2\n",
            "format = 1\n[item.paste]\ncounted = 3\n[item.coil]\ncounted = 2\n",
            id="an item in front of the one that both added",
        ),
    ],
)  # fmt: skip
def test_other_files_of_the_book(base: str, ours: str, theirs: str, expected: str) -> None:
    assert merge(base, ours, theirs) == Merged(expected, clean=True)
    assert merge(base, theirs, ours) == Merged(expected, clean=True)


def test_two_new_files_of_one_name_stand_whole_between_markers() -> None:
    other = JOB.replace("c-031", "c-099").removesuffix("\n")
    merged = merge(None, JOB, other, Labels(size=9))
    assert merged == Merged(f"<<<<<<<<< ours\n{JOB}=========\n{other}\n>>>>>>>>> theirs\n", clean=False)
    assert sides(merged.text) == (JOB, other + "\n")
    assert merge(None, JOB, JOB) == Merged(JOB, clean=True)


class TestForms:
    """Line ends, marks and endings; the line rule is about lines, not about bytes between them."""

    ours = JOB + EARLY
    theirs = JOB + LATE
    expected = JOB + EARLY + LATE

    def test_windows_line_ends(self) -> None:
        base, ours, theirs, expected = (
            text.replace("\n", "\r\n") for text in (JOB, self.ours, self.theirs, self.expected)
        )
        assert merge(base, ours, theirs) == Merged(expected, clean=True)

    def test_one_side_changed_the_line_ends(self) -> None:
        expected = Merged(self.expected.replace("\n", "\r\n"), clean=True)
        assert merge(JOB, self.ours.replace("\n", "\r\n"), self.theirs) == expected
        assert merge(JOB, self.ours, self.theirs.replace("\n", "\r\n")) == expected

    @pytest.mark.parametrize(("windows", "plain"), [(2, 1), (1, 2), (2, 2), (2, 3)])
    def test_line_ends_are_those_of_most_lines(self, windows: int, plain: int) -> None:
        lines = [f"key{number} = {number}" for number in range(windows + plain)]
        base = "".join(
            f"{line}\r\n" if number < windows else f"{line}\n" for number, line in enumerate(lines)
        )
        ours, theirs = base.replace("= 0", "= 10"), base.replace("= 2", "= 12")
        ending = "\r\n" if windows > plain else "\n"
        expected = "".join(line + ending for line in lines).replace("= 0", "= 10").replace("= 2", "= 12")
        assert merge(base, ours, theirs) == Merged(expected, clean=True)

    def test_nothing_is_left_where_each_side_took_out_the_rest(self) -> None:
        assert merge("a = 1\nb = 2\n", "a = 1\n", "b = 2\n") == Merged("", clean=True)

    def test_markers_end_like_the_other_lines(self) -> None:
        base, ours, theirs = (
            JOB.replace("c-031", name).replace("\n", "\r\n") for name in ("c-1", "c-2", "c-3")
        )
        text = merge(base, ours, theirs).text
        assert "=======\r\n" in text
        assert text.count("\r\n") == text.count("\n")

    def test_no_newline_at_the_end(self) -> None:
        base, ours, theirs, expected = (
            text.removesuffix("\n") for text in (JOB, self.ours, self.theirs, self.expected)
        )
        assert merge(base, ours, theirs) == Merged(expected, clean=True)
        assert merge(base, ours, self.theirs) == Merged(self.expected, clean=True)

    def test_a_conflict_in_the_last_line_ends_it(self) -> None:
        text = merge("a = 1", "a = 2", "a = 3").text
        assert text == "<<<<<<< ours\na = 2\n=======\na = 3\n>>>>>>> theirs\n"

    def test_blank_lines_at_the_end(self) -> None:
        assert merge(JOB, self.ours, self.theirs + "\n\n") == Merged(self.expected + "\n\n", clean=True)

    def test_a_byte_order_mark(self) -> None:
        mark = "\ufeff"
        assert merge(mark + JOB, mark + self.ours, mark + self.theirs) == Merged(
            mark + self.expected, clean=True
        )
        assert merge(JOB, mark + self.ours, self.theirs) == Merged(mark + self.expected, clean=True)

    def test_headers_inside_texts_and_lists_are_none(self) -> None:
        base = 'note = """\n[[reading]]\nat = 1\n"""\nlist = [\n[1],\n[2]\n]\n'
        ours, theirs = base + "[a]\nx = 1\n", base.replace("at = 1", "at = 2")
        assert merge(base, ours, theirs) == Merged(theirs + "[a]\nx = 1\n", clean=True)

    def test_quoted_and_dotted_names(self) -> None:
        base = '[proof."graphics card"]\na.b = 1\n"c d" = 2\n'
        ours = changed(base, ("a.b = 1", "a.b = 3")) + '[proof."graphics card".no-fault-found]\nx = 1\n'
        theirs = changed(base, ('"c d" = 2', '"c d" = 4'))
        expected = changed(ours, ('"c d" = 2', '"c d" = 4'))
        assert merge(base, ours, theirs) == Merged(expected, clean=True)

    @pytest.mark.parametrize("empty", ["", "\n", "\ufeff\r\n"])
    def test_an_emptied_file_is_a_change_of_all(self, empty: str) -> None:
        assert sides(merge(JOB, empty, self.theirs).text) == (empty, self.theirs)
        assert sides(merge(JOB, self.ours, empty).text) == (self.ours, empty)
        assert merge(JOB, empty, JOB) == Merged(empty, clean=True)


def steps(*numbers: int) -> str:
    return "".join(f"[[step]]\nfirst = {number}1\nlast = {number}2\n" for number in numbers)


class TestEntriesWithoutIdentity:
    """The same one is that which kept half of what it said, and is not too far from its place."""

    kept = "[[step]]\na = 1\nb = 2\nc = 3\n"

    @pytest.mark.parametrize(
        ("ours", "is_same"), [("a = 9", True), ("a = 9\nb = 9", True), ("a = 9\nb = 9\nc = 9", False)]
    )
    def test_half_of_it_must_be_kept(self, ours: str, is_same: bool) -> None:  # noqa: FBT001
        base = "format = 1\n[[step]]\na = 1\nb = 1\nc = 1\nd = 1\n"
        lines = dict.fromkeys(ours.split("\n"))
        one = changed(base, *((f"{line[0]} = 1\n", f"{line}\n") for line in lines))
        other = changed(base, ("d = 1", "d = 8"))
        expected = changed(one, ("d = 1", "d = 8"))
        for merged in (merge(base, one, other), merge(base, other, one)):
            assert merged.clean is is_same
            assert not is_same or merged.text == expected

    @pytest.mark.parametrize(("places", "is_same"), [(1, True), (24, True), (25, False)])
    def test_it_may_have_moved_by_two_dozen_places(self, places: int, is_same: bool) -> None:  # noqa: FBT001
        many = steps(*range(10, 10 + places))
        last = self.kept.replace("c = 3", "c = 4")
        longer, shorter = f"format = 1\n{many}", "format = 1\n"
        for base, one, expected in (
            (longer + self.kept, shorter + last, shorter + last),
            (shorter + self.kept, longer + last, longer + last),
        ):
            merged = merge(base, one, base.replace("b = 2", "b = 5"))
            assert merged.clean is is_same
            assert not is_same or merged.text == expected.replace("b = 2", "b = 5")

    def test_one_entry_is_not_taken_for_two(self) -> None:
        base = "format = 1\n" + self.kept + self.kept.replace("a = 1", "a = 7")
        ours = "format = 1\n" + self.kept.replace("c = 3", "c = 4")
        theirs = base.replace("format = 1", "format = 2")
        assert merge(base, ours, theirs) == Merged(ours.replace("format = 1", "format = 2"), clean=True)


# Keys with a blank line and a remark between them, as one bench leaves them and another.
SPACED_KEYS = "a = 1\n\n# why\nb = 2\n\n[t]\nc = 3\n"
BLANKS: dict[str, tuple[list[Edit], list[Edit], list[Edit]]] = {
    "taken out above a key": (
        [("\n\n#", "\n#")],
        [("c = 3", "c = 4")],
        [("\n\n#", "\n#"), ("c = 3", "c = 4")],
    ),
    "taken out above a table": (
        [("\n\n[", "\n[")],
        [("a = 1", "a = 4")],
        [("\n\n[", "\n["), ("a = 1", "a = 4")],
    ),
    "added above a key": ([("\n#", "\n\n#")], [("c = 3", "c = 4")], [("\n#", "\n\n#"), ("c = 3", "c = 4")]),
    "by both, most stay": ([("\n\n#", "\n#")], [("\n#", "\n\n#")], [("\n#", "\n\n#")]),
    "above a remark that both added, most stay": (
        [("c = 3\n", "c = 3\n\n# x\n")],
        [("c = 3\n", "c = 3\n\n\n# x\n")],
        [("c = 3\n", "c = 3\n\n\n# x\n")],
    ),
    "above a remark that both added, one with another change": (
        [("c = 3\n", "c = 4\n\n# x\n")],
        [("c = 3\n", "c = 3\n\n\n# x\n")],
        [("c = 3\n", "c = 4\n\n\n# x\n")],
    ),
    "beside a changed remark": ([("\n\n#", "\n#")], [("# why", "# how")], [("# why", "# how")]),
    "beside a changed value": ([("\n\n#", "\n#")], [("b = 2", "b = 3")], [("b = 2", "b = 3")]),
    "beside a table taken out": ([("\n\n[", "\n[")], [("\n[t]\nc = 3\n", "")], [("\n[t]\nc = 3\n", "")]),
    "taken out above a table that both changed": (
        [("\n\n[", "\n["), ("c = 3", "c = 4")],
        [("c = 3\n", "c = 3\nd = 5\n")],
        [("\n\n[", "\n["), ("c = 3\n", "c = 4\nd = 5\n")],
    ),
    "by both above a table that both changed, most stay": (
        [("\n\n[", "\n["), ("c = 3", "c = 4")],
        [("\n\n[", "\n\n\n["), ("c = 3\n", "c = 3\nd = 5\n")],
        [("\n\n[", "\n\n\n["), ("c = 3\n", "c = 4\nd = 5\n")],
    ),
    "beside a changed table": ([("\n\n[", "\n[")], [("c = 3", "c = 4")], [("c = 3", "c = 4")]),
}


@pytest.mark.parametrize(
    ("ours", "expected"),
    [("# x\n# y\n", "# x\n# y\n"), ("# x\n\n\n# y\n", "# x\n\n\n# y\n"), ("# z\n\n# y\n", "# z\n\n# y\n")],
)
def test_one_side_s_remarks_at_the_end_stay_as_it_left_them(ours: str, expected: str) -> None:
    base = "a = 1\nb = 2\n# x\n\n# y\n"
    one, other = f"a = 3\nb = 2\n{ours}", base.replace("b = 2", "b = 4")
    merged = Merged(f"a = 3\nb = 4\n{expected}", clean=True)
    assert merge(base, one, other) == merge(base, other, one) == merged


@pytest.mark.parametrize(("ours", "theirs", "expected"), BLANKS.values(), ids=BLANKS)
def test_blank_lines_alone_give_way(ours: list[Edit], theirs: list[Edit], expected: list[Edit]) -> None:
    one, other = changed(SPACED_KEYS, *ours), changed(SPACED_KEYS, *theirs)
    merged = Merged(changed(SPACED_KEYS, *expected), clean=True)
    assert merge(SPACED_KEYS, one, other) == merge(SPACED_KEYS, other, one) == merged


FAR = "[[m]]\n[[m.r]]\nx = 1\n[o]\n[[m.r]]\nx = 2\n"  # the second [[m.r]] stands far from its [[m]]


class TestWhereBlocksDoNotFit:
    """Git merges the lines there."""

    @pytest.mark.parametrize(
        "base",
        [
            'a = 1\nb = "no end\nc = 3\nd = 4\ne = 5\n',
            "a = 1\nb = 2\na = 3\nd = 4\ne = 5\n",
            "a = 1\n[t]\nb = 2\n[t]\ne = 5\n",
            f"a = 1\n{FAR}e = 5\n",
            "a = 1\n<<<<<<< ours\nb = 2\n=======\nb = 3\n>>>>>>> theirs\ne = 5\n",
            "a = 1\njust words\n\x00\udcff\ne = 5\n",
            "a = 1\n\udcff = 2\nb = 3\ne = 5\n",
        ],
        ids=[
            "open text",
            "key twice",
            "table twice",
            "entry far from its own",
            "unmerged",
            "binary",
            "no UTF-8",
        ],
    )
    def test_lines_of_both_sides(self, base: str) -> None:
        ours, theirs = changed(base, ("a = 1", "a = 11")), changed(base, ("e = 5", "e = 55"))
        merged = merge(base, ours, theirs)
        if "\x00" in base:
            assert merged == Merged(f"<<<<<<< ours\n{ours}=======\n{theirs}>>>>>>> theirs\n", clean=False)
        else:
            assert merged == Merged(changed(ours, ("e = 5", "e = 55")), clean=True)

    def test_a_conflict_of_lines(self) -> None:
        base = "a = 1\njust words\n"
        merged = merge(base, base.replace("1", "2"), base.replace("1", "3"), Labels(size=11))
        assert merged.text.startswith("<<<<<<<<<<< ours\na = 2\n===========\na = 3\n>>>>>>>>>>> theirs\n")
        assert not merged.clean

    @pytest.mark.parametrize(
        ("base", "ours", "theirs"),
        [
            ("a = 1\n", "a = 1\nb.c = 1\n", "a = 1\n[b]\nd = 2\n"),
            ("a = 1\n", "a = 1\n[b]\nc = 1\n", "a = 1\n[[b]]\nc = 1\n"),
            ("a = 1\nz = 1\n", "a = 1\nx = {y = 1}\nz = 1\n", "a = 1\nx.y = 1\nz = 1\n"),
            (FAR, f"[p]\n{FAR}", f"{FAR}[p]\n"),
        ],
        ids=["dotted and table", "table and list", "braces and dotted", "lines alone would do"],
    )  # fmt: skip
    def test_what_fits_line_by_line_but_is_no_toml_together(self, base: str, ours: str, theirs: str) -> None:
        assert merge(base, ours, theirs) == Merged(
            f"<<<<<<< ours\n{ours}=======\n{theirs}>>>>>>> theirs\n", clean=False
        )

    def test_without_git_both_stay_whole(self, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setenv("PATH", "")
        base = "a = 1\njust words\n"
        merged = merge(base, "a = 2\njust words\n", "a = 1\nother words\n")
        assert merged == Merged(
            "<<<<<<< ours\na = 2\njust words\n=======\na = 1\nother words\n>>>>>>> theirs\n", clean=False
        )


class TestSides:
    @pytest.mark.parametrize(
        ("text", "ours", "theirs"),
        [
            ("<<<<<<< a\n1\n=======\n2\n>>>>>>> b\n", "1\n", "2\n"),
            ("0\n<<<<<<< a\n1\n=======\n>>>>>>> b\n9\n", "0\n1\n9\n", "0\n9\n"),
            ("<<<<<<< a\r\n1\r\n=======\r\n2\r\n>>>>>>> b\r\n", "1\r\n", "2\r\n"),
            ("<<<<<<< a\n1\n||||||| c\n0\n=======\n2\n>>>>>>> b", "1\n", "2\n"),
            ("<<<<<<<<< a\n<<<<<<< x\n=======\n=========\n2\n>>>>>>>>> b\n", "<<<<<<< x\n=======\n", "2\n"),
            ("<<<<<<< a\n1\u2028\x0b\n=======\n2\n>>>>>>> b\n", "1\u2028\x0b\n", "2\n"),
            ("<<<<<<< a\n1\n=======\n2\n>>>>>>> b\nx\n<<<<<<< a\n3\n=======\n4\n>>>>>>> b\n", "1\nx\n3\n", "2\nx\n4\n"),
        ],
    )  # fmt: skip
    def test_both_sides(self, text: str, ours: str, theirs: str) -> None:
        assert sides(text) == (ours, theirs)

    @pytest.mark.parametrize(
        "text",
        [
            "",
            JOB,
            "=======\n",
            "<<<<<<< a\n1\n",
            "<<<<<<< a\n1\n=======\n2\n",
            "<<<<<<< a\n>>>>>>> b\n",
            "<<<<<<<a\n",
        ],
    )
    def test_no_whole_conflict(self, text: str) -> None:
        assert sides(text) is None


Files = tuple[str, str, str]


class TestRun:
    @pytest.fixture
    def files(self, tmp_path: Path) -> Files:
        return str(tmp_path / "base"), str(tmp_path / "ours"), str(tmp_path / "theirs")

    @staticmethod
    def fill(files: Files, *texts: str) -> None:
        for name, text in zip(files, texts, strict=True):
            Path(name).write_bytes(text.encode(errors="surrogateescape"))

    def test_clean(self, files: Files) -> None:
        self.fill(files, JOB, JOB + reading(5, "1 Ω"), JOB + reading(6, "2 Ω"))
        assert run(*files, size=7, path="jobs/2026/K26-0047.toml") == CLEAN
        assert Path(files[1]).read_text() == JOB + reading(5, "1 Ω") + reading(6, "2 Ω")
        assert sorted(path.name for path in Path(files[0]).parent.iterdir()) == ["base", "ours", "theirs"]

    def test_conflict(self, files: Files) -> None:
        self.fill(files, JOB, JOB.replace("c-031", "c-1"), JOB.replace("c-031", "c-2"))
        assert run(*files, size=12, path="x") == CONFLICT
        assert f'{"<" * 12} ours\nclient  = "c-1"\n{"=" * 12}\n' in Path(files[1]).read_text()

    def test_an_empty_base_is_none(self, files: Files) -> None:
        self.fill(files, "", JOB, JOB.replace("c-031", "c-2"))
        assert run(*files, size=7, path="x") == CONFLICT
        assert sides(Path(files[1]).read_text()) == (JOB, JOB.replace("c-031", "c-2"))

    def test_bytes_that_are_no_text(self, files: Files) -> None:
        texts = ("a = 1\n\udcff\nb = 2\n", "a = 11\n\udcff\nb = 2\n", "a = 1\n\udcff\nb = 22\n")
        self.fill(files, *texts)
        assert run(*files, size=7, path="x") == CLEAN
        assert Path(files[1]).read_bytes() == b"a = 11\n\xff\nb = 22\n"

    def test_a_fault_of_jobkit_costs_nothing(
        self, files: Files, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
    ) -> None:
        def fail(*_: object) -> None:
            raise RecursionError("too deep")

        monkeypatch.setattr("jobkit.book.merge.whole.merge_blocks", fail)
        self.fill(files, JOB, JOB + PAD, JOB + MORE_PAD)
        assert run(*files, size=7, path="jobs/2026/K26-0047.toml") == CONFLICT
        assert sides(Path(files[1]).read_text()) == (JOB + PAD, JOB + MORE_PAD)
        assert re.match(r"jobs/2026/K26-0047.toml: jobkit failed .*too deep.*\n\Z", capsys.readouterr().err)

    @pytest.mark.parametrize(
        ("words", "said"),
        [
            ([], "five words are needed"),
            (["a", "b", "c", "x", "e"], "five words are needed"),
            (["no such file", "b", "c", "7", "jobs/x.toml"], "jobs/x.toml cannot be merged: .*no such file"),
        ],
    )
    def test_a_call_that_cannot_be_used(
        self,
        tmp_path: Path,
        monkeypatch: pytest.MonkeyPatch,
        capsys: pytest.CaptureFixture[str],
        words: list[str],
        said: str,
    ) -> None:
        monkeypatch.chdir(tmp_path)
        assert driver.main(words) == 2
        assert re.match(said, capsys.readouterr().err)
        assert not list(tmp_path.iterdir())
