"""Facts read back are those that were kept, though their lists are read only when they are looked at."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from jobkit.book.cache.facts_row import FactsRow, LazyRecords, pack, unpack
from jobkit.book.read.load import load_job, load_jobs
from jobkit.book.shelf.opening import Tree, kind_of
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts

EXAMPLE = Path(__file__).parent.parent.parent / "jobs_example"


@pytest.fixture(scope="module")
def facts() -> list[Facts]:
    shelf = Tree(EXAMPLE)
    jobs = load_jobs(shelf, [path for path in shelf.paths() if kind_of(path) == "job"])
    return [facts_of(loaded.job) for loaded in jobs if loaded.job]


def kept(facts: Facts) -> Facts:
    """Write facts as a row and read them back."""
    back = unpack(pack(facts))
    assert back
    return back


def lists(facts: Facts) -> dict[str, Sequence[object]]:
    return {name: value for name, value in facts._asdict().items() if isinstance(value, LazyRecords)}


def test_what_is_read_back_is_what_was_kept(facts: list[Facts]) -> None:
    back = [kept(one) for one in facts]
    assert back == facts
    assert facts == back
    assert back == [kept(one) for one in facts]
    assert [pack(one) for one in back] == [pack(one) for one in facts]
    assert list(map(repr, back)) == list(map(repr, facts))
    assert list(map(hash, back)) == list(map(hash, facts))


def test_every_list_of_records_is_read_back_as_such(facts: list[Facts]) -> None:
    """Each list that the example book has anything in, record by record, by field and by place."""
    seen = set()
    for one in facts:
        for name, back in lists(kept(one)).items():
            plain = getattr(one, name)
            assert back
            assert len(back) == len(plain)
            assert tuple(map(type, back)) == tuple(map(type, plain))
            assert (back[0], back[-1], back[:2]) == (plain[0], plain[-1], plain[:2])
            seen.add(name)
    assert seen == {
        "waits",
        "work",
        "used",
        "trials",
        "proof",
        "price_lines",
        "payments",
        "credits",
        *MONEY_BACK,
    }


MONEY_BACK = ("discounts", "refunds")


def test_other_facts_are_told_apart(facts: list[Facts]) -> None:
    fuller = next(one for one in facts if len(one.work) > 1)
    assert kept(fuller) != fuller._replace(work=fuller.work[:1])
    assert kept(fuller) != kept(fuller._replace(work=fuller.work[:1]))


def test_only_the_fields_that_are_asked_for_are_read_back(facts: list[Facts]) -> None:
    for one in facts:
        some = unpack(pack(one), {"id", "path", "used", "sent"})
        assert some
        assert (some.id, some.path, some.used, some.sent) == (one.id, one.path, one.used, one.sent)
        assert {some.title, some.client, tuple(some.work), some.attachments, some.waives} == {"", ()}


def test_a_file_that_is_not_toml_has_no_facts() -> None:
    assert unpack(FactsRow()) is None


def test_an_empty_list_stays_one() -> None:
    job = load_job("jobs/2026/K26-0001.toml", b'id = "K26-0001"').job
    assert job
    bare = facts_of(job)
    assert kept(bare) == bare
    assert not lists(kept(bare))
