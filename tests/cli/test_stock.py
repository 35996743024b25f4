"""`jobkit stock` and `jobkit stock count`: lists, and the count that is written down."""

from __future__ import annotations

import shutil
from datetime import datetime
from decimal import Decimal
from pathlib import Path

import pytest

from jobkit.cli.bench import receiving
from jobkit.cli.commands import stock
from tests.books import EXAMPLE
from tests.conftest import Run
from tests.schema.schemas import fast

ON = ("--on", "2026-11-20")


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the example book, on a day after all its counts, whatever the clock of this machine says."""
    for module in (stock, receiving):
        monkeypatch.setattr(module, "now", lambda _settings: datetime(2026, 11, 25, 12))
    return Path(shutil.copytree(EXAMPLE, tmp_path / "book"))


@pytest.mark.parametrize("view", [(), ("--reorder",), ("--donors",)])
def test_the_answers_keep_to_their_schema(run: Run, view: tuple[str, ...]) -> None:
    ran = run("stock", *view, "--book", EXAMPLE, *ON, "--format", "json")
    assert (ran.status, ran.err) == (0, "")
    assert list(fast("answers/stock").iter_errors(ran.data)) == []


def test_what_to_order_as_a_table_for_programs(run: Run) -> None:
    ran = run("stock", "--reorder", "--book", EXAMPLE, *ON, "--format", "csv")
    heads, *rows = ran.out.splitlines()
    assert heads.split(",")[:8] == [
        "item", "what", "counted", "counted_on", "used", "on_hand", "reorder_at", "short",
    ]  # fmt: skip
    names = [row.split(",")[0] for row in rows]
    assert names == [
        "gddr6-16gb",
        "fuse-30a-2410",
        "fan-single-92",
        "controller-6ph-qfn48",
        "controller-3ph-qfn32",
    ]
    assert (
        rows[1]
        == 'fuse-30a-2410,"fuse 30 A, 2410",4,2026-09-30,0,4,4,yes,1.40,EUR,the parts house in town,FH-30-2410,,0,20,16'
    )


def test_nothing_to_order_and_nothing_there(run: Run, book: Path) -> None:
    (book / "stock.toml").write_text("format = 1\n")
    assert "Nothing is at its reorder level" in run("stock", "--reorder", "--book", book).out
    assert "stock.toml has no items." in run("stock", "--book", book).out


def test_two_lists_at_once_are_refused(run: Run) -> None:
    ran = run("stock", "--reorder", "--donors", "--book", EXAMPLE)
    assert (ran.status, ran.err) == (2, "jobkit: --reorder and --donors are two lists; use one of them\n")


COUNTED = [
    # words, lines of stock.toml that change, what is said
    (
        ("fuse-15a-1206", "16"),
        {"counted    = 18": "counted    = 16"},
        "16 counted on 2026-11-20, 2 fewer than expected",
    ),
    (("fuse-15a-1206", "18"), {}, "18 counted on 2026-11-20, as expected"),
    (("fuse-15a-1206", "20"), {"counted    = 18": "counted    = 20"}, "2 more than expected"),
    (("spheres-045-sac305", "1.85"), {"counted    = 2": "counted    = 1.85"}, "0.15 fewer"),
    (("gddr6-16gb", "4"), {"counted    = 6": "counted    = 4", "counted = 3": "counted = 1"},
     "4 counted on 2026-11-20 (1 in g6-0826, 3 in g6-0926), as expected"),
    (("gddr6-16gb", "g6-0926=2", "g6-0826=0"), {"counted    = 6": "counted    = 2", "counted = 3": "counted = 0"},
     "2 counted on 2026-11-20 (2 in g6-0926, 0 in g6-0826), 2 fewer"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "changes", "said"), COUNTED)
def test_a_count_is_written_and_all_else_stays(
    run: Run, book: Path, *, words: tuple[str, ...], changes: dict[str, str], said: str
) -> None:
    before = (book / "stock.toml").read_text("utf-8").split("\n")
    ran = run("stock", "count", *words, "--book", book, *ON)
    assert (ran.status, ran.err) == (0, "")
    assert said in ran.out
    after = (book / "stock.toml").read_text("utf-8").split("\n")
    changed = [(old, new) for old, new in zip(before, after, strict=True) if old != new]
    assert ("counted_on = 2026-09-30", "counted_on = 2026-11-20") in changed
    assert set(changes.items()) <= set(changed)
    assert len(changed) == 1 + sum(1 for old, _ in changed if old.startswith("counted "))
    # What was counted is what is on hand; what was used before is in it.
    items = run("stock", "--book", book, *ON, "--format", "json").data["items"]
    there = next(one for one in items if one["item"] == words[0])
    assert (there["on_hand"], there["used"]) == (there["counted"], 0)


def test_the_first_count_of_an_item(run: Run, book: Path) -> None:
    with (book / "stock.toml").open("a") as file:
        file.write('\n[item."paste, grey"]\nwhat = "paste"  # by the gram\n')
    ran = run("stock", "count", "paste, grey", "12.5", "--book", book, *ON)
    assert ran.out == "paste, grey: 12.5 counted on 2026-11-20, for the first time\n"
    text = (book / "stock.toml").read_text("utf-8")
    end = '[item."paste, grey"]\nwhat = "paste"  # by the gram\ncounted = 12.5\ncounted_on = 2026-11-20\n'
    assert text.endswith(end)


REFUSED = [
    (("fuse-15a-1206", "-5"), "is below zero; count the parts on hand"),
    (("fuse-15a-1206", "1,5"), '"1,5" has a decimal comma; write a point'),
    (("fuse-15a-1206", "a few"), '"a few" is not a count; write a number, such as 12'),
    (("fuse-15a-1206", "nan"), '"nan" is not a count'),
    (("fuse-15a-1206", "1", "2"), "was given 2 counts; write one number"),
    (("fuse-15a-1206", "a=1"), "is not kept in lots; write one number"),
    (("fuse-15a-120", "1"), 'there is no item "fuse-15a-120" in stock.toml; did you mean fuse-15a-1206?'),
    (("x", "1"), 'there is no item "x" in stock.toml; add it to stock.toml first'),
    (("gddr6-16gb", "3"), "count each: `jobkit stock count gddr6-16gb g6-0826=N g6-0926=N`"),
    (("gddr6-16gb", "g6-0826=1"), "count each once: g6-0826=N g6-0926=N"),
    (("gddr6-16gb", "g6-0826=1", "g6-0826=1"), "count each once"),
    (("gddr6-16gb", "g6-0826=1", "4"), "count each once"),
    (("fuse-15a-1206", "1", "--on", "2026-11-26"), "2026-11-26 is in the future; count on the day itself"),
    (("fuse-15a-1206", "1", "--on", "2026-09-29"), "was counted on 2026-09-30, which is after 2026-09-29"),
]


@pytest.mark.parametrize(("words", "message"), REFUSED)
def test_a_count_that_cannot_be_is_refused(
    run: Run, book: Path, words: tuple[str, ...], message: str
) -> None:
    before = (book / "stock.toml").read_bytes()
    ran = run("stock", "count", *ON, *words, "--book", book)
    assert (ran.status, ran.out) == (2, "")
    assert message in ran.err
    assert (book / "stock.toml").read_bytes() == before


def test_a_count_in_the_future_can_be_mended_by_a_count(run: Run, book: Path) -> None:
    path = book / "stock.toml"
    path.write_text(path.read_text("utf-8").replace("2026-09-30", "2062-09-30"), "utf-8")
    assert run("stock", "count", "fuse-15a-1206", "7", "--book", book, *ON).status == 0
    items = run("stock", "--book", book, *ON, "--format", "json").data["items"]
    left = {one["item"]: one["on_hand"] for one in items}
    assert (left["fuse-15a-1206"], left["tvs-12v-smb"]) == (7, None)


def test_books_may_be_named_before_or_after_count(run: Run, book: Path) -> None:
    for words in (("--book", book, "stock", "count"), ("stock", "--book", book, "count")):
        assert run(*words, "fuse-15a-1206", "17", *ON).status == 0
    ran = run("stock", "count", *ON, "fuse-15a-1206", "17", "--book", book, "--book", EXAMPLE)
    assert ran.status == 2


def take(book: Path, lot: str, qty: int) -> None:
    """Let a job take some memory on the day after the count."""
    path = book / "jobs/2026/K26-0058.toml"
    named = f'lot = "{lot}"\n' if lot else ""
    entry = f'\n[[used]]\nat = 2026-11-18T10:00:00\nitem = "gddr6-16gb"\nqty = {qty}\n{named}'
    path.write_text(path.read_text("utf-8") + entry, "utf-8")


def test_parts_taken_without_a_lot_are_told_so_that_all_adds_up(run: Run, book: Path) -> None:
    take(book, "", 1)
    ran = run("stock", "--book", book, *ON)
    # 6 counted in two lots of 3; two of one lot are used, and one of no lot
    assert "gddr6-16gb: 4 in lots, minus 1 taken without a lot; that leaves 3 on hand." in " ".join(
        ran.out.split()
    )
    item = run("stock", "--book", book, *ON, "--format", "json").data["items"][2]
    assert (item["on_hand"], item["without_lot"]) == (3, 1)
    assert sum(lot["on_hand"] for lot in item["lots"]) - item["without_lot"] == item["on_hand"]


def test_parts_counted_outside_the_lots_are_told(run: Run, book: Path) -> None:
    path = book / "stock.toml"
    path.write_text(
        path.read_text("utf-8").replace(
            "counted    = 6\ncounted_on = 2026-09-30\nreorder_at = 4\nmoisture",
            "counted    = 8\ncounted_on = 2026-09-30\nreorder_at = 4\nmoisture",
        ),
        "utf-8",
    )
    said = " ".join(run("stock", "--book", book, *ON).out.split())
    assert "gddr6-16gb: 4 in lots, plus 2 outside them; that leaves 6 on hand." in said


def test_a_lot_that_is_used_up_stays_known_and_need_not_be_counted(run: Run, book: Path) -> None:
    take(book, "g6-0826", 1)
    ran = run("stock", "count", "gddr6-16gb", "g6-0926=3", "--book", book, *ON)
    assert (ran.status, ran.out) == (
        0, "gddr6-16gb: 3 counted on 2026-11-20 (3 in g6-0926, 0 in g6-0826), as expected\n",
    )  # fmt: skip
    assert 'name    = "g6-0826"\ncounted = 0\n' in (book / "stock.toml").read_text("utf-8")
    found = run("lint", "--book", book, *ON, "--format", "json").data["findings"]
    assert [one for one in found if one["rule"] == "lot-unknown"] == []


def test_several_books_side_by_side(run: Run, book: Path) -> None:
    both = ("--book", book, "--book", EXAMPLE, *ON)
    ran = run("stock", *both, "--format", "json")
    one = run("stock", "--book", EXAMPLE, *ON, "--format", "json").data
    assert len(ran.data["items"]) == 2 * len(one["items"])
    names = {item["item"].split("/")[0] for item in ran.data["items"]}
    assert names == {book.name, EXAMPLE.name}
    assert Decimal(ran.data["worth"][0].split()[0]) == 2 * Decimal(one["worth"][0].split()[0])
    donors = run("stock", "--donors", *both, "--format", "json").data["donors"]
    assert {donor["job"].split("/")[0] for donor in donors} == names
    earned = run("earnings", *both, "--format", "json").data["all"][0]
    alone = run("earnings", "--book", EXAMPLE, *ON, "--format", "json").data["all"][0]
    assert earned["jobs"] == 2 * alone["jobs"]
    assert Decimal(earned["billed"].split()[0]) == 2 * Decimal(alone["billed"].split()[0])


def on_hand(run: Run, book: Path, item: str) -> dict[str, object]:
    """Give an item as it is on the day of the tests."""
    items = run("stock", "--book", book, "--on", "2026-11-25", "--format", "json").data["items"]
    found: dict[str, object] = next(one for one in items if one["item"] == item)
    return found


def test_goods_received_are_added_without_a_count(run: Run, book: Path) -> None:
    before = (book / "stock.toml").read_text("utf-8")
    was = on_hand(run, book, "fuse-15a-1206")
    ran = run(
        "stock", "receive", "fuse-15a-1206", "20", "--cost", "0.40", "--note", "note 4417", "--book", book
    )
    assert (ran.status, ran.err) == (0, "")
    assert ran.out == "fuse-15a-1206: 20 received on 2026-11-25 at 0.40 EUR each, 38 on hand\n"
    there = on_hand(run, book, "fuse-15a-1206")
    assert (was["on_hand"], there["on_hand"], there["received"], there["cost"]) == (18, 38, 20, "0.40 EUR")
    assert there["counted_on"] == was["counted_on"]
    added = (book / "stock.toml").read_text("utf-8").replace("\n", "").replace(" ", "")
    assert "[[item.fuse-15a-1206.received]]at=2026-11-25T12:00:00" in added
    assert "stock.toml" not in run("lint", "--book", book).out
    assert run("undo", "--book", book).status == 0
    assert (book / "stock.toml").read_text("utf-8") == before


def test_the_cost_of_a_delivery_is_that_of_later_days_only(run: Run, book: Path) -> None:
    run("stock", "receive", "fuse-15a-1206", "20", "--cost", "0.4444", "--on", "2026-11-10", "--book", book)
    for day, cost in (("2026-11-09", "0.60 EUR"), ("2026-11-10", "0.4444 EUR")):
        items = run("stock", "--book", book, "--on", day, "--format", "json").data["items"]
        assert next(one["cost"] for one in items if one["item"] == "fuse-15a-1206") == cost


def test_goods_go_into_a_lot_that_is_there_or_new(run: Run, book: Path) -> None:
    for lot in ("g6-0926", "g6-1126"):
        assert run("stock", "receive", "gddr6-16gb", "8", "--lot", lot, "--book", book).status == 0
    there = on_hand(run, book, "gddr6-16gb")
    lots = {one["lot"]: (one["received"], one["on_hand"]) for one in there["lots"]}  # type: ignore[attr-defined]
    assert (lots["g6-0926"][0], lots["g6-1126"]) == (8, (8, 8))
    assert there["on_hand"] == sum(left for _, left in lots.values())
    page = run("stock", "--book", book, "--on", "2026-11-25").out
    assert "Received since the count: 16 of gddr6-16gb" in " ".join(page.split())
    assert "plus what was received" in " ".join(page.split())


def test_a_count_takes_up_what_came_before_it(run: Run, book: Path) -> None:
    run("stock", "receive", "fuse-15a-1206", "20", "--on", "2026-11-10", "--book", book)
    run("stock", "count", "fuse-15a-1206", "37", "--on", "2026-11-20", "--book", book)
    there = on_hand(run, book, "fuse-15a-1206")
    assert (there["received"], there["on_hand"]) == (0, 37)


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("fuse-15a-1206", "0"), "none came"),
        (("fuse-15a-1206", "-3"), "is below zero"),
        (("fuse-15a-120", "3"), "did you mean fuse-15a-1206?"),
        (("gddr6-16gb", "3"), "is kept in the lots g6-0826, g6-0926; name one with --lot, or a new one"),
        (("fuse-15a-1206", "3", "--cost", "4 USD"), "4.00 USD is in USD, and fuse-15a-1206 costs EUR"),
        (("fuse-15a-1206", "3", "--on", "2026-11-26"), "is in the future"),
        (("fuse-15a-1206", "3", "--on", "2026-09-30"), "what came until that day is in the count"),
    ],
)
def test_a_delivery_that_cannot_be_is_refused(
    run: Run, book: Path, words: tuple[str, ...], message: str
) -> None:
    before = (book / "stock.toml").read_bytes()
    ran = run("stock", "receive", *words, "--book", book)
    assert (ran.status, ran.out) == (2, "")
    assert message in ran.err
    assert (book / "stock.toml").read_bytes() == before


def test_what_to_order_is_proposed_by_supplier(run: Run, book: Path) -> None:
    ran = run("stock", "--reorder", "--book", book, *ON)
    house = ran.out.split("the parts house in town\n")[1].split("\n\n")[0]
    assert [line.split()[:3] for line in house.splitlines() if "FH-30" in line] == [
        ["16", "FH-30-2410", "fuse"]
    ]
    assert "At the last cost: 22.40 EUR." in ran.out
    assert ran.out.index("the parts house in town") < ran.out.index("No supplier entered")
    assert "No reorder_to in stock.toml, so no quantity: gddr6-16gb" in ran.out
    items = run("stock", "--reorder", "--book", book, *ON, "--format", "json").data["items"]
    assert {one["item"]: one["to_order"] for one in items}["fuse-30a-2410"] == 16
