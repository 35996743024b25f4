"""What other good boards read, asked job by job, is what is learned again without the job's own board."""

from __future__ import annotations

from datetime import date

from jobkit.cli.call.boards import boards_among
from jobkit.cli.call.rollup import facts_told, open_at
from jobkit.jobs.asof import facts_as_of
from jobkit.reckon.readings.other_boards import OtherBoards
from jobkit.reckon.readings.usual import usual_of
from tests.books import EXAMPLE


def test_it_is_what_is_learned_without_the_board_itself() -> None:
    book = open_at(EXAMPLE, None)
    known = facts_as_of(facts_told(book), date(2026, 11, 20))
    others = {name: OtherBoards(name, known, book.bench) for name in book.bench.designs}
    asked = 0
    for one in known:
        usual = others[one.design].usual_for(one) if one.design in others else None
        for row in usual_of(one.design, known, book.bench, but=one).rows if usual else ():
            found = usual(row.manner) if usual else None
            if row.n or row.open:
                assert found
                assert (found.n, len(found.open)) == (row.n, len(row.open))
                assert (found.interval, found.moments) == (row.interval, row.moments)
                asked += 1
            else:
                assert found is None
    assert asked > 100


def test_boards_without_a_serial_have_no_stays_in_common() -> None:
    book = open_at(EXAMPLE, None)
    known = [one._replace(serial="") for one in facts_told(book)]
    assert boards_among(known, book.bench).stays("") == []
