"""The lists of a site: all jobs, all jobs to be searched, meters with their calibration, and the public repairs."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job
from jobkit.named_tuple import NamedTuple
from jobkit.pages.blocks import Answer, Block, Line, Table, Title
from jobkit.pages.site.links import year_words
from jobkit.reckon.progress.status import status


class Found(NamedTuple):
    """What a job is found by: beside what its facts say, parts and notes."""

    job: str
    parts: str
    notes: str


def found_by(job: Job) -> Found:
    """Give what a job is found by."""
    parts = [
        job.cause.part if job.cause else None,
        *(one.part for one in job.work),
        *(one.part for one in job.used),
    ]
    items = [one.item for one in job.used]
    notes = [one.text for one in job.notes] + [one.note for one in job.readings]
    return Found(
        job.id,
        ", ".join(dict.fromkeys(filter(None, (*parts, *items)))),
        "; ".join(dict.fromkeys(filter(None, notes))),
    )


class Contents(NamedTuple):
    """What the first page of a site lists; `years` has the jobs by year, the latest first."""

    bench: str
    on: date
    facts: Sequence[Facts]
    designs: Sequence[str]
    weeks: Sequence[str]
    years: Mapping[str, Sequence[Facts]]


def by_year(facts: Iterable[Facts]) -> Mapping[str, Sequence[Facts]]:
    """Sort jobs by the year in which they came, the latest first; "" for those without a date."""
    years: dict[str, list[Facts]] = defaultdict(list)
    for one in facts:
        years[one.known_from[:4]].append(one)
    return {year: years[year] for year in sorted(years, reverse=True)}


def index_page(contents: Contents) -> Answer:
    """List open jobs, designs, weeks, and the jobs of the latest year; the earlier years have pages of their own."""
    return Answer(list(_index(contents)), {})


def _index(contents: Contents) -> Iterator[Block]:
    yield Title(contents.bench, 1)
    yield Line(f"As of {contents.on}.")
    open_jobs = [one for one in contents.facts if status(one).word not in {"done", "sent, unpaid"}]
    yield Title("Open jobs")
    yield _jobs(open_jobs) if open_jobs else Line("No open jobs.")
    if contents.designs:
        yield Title("Designs")
        jobs = Counter(one.design for one in contents.facts)
        yield Table(("design", "jobs"), [(name, str(jobs[name])) for name in contents.designs], ("jobs",))
    if contents.weeks:
        yield Title("Weeks")
        yield Line(", ".join(reversed(contents.weeks)))
    latest, *earlier = contents.years or ("",)
    if contents.facts:
        yield Title(f"All {year_words(latest)}")
        yield _jobs(contents.years[latest])
    if earlier:
        yield Title("Earlier years")
        rows = [(year_words(year), str(len(contents.years[year]))) for year in earlier]
        yield Table(("year", "jobs"), rows, ("jobs",))


def year_page(year: str, facts: Sequence[Facts]) -> Answer:
    """List the jobs of a year."""
    return Answer([Title(f"All {year_words(year)}", 1), _jobs(facts)], {})


def _jobs(facts: Sequence[Facts]) -> Table:
    rows = [
        (one.id, one.title, one.design or one.kind, str(status(one)), one.received) for one in reversed(facts)
    ]
    return Table(("job", "title", "board", "status", "received"), rows)


def search_page(facts: Sequence[Facts], found: Mapping[str, Found]) -> Answer:
    """List every job with all that it may be looked for by; a script narrows the list."""
    rows = [
        (
            one.id,
            one.title,
            one.design,
            one.serial,
            *((more.parts, more.notes) if (more := found.get(one.id)) else ("", "")),
        )
        for one in reversed(facts)
    ]
    table = Table(("job", "title", "design", "serial", "parts", "notes"), rows)
    return Answer(
        [Title("Search", 1), Line("By id, title, design, serial number, part and note."), table], {}
    )


SCRIPT = """
const label = document.createElement('label'), field = document.createElement('input');
label.append('Words to look for ', field);
document.querySelector('table').before(label);
const rows = [...document.querySelectorAll('tbody tr')].map((row) => [row, row.textContent.toLowerCase()]);
field.addEventListener('input', () => {
  const words = field.value.toLowerCase().split(/\\s+/);
  for (const [row, text] of rows) row.hidden = !words.every((word) => text.includes(word));
});
"""
"""Ours, allowed by its hash: it hides the rows that lack one of the words."""


def meters_page(bench: Bench, on: date) -> Answer:
    """List the meters with the day until which their calibration holds."""
    rows = []
    for meter in bench.meters.values():
        until = meter.calibrated_until
        late = "overdue" if until and until < on else ""
        rows.append((meter.name, str(meter.calibrated or ""), str(until or ""), late))
    blocks: list[Block] = [Title("Meters", 1)]
    heads = ("meter", "calibrated", "until", "")
    blocks.append(Table(heads, rows) if rows else Line("There are no meters in meters.toml."))
    return Answer(blocks, {})


def public_index(bench: str, jobs: Sequence[Job]) -> Answer:
    """List the repairs that are shown to the world."""
    rows = [
        (job.id, job.title or "", job.board.kind or "", job.cause.fault or "" if job.cause else "")
        for job in jobs
    ]
    table = Table(("repair", "title", "board", "cause"), rows)
    return Answer(
        [Title(f"Repairs by {bench}", 1), table if rows else Line("No repair is marked `public = true`.")], {}
    )
