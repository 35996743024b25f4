"""The example book that came with jobkit, in a wheel or in a checkout, and the history it would have had."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from jobkit.book.git.fast_import import Commit
from jobkit.book.setup.daily_states import Day, days_of
from jobkit.book.shelf.opening import kind_of
from jobkit.book.toml.parse import parse_text
from jobkit.jobs.sorts import ENTRIES
from jobkit.named_tuple import NamedTuple

_PACKAGE = Path(__file__).parents[2]
_INSIDE, _BESIDE = _PACKAGE / "jobs_example", _PACKAGE.parent / "jobs_example"
FOLDER = _INSIDE if _INSIDE.is_dir() else _BESIDE

_HANDS = {"ida": ("Ida", "ida@skerrie.example"), "tor": ("Tor", "tor@skerrie.example")}
_UNSAID = frozenset(("board", "comeback", "parcel", "fate", "warranty", "firmware"))


class _Entry(NamedTuple):
    at: datetime
    id: str
    day: Day
    first: bool
    last: bool


def history(folder: Path = FOLDER) -> Iterator[Commit]:
    """Give the history of the example book: the book as it was opened, then each job day by day, as it was written.

    A job from before the book was begun is typed in when its board comes back.
    """
    files = {path: (folder / path).read_bytes() for path in _paths(folder)}
    zone = ZoneInfo(parse_text(files["bench.toml"].decode())["bench"]["zone"])
    jobs = {Path(path).stem: content.decode() for path, content in files.items() if kind_of(path) == "job"}
    entries = sorted(_entries(jobs))
    begun = min(one.at for one in entries)
    own = {path: content for path, content in files.items() if kind_of(path) not in {"job", "attachment"}}
    yield Commit(*_HANDS["ida"], _hour_before(begun, zone), "Open the book", own)
    for one in entries:
        path = f"jobs/20{one.id[1:3]}/{one.id}"
        logs = {f"{path}/{name}": files.pop(f"{path}/{name}") for name in one.day.files}
        if one.last:  # photographs and the like, which no entry names
            logs |= {name: files.pop(name) for name in list(files) if name.startswith(f"{path}/")}
        hand = _HANDS.get(one.day.by, _HANDS["ida"])
        at = one.at.replace(tzinfo=zone)
        yield Commit(*hand, at, _message(one, jobs[one.id]), {f"{path}.toml": one.day.text.encode(), **logs})


def _paths(folder: Path) -> list[str]:
    found = (path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())
    return sorted(path for path in found if not path.startswith((".git/", "private/")))


def _entries(jobs: dict[str, str]) -> Iterator[_Entry]:
    newest = max(job_id[1:3] for job_id in jobs)
    back = {parse_text(text).get("comeback", {}).get("of"): job_id for job_id, text in jobs.items()}
    days = {job_id: days_of(text) for job_id, text in jobs.items()}
    for job_id, its_days in days.items():
        if job_id[1:3] == newest or job_id not in back:
            for place, day in enumerate(its_days):
                yield _Entry(day.at, job_id, day, place == 0, day is its_days[-1])
        else:
            files = tuple(name for day in its_days for name in day.files)
            yield _Entry(
                days[back[job_id]][0].at, job_id, its_days[-1]._replace(files=files), first=True, last=True
            )


def _hour_before(at: datetime, zone: ZoneInfo) -> datetime:
    return (at - timedelta(hours=1)).replace(tzinfo=zone)


def _message(one: _Entry, text: str) -> str:
    """Say what a day brought: "K26-0047: quoted, price", "K26-0047: 3 readings, work, trial"."""
    doc = parse_text(text)
    title = doc["title"]
    if one.first:
        begun = "booked in" if "received" in doc["dates"] else "announced"
        return f"{one.id}: {begun}\n\n{title}\n"
    counts: dict[str, int] = {}
    for name in one.day.came:
        counts[name] = counts.get(name, 0) + 1
    named = [
        _counted(name, count) for name, count in counts.items() if name not in _UNSAID or len(counts) == 1
    ]
    return f"{one.id}: {', '.join(named)}\n\n{title}\n"


def _counted(name: str, count: int) -> str:
    many = _PLURAL.get(name, name)
    return f"{count} {many}" if count > 1 and many != name else name


_PLURAL = {sort.name: sort.field for sort in ENTRIES}
