"""A minute to book in, a second a reading: the whole stay of a board at a terminal, and how many keys it takes.

All keys count, Enter and the shell's own prompt too, but those of measured values and of free text (client, serial,
complaint, title). Names of parts count.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

from tests.at_the_bench import bench_book
from tests.cli.terminal import Terminal

ALLOWED = 120


class Person:
    """Somebody who types, and counts."""

    def __init__(self, book: Path, env: dict[str, str]) -> None:
        self.book = book
        self.env = env
        self.keys = 0

    def calls(self, line: str) -> Terminal:
        """Type a command and Enter at the shell."""
        self.keys += len(line) + 1
        return Terminal(line.split()[1:], self.book, self.env)

    def answers(self, there: Terminal, question: str, keys: str = "", *, free: str = "") -> None:
        """Answer a question with keys that count and with free text or a value that does not; then Enter."""
        there.sees(question)
        there.types(keys + free)
        self.keys += len(keys) + 1


def test_a_board_from_the_parcel_to_the_parcel_in_few_keys(tmp_path: Path) -> None:
    book = bench_book(tmp_path / "book")
    person = Person(book, {"XDG_STATE_HOME": str(tmp_path), "JOBKIT_BY": "ida"})
    with person.calls("jobkit book-in") as there:
        person.answers(there, "serial", free="R3-0099")
        person.answers(there, "design", "r")
        person.answers(there, "kind of board")
        person.answers(there, "client", free="c-031")
        person.answers(there, "what the client says", free="Black screen after an hour")
        person.answers(there, "title")
        for question in ("country", "visible damage", "what else was in the parcel", "shelf"):
            person.answers(there, question)
        person.answers(there, "take the readings on arrival now")
        for number in range(1, 9):
            person.answers(there, f"{number}/12", free="23.4")
        for number in range(9, 13):
            person.answers(there, f"{number}/12", free=".52")
        assert there.ends() == 0
    assert "arrival: 12 of 12 readings taken" in there.shown

    with person.calls("jobkit jot work fit u3 new") as there:
        assert there.ends() == 0
    # A board has to cool down before its proof: date the fitting back to the day before.
    (job,) = (path for path in book.glob("jobs/*/*.toml") if path.stem != "K26-0007")
    text = job.read_text("utf-8")
    begun = text.partition("[[work]]\n")[2].partition("\n")[0].partition("= ")[2]
    day_before = (datetime.fromisoformat(begun) - timedelta(days=1)).isoformat()
    job.write_text(text.replace(begun, day_before), "utf-8")

    with person.calls("jobkit walk") as there:
        for number in range(1, 9):
            person.answers(there, f"{number}/12", free="23.4")
        for number in range(9, 13):
            person.answers(there, f"{number}/12", free=".52")
        person.answers(there, "1/2", free="1.35")
        person.answers(there, "2/2", free="12m")
        person.answers(there, "picture (p passed", "p")
        person.answers(there, "load run, 30 min (p passed", "p")
        person.answers(there, "final clean (y", "y")
        person.answers(there, "final inspection (y", "y")
        person.answers(there, "all is tested; outcome")
        assert there.ends() == 0
    assert "all required proofs are done" in there.shown

    with person.calls("jobkit jot sent") as there:
        assert there.ends() == 0
    assert "jobkit:" not in there.shown  # lint has nothing to say of it

    said = job.read_text("utf-8")
    assert said.count("[[reading]]") == 26
    assert said.count("[[trial]]") == 2
    assert all(word in said for word in ('outcome = "repaired"', "started", "finished", "sent"))
    assert person.keys < ALLOWED, person.keys
