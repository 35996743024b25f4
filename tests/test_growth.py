"""No file, however odd, takes longer than its length: to search its text, or to go through its entries."""

from __future__ import annotations

import copy
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from datetime import date, datetime, timedelta
from pathlib import Path
from types import CodeType
from typing import Any

import pytest
import rtoml

from jobkit.book.git.log import _AUTHOR
from jobkit.book.merge.markers import sides
from jobkit.book.merge.whole import merge
from jobkit.book.read.load import load_job, open_book
from jobkit.book.schema.refusal import refusals
from jobkit.book.setup.attributes import with_books
from jobkit.book.shelf.opening import Tree
from jobkit.book.toml.parse import TomlError, parse
from jobkit.book.toml.positions import positions
from jobkit.book.write.tidy import tidied
from jobkit.book.write.upgrade import upgraded
from jobkit.jobs.money import MoneyError, parse_money
from jobkit.lint.check.one_file import alone, check_job, live_findings, own_findings
from jobkit.lint.check.places import of_text
from jobkit.lint.check.waived import unwaived
from jobkit.lint.registry import LAST_CHECKS
from jobkit.lint.rules.nearest import suggest
from jobkit.lint.rules.personal_data import ibans, mails, numbered_lines, phones
from tests.books import make_book
from tests.growth import TIMES, grown_too_quickly, quickest, steps, time_ratio
from tests.long_run import share
from tests.schema.complete import complete
from tests.schema.schemas import KINDS

FILES = {
    "job": "jobs/2026/K26-0047.toml",
    "board": "boards/tarnhow-t7-16.toml",
    "clients": "private/clients.toml",
}


def _parsed(text: str) -> object:
    try:
        return parse(text.encode())
    except TomlError:
        return None


def _money(text: str) -> object:
    try:
        return parse_money(text)
    except MoneyError:
        return None


def _personal(text: str) -> object:
    found = [[*phones(line), *ibans(line)] for _, line in numbered_lines(text)]
    return found, list(mails(text))


def _merged(entries: Callable[[int, str], str]) -> Callable[[int], object]:
    """Merge two sides that have each changed every entry, in which nothing tells which is which."""

    def run(count: int) -> object:
        base, ours, theirs = ("".join(entries(at, side) for at in range(count)) for side in ("", "b", "c"))
        return merge(base, ours, theirs)

    return run


TEXTS: Mapping[str, tuple[Callable[[str], object], str]] = {
    "openings of conflicts": (_parsed, "\n<<<<<<< a\n"),
    "middles of conflicts": (_parsed, "\n<<<<<<< a\n=======\n"),
    "an opening of a long text": (_parsed, "a = \"\"\"\n'''\n"),
    "open brackets": (_parsed, "a = [\n"),
    "braces": (_parsed, "a = {b = "),
    "keys with points": (_parsed, "a.b.c.d = 1\n"),
    "opening brackets of numbers": (lambda text: [*phones(text)], "("),
    "a zero before brackets": (_personal, "0 ((((((("),
    "seven digits apart": (_personal, "0(0(0(0(0(0(0(\n"),
    "numbers on one line": (_personal, "0170 1234567 "),
    "words about calling": (_personal, "call at 1 "),
    "a call and spaces": (_personal, "call         0 ((((((("),
    "half a mail address": (_personal, "a.b@"),
    "points in a host": (_personal, "@a.b.1"),
    "half an account": (_personal, "DE89 3704 "),
    "many mail addresses": (
        lambda text: of_text("jobs/2026/K26-0001.toml", "", text.encode()),
        'a = "b@c.de"\n',
    ),
    "what is where": (
        lambda text: [positions(text).around(len(text) - 1), positions(text)],
        "[[a]]\nb = [1, {c = 2}]\n",
    ),
    "sides of a conflict": (sides, "<<<<<<< a\n=======\n>>>>>>> b\n"),
    "openings alone": (sides, "<<<<<<<"),
    "digits of money": (_money, "1"),
    "separators of money": (_money, "1,"),
    "an author of brackets": (lambda text: _AUTHOR.search(b"author " + text.encode()), "<"),
    "beginnings of a block": (lambda text: with_books(text, []), "# jobkit wire: begin\n"),
    "unknown keys": (
        lambda text: refusals("job", {text[at : at + 9]: 1 for at in range(0, len(text), 9)}),
        "qwertyuio",
    ),
}
"""What goes through a text, and the part that the text repeats."""


@pytest.mark.parametrize(("search", "part"), TEXTS.values(), ids=TEXTS)
def test_a_search_takes_no_longer_than_the_text(search: Callable[[str], object], part: str) -> None:
    size = 2_000 // len(part)
    # A longer text where the clock can hardly tell how long it took.
    while quickest(search, part * size) < 2e-3 and size * len(part) < 100_000:
        size *= 2
    few, many = part * size, part * size * TIMES
    # A text that no longer fits into a cache takes longer once; a search that grows with the square does each time.
    assert _is_linear(search, few, many) or _is_linear(search, many, many * TIMES)


MERGES: Mapping[str, Callable[[int, str], str]] = {
    "without identity": lambda at, side: f"[[note]]\na = {at}\n{f'{side} = 1' if side else ''}\n",
    "alike": lambda _at, side: f'[[reading]]\npoint = "V"\n{f"{side} = 1" if side else ""}\n',
    "added": lambda at, side: f'[[wait]]\nsince = 2026-01-01\nwhat = "{side}{at}"\n' if side else "",
    "added without a time": lambda at, side: f"[[note]]\n{side} = {at}\n" if side else "",
    "keys": lambda at, side: f'k{at} = "{side}"\n',
}


@pytest.mark.parametrize("entries", MERGES.values(), ids=MERGES)
def test_a_merge_takes_no_longer_than_its_files(entries: Callable[[int, str], str]) -> None:
    assert _is_linear(_merged(entries), 250, 250 * TIMES)


def test_a_suggestion_among_more_names_takes_no_longer() -> None:
    def ask(names: frozenset[str]) -> object:
        return [suggest(f"X{at}", names, "see there") for at in range(40)]

    few, many = (frozenset(f"U{at}" for at in range(size)) for size in (2_000, 2_000 * TIMES))
    assert any(time_ratio(ask, few, many) < TIMES / 2 for _ in range(3))


@pytest.mark.parametrize(
    "work",
    [
        lambda count: tidied("job", "format = 1\n" + '[[inject]]\nvolts = "1V"\n' * count),
        lambda count: upgraded("job", "format = 0\n" + '[[reading]]\nwhen = "proof"\n' * count, "a.toml"),
    ],
    ids=["tidy", "upgrade"],
)
def test_a_file_is_rewritten_in_time_that_grows_with_it(work: Callable[[int], object]) -> None:
    assert _is_linear(work, 150, 150 * TIMES)


def _is_linear(work: Callable[[Any], object], small: Any, large: Any) -> bool:
    """Tell whether work grows no quicker than what it is done on; a machine at other work gets another try."""
    return any(time_ratio(work, small, large) < TIMES * 2.2 for _ in range(3))


TODAY = date(2026, 12, 1)
FEW = 25
KEPT = (
    "kind",
    "stage",
    "state",
    "did",
    "result",
    "from",
    "carries",
    "damage",
    "repaired",
    "side",
    "came",
    "for",
)


_OPEN = {"item", "client", "proof", "affects", "balls", "probe"}
"""Tables whose keys are names."""


def _lists(doc: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Name each list of a document, and each table whose keys are names: what may grow."""
    for key, value in doc.items() if isinstance(doc, dict) else enumerate(doc):
        here = (*path, key)
        if isinstance(value, list) or (isinstance(value, dict) and key in _OPEN):
            yield here
        if isinstance(value, dict | list):
            yield from _lists(value, here)


def _numbered(value: Any, number: int) -> Any:
    """Make another one of an entry: names with a number, times so many minutes later."""
    if isinstance(value, dict):
        return {key: one if key in KEPT else _numbered(one, number) for key, one in value.items()}
    if isinstance(value, list):
        return [_numbered(one, number) for one in value]
    if not isinstance(value, str) or value[:1] in "0123456789<>PO":
        return value if not _is_moment(value) else _later(value, number)
    return f"{value}{number}"


def _is_moment(value: Any) -> bool:
    return isinstance(value, str) and value[4:5] == "-" and "T" in value


def _later(moment: str, minutes: int) -> str:
    return (datetime.fromisoformat(moment) + timedelta(minutes=minutes)).isoformat()


def _alike(value: Any, _number: int) -> Any:
    return copy.deepcopy(value)


def _grown(kind: str, path: tuple[str | int, ...], count: int, another: Callable[[Any, int], Any]) -> str:
    """Write the complete document with so many entries in one of its lists, or names in one of its tables."""
    doc = complete(kind)
    holder: Any = doc
    for key in path[:-1]:
        holder = holder[key]
    there = holder[path[-1]]
    if isinstance(there, dict):
        first = next(iter(there.values()))
        holder[path[-1]] = {f"name {at}": another(first, at) for at in range(count)}
    else:
        holder[path[-1]] = [another(there[0], at) for at in range(count)]
    return rtoml.dumps(doc)


def _everything(count: int) -> str:
    """Write a job with so many entries of every sort, work with heat and cold readings among them."""
    doc = complete("job")
    for key, value in doc.items():
        if isinstance(value, list):
            doc[key] = [_numbered(value[0], at) for at in range(count)]
    for at, (reading, work) in enumerate(zip(doc["reading"], doc["work"], strict=True)):
        when = datetime(2026, 10, 22, 8) + timedelta(minutes=at)
        reading |= {
            "at": when.isoformat(),
            "kind": "resistance",
            "value": "0.4 Ω",
            "state": "cold",
            "stage": "proof",
        }
        work |= {"at": (when - timedelta(minutes=1)).isoformat(), "did": "fit", "part": "Q214", "minutes": 30}
        del reading["limit"], reading["range"], work["hours"]
    return rtoml.dumps(doc)


def _wrong_everywhere(count: int) -> str:
    """Write a job with so many entries of every sort, each with an unknown key and something that cannot be read."""
    doc = complete("job")
    for key, value in doc.items():
        if isinstance(value, list):
            doc[key] = [{**_numbered(value[0], at), f"strange{at}": 1, "by": [{}]} for at in range(count)]
    return rtoml.dumps(doc)


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Lay out a book of one complete file of each kind, where no more than some names are near a mistyped one."""
    monkeypatch.setattr("jobkit.lint.rules.nearest._AROUND", FEW // 4)
    files = {FILES.get(kind, f"{kind}.toml"): rtoml.dumps(complete(kind)) for kind in KINDS}
    return make_book(tmp_path, {**files, "boards/alder-a1.toml": None, "jobs/2026/K26-0001.toml": None})


def _looked_through(root: Path) -> None:
    """Check the whole book, as `lint` does: by every rule there is."""
    book = open_book(Tree(root))
    bench = book.bench._replace(today=TODAY)
    own_findings(book)
    loaded = load_job(FILES["job"], (root / FILES["job"]).read_bytes())
    checked = check_job(loaded, alone(bench))
    assert checked.facts
    found = [*checked.findings, *live_findings(checked.facts, bench, lambda: loaded)]
    list(unwaived(checked.facts, found))
    for _, check in LAST_CHECKS:
        list(check(checked.facts, found))


def _steps_with(book: Path, kind: str, text: str) -> Counter[CodeType]:
    (book / FILES.get(kind, f"{kind}.toml")).write_text(text, "utf-8")
    return steps(lambda: _looked_through(book))


ANOTHER = {"numbered": _numbered, "alike": _alike}
PLACES = [(kind, path) for kind in KINDS if kind != "clients" for path in _lists(complete(kind))]
GROWN = {
    f"{how}-{kind}-{'.'.join(map(str, path))}": (kind, path, ANOTHER[how])
    for at, (kind, path) in enumerate(PLACES)
    for how in share([*ANOTHER], 2, at)
}


@pytest.mark.parametrize(("kind", "path", "another"), GROWN.values(), ids=GROWN)
def test_entries_are_gone_through_in_steps_that_grow_with_them(
    book: Path, kind: str, path: tuple[str | int, ...], another: Callable[[Any, int], Any]
) -> None:
    few, many = (_steps_with(book, kind, _grown(kind, path, count, another)) for count in (FEW, FEW * TIMES))
    assert grown_too_quickly(few, many, FEW * TIMES) == []


@pytest.mark.parametrize("write", [_everything, _wrong_everywhere])
def test_sorts_of_entries_are_held_to_each_other_in_steps_that_grow_with_them(
    book: Path, write: Callable[[int], str]
) -> None:
    few, many = (_steps_with(book, "job", write(count)) for count in (FEW, FEW * TIMES))
    assert grown_too_quickly(few, many, FEW * TIMES) == []
