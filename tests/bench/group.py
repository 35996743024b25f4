"""A group of benches: is one repository for all of them better, or one each?

    python -m tests.bench.group                    # 20 benches of 10,000 jobs; minutes, and GB in a temporary folder
    python -m tests.bench.group --benches 3 --jobs 500

Clones and pulls go through git's own protocol on one machine, so that the network has no say.
"""

from __future__ import annotations

import argparse
import subprocess
import tempfile
import time
from pathlib import Path

from tests.bench.__main__ import installed, remark
from tests.bench.generate import make_large
from tests.bench.stopwatch import Stopwatch, as_table

# Nobody tidies up behind the back of what is measured.
QUIET = ("-c", "gc.auto=0", "-c", "maintenance.auto=false")
WHO = ("-c", "user.name=ida", "-c", "user.email=ida@bench.example")


def main() -> None:
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--benches", type=int, default=20)
    words.add_argument("--jobs", type=int, default=10_000, help="of each bench")
    chosen = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        watch = Stopwatch(installed(home))
        one = figures(home / "one", chosen.benches, chosen.jobs, watch)
        each = figures(home / "each", 1, chosen.jobs, watch)
        rows = [(what, one[what], each.get(what, "")) for what in one]
        print(
            f"One repository of {chosen.benches} benches with {chosen.jobs} jobs each, and one of one bench:\n"
        )
        print(as_table(rows, ("what", "one for all", "one each")))


def figures(home: Path, benches: int, jobs: int, watch: Stopwatch) -> dict[str, str]:
    """Make a repository of so many benches and go through a day with it."""
    origin = home / "origin"
    for number in range(benches):
        place = origin / f"bench-{number + 1:02d}" if benches > 1 else origin
        make_large(place, jobs, letter=chr(ord("A") + number))
    git(origin, "init", "-q", "-b", "main")
    git(origin, "add", "-A")
    git(origin, *WHO, "commit", "-q", "-m", "The books")
    git(origin, "gc", "-q")
    took = {"size of the packed repository": f"{_size(origin / '.git') / 1e6:.0f} MB"}
    mine, theirs = home / "mine", home / "theirs"
    took["clone"] = spent(home, "clone", "-q", origin.as_uri(), str(mine))
    git(home, "clone", "-q", origin.as_uri(), str(theirs))
    book, other = _books(mine), _books(theirs)
    work(other[-1], 40, 2026)
    git(theirs, *WHO, "commit", "-q", "-a", "-m", "A week of theirs")
    git(theirs, "push", "-q", "origin", "HEAD:week")
    took["fetch a week of another bench"] = spent(mine, "fetch", "-q", "origin", "week")
    took["take it in (fast forward)"] = spent(mine, "merge", "-q", "--ff-only", "FETCH_HEAD")
    git(mine, "reset", "-q", "--hard", "HEAD~1")
    work(book[0], 40, 2025)
    git(mine, *WHO, "commit", "-q", "-a", "-m", "A week of ours")
    took["merge it with a week of ours"] = spent(mine, *WHO, "merge", "-q", "--no-edit", "FETCH_HEAD")
    took["`git status`"] = spent(mine, "status")
    took["cold lint of one bench"] = ms(watch.jobkit(book[0], "lint", calls=1))
    took["warm lint of one bench"] = ms(watch.jobkit(book[0], "lint", calls=3))
    watch.jobkit(book[0], "week", calls=1)
    took["week of one bench"] = ms(watch.jobkit(book[0], "week", calls=3))
    if benches > 1:
        all_books = [word for place in book for word in ("--book", str(place))]
        watch.jobkit(mine, "week", *all_books, calls=1)
        took["week of all benches"] = ms(watch.jobkit(mine, "week", *all_books, calls=1))
    return took


def _books(root: Path) -> list[Path]:
    return sorted(path.parent for path in root.glob("*/bench.toml")) or [root]


def work(book: Path, jobs: int, year: int) -> None:
    """Go on with so many jobs of a year."""
    for job in sorted(book.glob(f"jobs/{year}/*.toml"))[:jobs]:
        remark(job)


def git(root: Path, *words: str) -> None:
    root.mkdir(parents=True, exist_ok=True)
    quiet = subprocess.DEVNULL
    subprocess.run(["git", *QUIET, *words], cwd=root, check=True, stdout=quiet, stderr=quiet)


def spent(root: Path, *words: str) -> str:
    begun = time.perf_counter()
    git(root, *words)
    return ms(time.perf_counter() - begun)


def ms(seconds: float) -> str:
    return f"{seconds * 1000:.0f} ms" if seconds < 10 else f"{seconds:.0f} s"


def _size(folder: Path) -> int:
    return sum(path.stat().st_size for path in folder.rglob("*") if path.is_file())


if __name__ == "__main__":
    main()
