"""A file as blocks: all of it, in its order, and what belongs to what."""

from __future__ import annotations

from pathlib import Path

import pytest

from jobkit.book.merge.blocks import Block, blocks_of

JOB = """\
#:schema ../../schema/job.schema.json
format = 1

# at the door
id = "K26-0047"
# ask again


# on the old meter
# leads nulled
[[reading]]
at = 2026-10-22T10:05:00
value = "0.4 Ω"
[[reading.remark]]
what = "warm"

[price]
[[price.agreed]]
on = 2026-10-20
text = \"\"\"
[[no]]
\"\"\"
# the end
"""
EXAMPLES = sorted(Path(__file__).parents[2].glob("jobs_example/**/*.toml"))


def blocks(text: str) -> Block:
    found = blocks_of(text)
    assert found is not None
    return found


@pytest.mark.parametrize("text", ["", "a = 1\n", "\n\n[t]\n", "# only this\n", JOB])
def test_the_lines_of_the_blocks_are_those_of_the_text(text: str) -> None:
    assert "".join(f"{line}\n" for line in blocks(text).lines()) == text


def test_every_file_of_the_example_is_its_blocks() -> None:
    assert len(EXAMPLES) > 10
    for path in EXAMPLES:
        text = path.read_text("utf-8").rstrip("\n") + "\n"
        assert "".join(f"{line}\n" for line in blocks(text).lines()) == text, path


def test_what_belongs_to_what() -> None:
    job = blocks(JOB)
    reading, price = job.blocks
    assert (job.name, job.is_entry, job.gap, job.notes, job.head) == ((), False, (), (), ())
    assert [statement.key for statement in job.statements] == [("format",), ("id",)]
    assert job.statements[0].notes == ("#:schema ../../schema/job.schema.json",)
    assert job.statements[1].notes == ("", "# at the door")
    assert job.tail == ("# ask again",)
    assert (reading.name, reading.is_entry, reading.gap) == (("reading",), True, ("", ""))
    assert reading.notes == ("# on the old meter", "# leads nulled")
    assert [inner.name for inner in reading.blocks] == [("reading", "remark")]
    assert (price.name, price.is_entry, price.gap, price.notes) == (("price",), False, ("",), ())
    assert price.blocks[0].statements[1].value == '"""\n[[no]]\n"""'
    assert price.blocks[0].tail == ("# the end",)
    assert price.content == ("[price]", *price.blocks[0].content)
    assert price.blocks[0].content[-1] == "# the end"
    assert "" not in job.content


@pytest.mark.parametrize(
    "text",
    [
        'a = "no end\n',
        "a = 1\na = 2\n",
        "[t]\na = 1\na = 2\n",
        "[t]\n[t]\n",
        "[[m]]\n[m.r]\n[m.r]\n",
        "[[m]]\n[o]\n[m.r]\n",
        "[[m]]\n[o]\n[[m.r]]\n",
        "[[m]]\n[[m.r]]\n[[m]]\n[o]\n[[m.r]]\n",
        "[[m]]\n[[m.r]]\n[o]\n[m.r.s]\n",
    ],
)
def test_forms_that_blocks_do_not_fit(text: str) -> None:
    assert blocks_of(text) is None


@pytest.mark.parametrize(
    ("text", "shape"),
    [
        ("[a]\n[a.b]\n[a.b.c]\n[a.d]\n", {"a": {"a.b": {"a.b.c": {}}, "a.d": {}}}),
        ("[a.b]\n[a]\n", {"a.b": {}, "a": {}}),
        ("[a]\n[ab]\n", {"a": {}, "ab": {}}),
        ("[a]\n[o]\n[a.b]\n", {"a": {}, "o": {}, "a.b": {}}),
        ("[[m]]\n[[m.r]]\n[m.r.s]\n[[m.r]]\n[m.t]\n", {"m": {"m.r": {"m.r.s": {}}, "m.r 2": {}, "m.t": {}}}),
    ],
)
def test_a_block_is_within_the_one_before_that_its_name_continues(
    text: str, shape: dict[str, object]
) -> None:
    assert shape_of(blocks(text)) == shape


def shape_of(block: Block) -> dict[str, object]:
    shape: dict[str, object] = {}
    for inner in block.blocks:
        name = ".".join(inner.name)
        shape[f"{name} 2" if name in shape else name] = shape_of(inner)
    return shape


@pytest.mark.parametrize(
    ("text", "time"),
    [
        ("[[work]]\nat = 2026-10-22T10:05:00\n", "2026-10-22T10:05:00"),
        ("[[work]]\nat = 2026-10-22 10:05:00.5  # late\n", "2026-10-22T10:05:00.5"),
        ('[[work]]\nat = "2026-10-22"\n', "2026-10-22"),
        ("[[wait]]\nuntil = 2026-10-24\nsince = 2026-10-22\n", "2026-10-22"),
        ("[[agreed]]\non = 2026-10-22\n", "2026-10-22"),
        ("[[work]]\non = 2026-10-21\nsince = 2026-10-20\nat = 2026-10-22\n", "2026-10-22"),
        ("[[work]]\nat.day = 2026-10-22\n", ""),
        ("[[work]]\nat = 5\n", ""),
        ("[[work]]\ndid = 2026-10-22\n", ""),
        ("[work]\nat = 2026-10-22\n", ""),
    ],
)
def test_when_an_entry_happened(text: str, time: str) -> None:
    assert blocks(text).blocks[0].time == time
