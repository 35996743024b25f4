"""Whatever two benches do to one file: nothing is lost, nothing comes from nowhere, conflicts are real."""

import re
from collections import Counter
from functools import lru_cache
from pathlib import Path
from random import Random
from typing import NamedTuple

import pytest
import rtoml

from jobkit.book.merge import Merged, merge
from jobkit.book.merge.markers import sides
from tests.book.merge_edits import Author, Doc, Part, Style, outcome, recognisable, written

pytestmark = pytest.mark.slow

ROUNDS = 24
A_ROUND = 75
MARKERS = {"<<<<<<< ours", "=======", ">>>>>>> theirs"}


class Case(NamedTuple):
    """A file, two edits of it, their texts, and what the merge made of them."""

    docs: tuple[Doc, Doc, Doc]
    style: Style
    base: str
    ours: str
    theirs: str
    merged: Merged
    only_added: bool


@lru_cache(ROUNDS)
def cases(number: int) -> tuple[Case, ...]:
    return tuple(case_of(seed) for seed in range(number * A_ROUND, (number + 1) * A_ROUND))


def case_of(seed: int) -> Case:
    author = Author(seed)
    base, style = author.doc(), author.style()
    only_add = seed % 4 == 0
    docs = (base, author.edited(base, only_add=only_add), author.edited(base, only_add=only_add))
    first, second, third = (written(doc, style) for doc in docs)
    return Case(docs, style, first, second, third, merge(first, second, third), only_add)


def lines_of(text: str) -> "Counter[str]":
    return Counter(line for line in text.replace("\r\n", "\n").split("\n") if line.strip())


rounds = pytest.mark.parametrize("number", range(ROUNDS))


@rounds
def test_the_line_rule(number: int) -> None:
    for case in cases(number):
        keeps_the_line_rule(case.base, case.ours, case.theirs, case.merged)


def keeps_the_line_rule(base_text: str, our_text: str, their_text: str, merged: Merged) -> None:
    base, ours, theirs, there = map(lines_of, (base_text, our_text, their_text, merged.text))
    for line in {**base, **ours, **theirs}:
        gone = max(0, base[line] - ours[line]) + max(0, base[line] - theirs[line])
        added = max(ours[line] - base[line], theirs[line] - base[line], 0)
        assert there[line] >= base[line] - gone + added, (line, merged.text)
    assert set(there) <= {*base, *ours, *theirs, *MARKERS}
    assert merged.clean is not bool(MARKERS & set(there))


@rounds
def test_a_conflict_only_where_both_changed_one_thing(number: int) -> None:
    for case in cases(number):
        base, ours, theirs = case.docs
        if recognisable(base, ours) and recognisable(base, theirs):
            expected = outcome(base, ours, theirs, case.style)
            assert case.merged.clean is not expected.collides, case.merged.text
            if case.merged.clean:
                assert lines_of(case.merged.text) == expected.lines


@rounds
def test_entries_that_both_add_never_conflict(number: int) -> None:
    for case in cases(number):
        assert case.merged.clean or not case.only_added, case.merged.text


@rounds
def test_what_is_clean_is_toml_and_written_as_before(number: int) -> None:
    for case in cases(number):
        text = case.merged.text
        newline = case.style.newline
        assert text.count("\r\n") == (text.count("\n") if newline == "\r\n" else 0)
        if case.merged.clean:
            rtoml.loads(text)
            assert text.endswith("\n") is case.style.ended


@rounds
def test_neither_side_is_favoured(number: int) -> None:
    for case in cases(number):
        other = merge(case.base, case.theirs, case.ours)
        assert case.merged.clean is other.clean
        if case.merged.clean:
            assert case.merged.text == other.text
        else:
            assert both_sides(case.merged) == both_sides(other)[::-1]


def both_sides(merged: Merged) -> tuple[str, str]:
    both = sides(merged.text)
    assert both is not None
    return both


@rounds
def test_the_base_keeps_its_order_and_what_both_add_in_one_place_stands_by_time(number: int) -> None:
    for case in cases(number):
        if case.merged.clean:
            base, ours, theirs = ({part.number: part for part in doc.parts} for doc in case.docs)
            order = in_order(case.merged.text, (base, ours, theirs))
            assert [each for each in order if each in base] == [each for each in base if each in order]
            for group in runs_of_new(order, base):
                if ours.keys() & group and theirs.keys() & group:
                    times = [(ours | theirs)[each].pairs.get("at", "") for each in group]
                    assert [time for time in times if time] == sorted(time for time in times if time)


TOKEN = re.compile(r"(?:value|text) [0-9]+ [0-9a-f]{6}")


def in_order(text: str, versions: tuple[dict[int, Part], ...]) -> list[int]:
    """Return which parts are in a text, by the place of the first value that only they hold, in any version."""
    places = {found[0]: found.start() for found in TOKEN.finditer(text)}
    first: dict[int, int] = {}
    for number, part in (item for version in versions for item in version.items()):
        found = [places[token] for token in TOKEN.findall(str(part.pairs)) if token in places]
        if found:
            first[number] = min(*found, first.get(number, len(text)))
    return sorted(first, key=lambda number: first[number])


def runs_of_new(order: list[int], base: dict[int, Part]) -> list[list[int]]:
    """Return what was added, in one list for each place between two parts of the base."""
    runs: list[list[int]] = [[]]
    for number in order:
        if number in base:
            runs.append([])
        else:
            runs[-1].append(number)
    return runs


EXAMPLES = sorted(Path(__file__).parents[2].glob("jobs_example/**/*.toml"))


def test_the_line_rule_holds_for_any_edit_of_any_lines() -> None:
    for seed in range(200):
        check_any_edit(Random(seed))  # noqa: S311 - nothing secret


def check_any_edit(chance: Random) -> None:
    base = numbered(chance.choice(EXAMPLES).read_text(encoding="utf-8"))
    ours, theirs = any_edit(base, chance), any_edit(base, chance)
    merged = merge(base, ours, theirs)
    keeps_the_line_rule(base, ours, theirs, merged)
    if merged.clean and all(map(is_toml, (base, ours, theirs))):
        assert is_toml(merged.text)


def numbered(text: str) -> str:
    """Return a text in which no line stands twice, so that each that is lost is missed."""
    return "\n".join(f"{line}  # {number}" if line else line for number, line in enumerate(text.split("\n")))


def any_edit(text: str, chance: Random) -> str:
    """Take out, write twice, move, break or exchange a few lines, blocks or no blocks."""
    lines = text.split("\n")
    for _ in range(chance.randint(1, 4)):
        start = chance.randrange(len(lines))
        end = start + chance.choice((1, 1, 2, 5))
        some = lines[start:end]
        deed = chance.choice(("out", "twice", "move", "break", "new", "new"))
        if deed in {"out", "move"}:
            del lines[start:end]
        if deed in {"twice", "move"}:
            place = chance.randrange(len(lines) + 1)
            lines[place:place] = some
        elif deed in {"break", "new"}:
            new = f"key{chance.randrange(100)} = {chance.randrange(100)}"
            lines[start:end] = ['text = """' if deed == "break" and chance.random() < 0.2 else new]
    return "\n".join(lines)


def is_toml(text: str) -> bool:
    try:
        rtoml.loads(text)
    except rtoml.TomlParsingError:
        return False
    return True
