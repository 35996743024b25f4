"""Heatings above liquidus: package and place counted separately, by logs where there are any, over all stays."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from jobkit.book.read.load import load_job, open_book
from jobkit.book.shelf.opening import Tree
from jobkit.jobs.entries import Work
from jobkit.jobs.job import Job
from jobkit.reckon.heat.cycles import Cycles, cycles_words, heat_cycles, most_by_entries
from tests.books import BENCH, JOB, JOB_PATH, make_book
from tests.reckon.heat.curves import SOUND, through

FOLDER = JOB_PATH.removesuffix(".toml")
HOT = SOUND
TWICE = ((0, 25), (220, 245), (320, 150), (420, 245), (500, 100))
COOL = ((0, 25), (200, 195), (300, 60))


def csv(*courses: tuple[tuple[float, float], ...]) -> str:
    columns = [[value for _, value in through(corners)] for corners in courses]
    head = ",".join(["time", *(f"t{number + 1} (°C)" for number in range(len(columns)))])
    rows = [",".join(map(str, (time, *values))) for time, values in enumerate(zip(*columns, strict=False))]
    return "\n".join([head, *rows]) + "\n"


def work(hour: int, did: str, *more: str) -> str:
    return "\n".join(
        ["", "[[work]]", f"at = 2026-10-08T{hour:02}:00:00", f'did = "{did}"', 'part = "U3"', *more, ""]
    )


def counted(tmp_path: Path, *entries: str, logs: dict[str, str] | None = None) -> dict[str, Cycles]:
    files = {f"{FOLDER}/{name}": text for name, text in (logs or {}).items()}
    root = make_book(tmp_path, {JOB_PATH: JOB + "".join(entries), "bench.toml": BENCH, **files})
    book = open_book(Tree(root))
    job = load_job(JOB_PATH, book.shelf.read(JOB_PATH)).job
    assert isinstance(job, Job)
    return heat_cycles([job], book.bench)


NEW, SAME, DONOR = 'came = "new"', 'came = "same"', 'came = "donor"'
JOINT = 'heat = "a.csv"\nprobe = { t1 = "U3 joint" }'


@pytest.mark.parametrize(
    ("entries", "package", "place"),
    [
        ((work(8, "remove"), work(9, "fit", SAME)), 2, 2),
        ((work(8, "remove"), work(9, "reball"), work(10, "fit", SAME)), 3, 2),
        ((work(8, "remove"), work(9, "fit", NEW)), 1, 2),
        ((work(8, "remove"), work(9, "fit", DONOR)), 2, 2),
        ((work(8, "swap", NEW),), 1, 1),
        ((work(8, "reflow"), work(9, "reflow")), 2, 2),
        ((work(8, "clean"), work(9, "inspect"), work(10, "rebuild-pads")), 0, 0),
        ((work(8, "remove"), work(9, "fit", NEW), work(10, "reflow")), 2, 3),
    ],
    ids=["same again", "reballed", "new", "donor", "swap", "reflows", "no heat", "new, and once more"],
)
def test_package_and_place_are_counted_separately(
    tmp_path: Path, entries: tuple[str, ...], package: int, place: int
) -> None:
    found = counted(tmp_path, *entries).get("U3", Cycles("U3"))
    assert (found.package, found.place) == (package, place)


def test_without_logs_the_entries_tell_the_most_that_a_package_can_have_had(tmp_path: Path) -> None:
    entries = (work(8, "remove"), work(9, "fit", DONOR), work(10, "reflow"))
    assert counted(tmp_path, *entries)["U3"].package == 3  # one on the donor, the fitting and the reflow
    done = [Work((), did=did, part="U3") for did in ("remove", "fit", "inspect", "reflow")]
    assert most_by_entries(done) == 4  # the removal was of the package before it
    assert most_by_entries([Work((), did="remove", part="U4", near=("U3",))]) == 2


def test_a_log_tells_how_often(tmp_path: Path) -> None:
    twice = counted(tmp_path / "1", work(8, "reflow", JOINT), logs={"a.csv": csv(TWICE)})["U3"]
    assert (twice.package, twice.heatings[0].by_log) == (2, True)
    cool = counted(tmp_path / "2", work(8, "remove", JOINT), logs={"a.csv": csv(COOL)})["U3"]
    assert (cool.package, cool.place) == (0, 0)
    along = counted(tmp_path / "3", work(8, "remove", JOINT, 'near = ["U4"]'), logs={"a.csv": csv(COOL)})
    assert "U4" not in along


def test_a_neighbour_counts_where_its_thermocouple_shows_that_it_melted(tmp_path: Path) -> None:
    probe = 'heat = "a.csv"\nprobe = { t1 = "U3 joint", t2 = "U4 body top", t3 = "U5 body top" }'
    probe += '\nnear = ["U4", "U5", "U6"]'
    found = counted(tmp_path, work(8, "reflow", probe), logs={"a.csv": csv(HOT, HOT, COOL)})
    assert [(part, one.package, one.perhaps) for part, one in found.items()] == [
        ("U3", 1, 0), ("U4", 1, 0), ("U5", 0, 0), ("U6", 0, 1),
    ]  # fmt: skip


def test_a_log_that_cannot_be_trusted_shows_nothing(tmp_path: Path) -> None:
    still = csv(((0, 25), (300, 25)))
    found = counted(tmp_path, work(8, "reflow", JOINT), logs={"a.csv": still})["U3"]
    assert (found.package, found.heatings[0].by_log) == (1, False)


def test_earlier_stays_go_on_counting(tmp_path: Path) -> None:
    root = make_book(
        tmp_path, {JOB_PATH: JOB + work(8, "remove") + work(9, "fit", SAME), "bench.toml": BENCH}
    )
    book = open_book(Tree(root))
    job = load_job(JOB_PATH, book.shelf.read(JOB_PATH)).job
    assert job is not None
    found = heat_cycles([job, job._replace(id="K26-0002")], book.bench)["U3"]
    assert (found.package, found.place) == (4, 4)
    assert [one.job for one in found.heatings] == [job.id, job.id, "K26-0002", "K26-0002"]


def test_what_is_assumed_is_said() -> None:
    assert cycles_words(Cycles("U3", 1, 1)) == "1 bench heating above liquidus"
    assert cycles_words(Cycles("U3", 3, 1, factory=Decimal(2))).endswith("2 more at the factory (assumed)")
