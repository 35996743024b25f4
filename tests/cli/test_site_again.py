"""A site that is written again makes only what changed, and is then, byte for byte, what a new one would be."""

from __future__ import annotations

import random
import re
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from jobkit.cli.bench import site_writing
from jobkit.cli.bench.site_pages import draw_job
from jobkit.pages.forms.picture import scaled as scaled_photo
from tests.books import EXAMPLE, JOB, put
from tests.conftest import Run
from tests.drawn_picture import picture
from tests.long_run import LONG

JOBS = ("0016", "0014", "0026", "0034", "0035", "0042", "0047", "0055", "0061")
DAYS = ("2026-10-01", "2026-11-19", "2026-11-20", "2027-06-01")


def small_book(to: Path) -> Path:
    """Copy of the example what a site needs, with a few of its jobs."""
    for name in ("bench.toml", "meters.toml", "stock.toml"):
        put(to / name, (EXAMPLE / name).read_bytes())
    shutil.copytree(EXAMPLE / "boards", to / "boards")
    for number in JOBS:
        name = f"jobs/2026/K26-{number}"
        put(to / f"{name}.toml", (EXAMPLE / f"{name}.toml").read_bytes())
        if (EXAMPLE / name).is_dir():
            shutil.copytree(EXAMPLE / name, to / name)
    return to


def in_git(book: Path) -> None:
    for words in (
        ("init", "-q"),
        ("add", "-A"),
        ("-c", "user.name=a", "-c", "user.email=a@b", "commit", "-qm", "a"),
    ):
        subprocess.run(["git", *words], cwd=book, check=True)


def everything(site: Path) -> dict[str, bytes]:
    return {
        path.relative_to(site).as_posix(): path.read_bytes() for path in site.rglob("*") if path.is_file()
    }


def jobs_of(book: Path) -> list[Path]:
    return sorted(book.glob("jobs/2026/*.toml"))


def edited(path: Path, change: Callable[[str], str]) -> None:
    path.write_text(change(path.read_text("utf-8")), "utf-8")


def add_note(book: Path, chance: random.Random) -> None:
    told = f"see K26-{chance.choice((*JOBS, '0900', '0901'))} and tarnhow-t7-16, {chance.random()}"
    day = chance.choice(DAYS)
    edited(
        chance.choice(jobs_of(book)), lambda text: f'{text}\n[[note]]\nat = {day}T10:00:00\ntext = "{told}"\n'
    )


def add_job(book: Path, chance: random.Random) -> None:
    source = chance.choice(jobs_of(book))
    number = chance.choice(("0900", "0901"))
    text = re.sub(r"K26-\d{4}", f"K26-{number}", source.read_text("utf-8"), count=1)
    put(book / f"jobs/2026/K26-{number}.toml", text.encode())


def remove_job(book: Path, chance: random.Random) -> None:
    if len(jobs_of(book)) > 4:
        chance.choice(jobs_of(book)).unlink()


def change_serial(book: Path, chance: random.Random) -> None:
    serial = f'serial = "{chance.choice(("T7-0019-5521", "t7 0012 0909", "X"))}"'
    edited(chance.choice(jobs_of(book)), lambda text: re.sub(r'serial *= *"[^"]*"', serial, text))


def change_reading(book: Path, chance: random.Random) -> None:
    value = f'value = "0.{chance.randrange(330, 420)} Ω"'
    edited(chance.choice(jobs_of(book)), lambda text: re.sub(r'value *= *"0\.3\d* Ω"', value, text, count=2))


def change_own_file(book: Path, chance: random.Random) -> None:
    name = chance.choice(("bench.toml", "meters.toml", "stock.toml", "boards/tarnhow-t7-16.toml"))
    changes = {
        "bench.toml": ("Skerrie", "Other"),
        "meters.toml": ("percent", "percent"),
        "stock.toml": ("GDDR6", "GDDR-6"),
    }
    old, new = changes.get(name, ("beside", "next to"))
    edited(book / name, lambda text: text.replace(old, new) + "\n# changed\n")


def change_log(book: Path, chance: random.Random) -> None:
    logs = sorted(book.glob("jobs/2026/*/*.csv"))
    if logs:
        log = chance.choice(logs)
        log.write_bytes(log.read_bytes().replace(b"2", b"3", 1))


def change_photo(book: Path, chance: random.Random) -> None:
    photo = book / "jobs/2026/K26-0047/q214-drawn.png"
    if chance.random() < 0.3:
        photo.unlink(missing_ok=True)
    else:
        put(photo, picture() if chance.random() < 0.5 else (picture()[:-20]))


CHANGES = (
    add_note, add_job, remove_job, change_serial, change_reading, change_own_file, change_log, change_photo,
)  # fmt: skip


def write(run: Run, book: Path, site: Path, on: str) -> str:
    ran = run("site", site, "--book", book, "--on", on)
    assert ran.status == 0, ran.err
    return ran.out


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(20 if LONG else 2))
def test_a_site_written_again_after_any_change_is_what_a_new_one_would_be(
    run: Run, tmp_path: Path, seed: int
) -> None:
    chance = random.Random(seed)  # noqa: S311 - the same each time
    book = small_book(tmp_path / "book")
    if seed % 2:
        in_git(book)
    on = "2026-11-20"
    write(run, book, tmp_path / "site", on)
    for step in range(6):
        for change in chance.sample(CHANGES, chance.choice((0, 1, 2))):
            change(book, chance)
        on = chance.choice((on, *DAYS))
        write(run, book, tmp_path / "site", on)
        write(run, book, tmp_path / f"new-{step}", on)
        again, new = everything(tmp_path / "site"), everything(tmp_path / f"new-{step}")
        assert sorted(again) == sorted(new)
        assert [place for place, content in new.items() if again[place] != content] == []


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """List the jobs whose page is made."""
    places: list[str] = []

    def noted(site: object, job: object, picture: object) -> str:
        places.append(job.id)  # type: ignore[attr-defined]
        return draw_job(site, job, picture)  # type: ignore[arg-type]

    monkeypatch.setattr(site_writing, "draw_job", noted)
    return places


def test_only_pages_whose_sources_changed_are_made(run: Run, tmp_path: Path, made: list[str]) -> None:
    book, site = small_book(tmp_path / "book"), tmp_path / "site"
    write(run, book, site, "2026-11-20")
    assert len(made) == len(JOBS)
    made.clear()
    write(run, book, site, "2026-11-20")
    assert made == []
    edited(book / "jobs/2026/K26-0047.toml", lambda text: f'{text}\n[[note]]\ntext = "as K26-0900"\n')
    write(run, book, site, "2026-11-20")
    # Jobs on the bench depend on all others: what was the fault of those, and what they cost in time.
    assert set(made) == {"K26-0047", "K26-0055", "K26-0061"}
    made.clear()
    text = JOB.replace("K26-0001", "K26-0900").replace("alder-a1", "hespin-h4-8")
    put(book / "jobs/2026/K26-0900.toml", text)
    write(run, book, site, "2026-11-20")
    assert "K26-0047" in made
    assert "K26-0016" not in made
    assert 'href="../jobs/K26-0900.html"' in (site / "jobs/K26-0047.html").read_text("utf-8")


def test_a_page_that_was_changed_by_hand_is_made_again(run: Run, tmp_path: Path, made: list[str]) -> None:
    book, site = small_book(tmp_path / "book"), tmp_path / "site"
    write(run, book, site, "2026-11-20")
    before = everything(site)
    put(site / "jobs/K26-0047.html", b"changed")
    (site / "jobs/K26-0042.html").unlink()
    for photo in site.glob("photos/*.jpg"):
        photo.unlink()
    made.clear()
    write(run, book, site, "2026-11-20")
    assert {"K26-0047", "K26-0042"} <= {*made}
    assert everything(site) == before


def test_a_photo_is_scaled_once_and_removed_with_its_last_page(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    scaled: list[int] = []

    def noted(content: bytes) -> object:
        scaled.append(len(content))
        return scaled_photo(content)

    monkeypatch.setattr(site_writing, "scaled", noted)
    book, site = small_book(tmp_path / "book"), tmp_path / "site"
    put(book / "jobs/2026/K26-0016/same.png", picture())
    edited(
        book / "jobs/2026/K26-0016.toml",
        lambda text: f'{text}\n[[seen]]\ncheck = "eye"\nphotos = ["same.png"]\n',
    )
    write(run, book, site, "2026-11-20")
    assert (len(scaled), len(list(site.glob("photos/*.jpg")))) == (1, 1)
    edited(book / "jobs/2026/K26-0047.toml", lambda text: f'{text}\n[[note]]\ntext = "more"\n')
    write(run, book, site, "2026-11-20")
    assert len(scaled) == 1
    for name in ("0016", "0047"):
        (book / f"jobs/2026/K26-{name}.toml").unlink()
    write(run, book, site, "2026-11-20")
    assert not list(site.glob("photos/*.jpg"))
