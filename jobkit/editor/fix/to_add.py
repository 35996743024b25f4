"""What is missing in a file, added: a key with a place to fill in, a table with the keys that it needs, a day."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from functools import partial

from jobkit.book import edit
from jobkit.book.edit import Value
from jobkit.book.schema.entry_keys import Key, all_keys
from jobkit.editor.fix.change import Change
from jobkit.editor.names.tables import keys_at
from jobkit.editor.shown.open_file import OpenFile
from jobkit.jobs.date_order import LatestDay, latest_day
from jobkit.jobs.finding import Finding, Place
from jobkit.jobs.job import Dates, Job

_OWN_NAME = re.compile(r'add (?:id|design) = "([^"]+)"$')
_CHOICES = re.compile(r"^add (\w+): [\w, -]+$")
_MISSING = "is missing"
_FIRST_DAY = "received"


def to_add(file: OpenFile, finding: Finding, now: datetime) -> Iterator[Change]:
    """Yield what is missing at the place of a finding; what only you know is left empty, which is found too."""
    place = finding.place
    if not place or place in file.text.outline.spans:
        return
    if file.kind == "job" and len(place) == 2 and place[0] == "dates" and finding.mend.startswith("add "):
        yield from _day(file, place, now)
    elif _is_missing(finding):
        yield from _key(file, finding, now)


def all_to_add(file: OpenFile, findings: Iterable[Finding], now: datetime) -> Change | None:
    """Return the change that adds all that the top of a file lacks; None where that is less than two things."""
    order = [key.name for key in keys_at(file.kind, ())]
    lacking = [one for one in findings if len(one.place) == 1 and _is_missing(one) and one.place[0] in order]
    lacking.sort(key=lambda one: order.index(str(one.place[0])))
    steps = [next(_key(file, one, now), None) for one in lacking]
    made = [one.make for one in steps if one]

    def add(text: str) -> str:
        text = text if text.strip() else _schema_line(file)
        for make in made:
            text = make(text)
        return text

    names = ", ".join(str(one.place[0]) for one in lacking)
    return Change(f"Add all that is missing: {names}", add) if len(made) > 1 else None


def _schema_line(file: OpenFile) -> str:
    """Return the line that tells other programs where the schema of a new file is."""
    return f"#:schema {'../' * file.path.count('/')}schema/{file.kind}.schema.json\n"


def _is_missing(finding: Finding) -> bool:
    return _MISSING in finding.message and finding.mend.startswith("add ")


def _day(file: OpenFile, place: Place, now: datetime) -> Iterator[Change]:
    """Yield a missing day of the job: the latest that it can have been."""
    dates, key = file.job.dates if file.job else Dates(), str(place[1])
    latest = (_agreement(file.job) if key == "agreed" else None) or latest_day(key, dates, now.date())
    if latest:
        why = f" (as {latest.bound_by})" if latest.bound_by else ""
        title = f"Add {key} = {latest.day}{why}"
        yield Change(title, partial(edit.set_key, path=place, value=latest.day))


def _agreement(job: Job | None) -> LatestDay | None:
    """Return the day of the last agreement that is written down."""
    days = [one.on for one in job.price.agreements if one.on] if job and job.price else []
    return LatestDay(max(days), "price.agreed") if days else None


def _key(file: OpenFile, finding: Finding, now: datetime) -> Iterator[Change]:
    """Yield a missing key, once for each choice where it has some; of a table the keys that it needs."""
    place = finding.place
    names = [one for one in place if isinstance(one, str)]
    key = next((one for one in keys_at(file.kind, names[:-1]) if one.name == place[-1]), None)
    if key is None:
        return
    own = _OWN_NAME.match(finding.mend)
    if key.form == "table":
        yield from _table(file.kind, place, now)
    elif key.choices:
        for one in key.choices:
            yield Change(f'Add {key.name} = "{one}"', partial(edit.set_key, path=place, value=one))
    elif own:
        yield Change(f'Add {key.name} = "{own[1]}"', partial(edit.set_key, path=place, value=own[1]))
    else:
        for value in _filler(key, now):
            fill = " and fill it in" if value == "" else f" = {value}"
            yield Change(f"Add {key.name}{fill}", partial(edit.set_key, path=place, value=value))


def _filler(key: Key, now: datetime) -> Iterator[Value]:
    """Yield what a missing key begins with; nothing where every value would be an invention."""
    fillers: Mapping[str, Value] = {"const": 1, "text": "", "day": now.date(), "moment": now}
    if key.form in fillers:
        yield fillers[key.form]


def _table(kind: str, place: Place, now: datetime) -> Iterator[Change]:
    names = tuple(one for one in place if isinstance(one, str))
    keys = [
        one for one in all_keys(kind, names) if one.required or (names, one.name) == (("dates",), _FIRST_DAY)
    ]
    first = [(one.name, value) for one in keys for value in _filler(one, now)]

    def add(text: str) -> str:
        for name, value in first:
            text = edit.set_key(text, (*place, name), value)
        return text

    if first:
        shown = " and ".join(name if value == "" else f"{name} = {value}" for name, value in first)
        yield Change(f"Add [{'.'.join(names)}] with {shown}", add)
