"""What a board file, the readings and the work say of a point, a part, a channel, a rail, a design."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jobkit.editor.hover.shelf import on_hand_words
from jobkit.editor.names.designs import Named, design_of
from jobkit.editor.shown.open_book import BookInEditor
from jobkit.editor.shown.open_file import OpenFile
from jobkit.jobs.asof import facts_as_of
from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.entries import Reading
from jobkit.jobs.finding import Place
from jobkit.jobs.job import Job
from jobkit.jobs.manner import manner
from jobkit.jobs.stays import earlier_stays
from jobkit.pages.bench.confirmations import reading_line, usual_line
from jobkit.pages.bench.readings import moment
from jobkit.pages.bench.verdict_words import why
from jobkit.pages.forms.markdown import escaped
from jobkit.pages.words import counted
from jobkit.reckon.heat.cycles import cycles_words, heat_cycles
from jobkit.reckon.heat.part_states import off_in, part_states
from jobkit.reckon.heat.stays import read_stays
from jobkit.reckon.memory.board_map import channel_places, rails_of
from jobkit.reckon.readings.against_usual import against
from jobkit.reckon.readings.limits import judge_reading


def reading_lines(job: Job, place: Place, book: BookInEditor) -> Iterator[str]:
    """Say a reading with its verdict, the reason, what is usual, and what it was before."""
    reading = next((one for one in job.readings if one.path == place), None)
    if reading is None or not reading.point or not reading.shown:
        return  # what cannot be read has a finding, and nothing else is to be said of it
    opened = book.book()
    judged = judge_reading(reading, opened.bench, opened.bench.designs.get(job.board.design or ""))
    yield f"**{escaped(' '.join(reading_line(judged).split()))}**"
    if judged.corrected and judged.limit and judged.verdict:
        yield escaped(f"{why(judged.corrected, judged.limit, judged.verdict)}.")
    saved = book.saved()
    alone = job._replace(readings=(reading,))
    usual = against(alone, book.outside.usual_for(saved, job, book.today(opened)), opened.bench).get(place)
    if usual:
        yield escaped(usual_line(usual).strip())
    before = _before(reading, job)
    if before and before.shown:
        yield escaped(f"Before: {before.shown.text} ({before.stage or 'work'} {moment(before.at)})".strip())


def _before(reading: Reading, job: Job) -> Reading | None:
    """Return the last reading in the same manner before one of a job."""
    earlier = [one for one in job.readings if one.path != reading.path and manner(one) == manner(reading)]
    if reading.at:
        earlier = [one for one in earlier if one.at and one.at < reading.at]
    else:
        earlier = [one for one in earlier if one.path[1:] < reading.path[1:]]
    return max(earlier, key=lambda one: (str(one.at or ""), str(one.path)), default=None)


def point_lines(named: Named, file: OpenFile, book: BookInEditor) -> Iterator[str]:
    """Say where a point is, on which rail, and its limits."""
    design = design_of(file, book.book().bench)
    point = design.point(named.name) if design else None
    if not design or not point:
        return
    rail = design.rail(point.rail)
    nominal = f", nominal {rail.nominal.text}" if rail and rail.nominal else ""
    place = f"{point.where or ''}, rail {point.rail}{nominal}" if rail else point.where or ""
    yield f"**{escaped(named.name)}** {escaped(place)}"
    for one in point.limits:
        if one.limit:
            yield f"- {escaped(' '.join(filter(None, (one.kind, one.state))))}: {escaped(one.limit.text)}"


def part_lines(named: Named, file: OpenFile, book: BookInEditor) -> Iterator[str]:
    """Say what a part is, where it is, how often it was heated, and what replaces it."""
    bench = book.book().bench
    design = design_of(file, bench)
    if design is None:
        return
    package = next((one for one in design.packages if one.part == named.name), None)
    memory = next((one for one in design.memory if one.part == named.name), None)
    what = (package and package.what) or (
        "memory" if memory else "processor" if design.processor == named.name else ""
    )
    place = (package and package.place) or (memory and memory.place) or ""
    yield ", ".join(filter(None, (f"**{escaped(named.name)}** {escaped(what)}".strip(), escaped(place))))
    if memory and memory.channels:
        yield f"Channels {escaped(', '.join(memory.channels))}"
    rails = rails_of(design, named.name)
    if rails:
        yield f"Fed by {escaped(', '.join(rails))}"
    if file.job:
        yield from _on_the_board(named.name, _stays(file.job, book, bench), bench)
    if package and package.item:
        yield from _stock_line(package.item, book)


def _stays(job: Job, book: BookInEditor, bench: Bench) -> tuple[Job, ...]:
    """Give the earlier stays of the board as they are saved, and this one as it is shown."""
    own, saved = facts_of(job), book.saved()
    same = book.outside.stays_of(saved, own.serial, book.today(saved))
    earlier = earlier_stays(own, same, lambda name: [one for one in book.facts() if one.id == name])
    return (*read_stays(earlier, bench), job)


def _on_the_board(part: str, stays: Sequence[Job], bench: Bench) -> Iterator[str]:
    job = stays[-1]
    off = part in off_in(part_states(stays))
    cycles = heat_cycles(stays, bench).get(part)
    yield f"{'Off the board' if off else 'On the board'} as of the last entry"
    if cycles:
        yield f"{escaped(cycles_words(cycles))}; the bench allows {bench.settings.heat_cycles}"
    for one in job.used:
        if one.part == part and one.source not in {None, "stock", "bought", "client"}:
            yield f"From the donor {escaped(str(one.source))}"


def _stock_line(item: str, book: BookInEditor) -> Iterator[str]:
    words = on_hand_words(item, book)
    if words:
        yield f"Stock: {escaped(f'{item}, {words}')}"


def channel_lines(named: Named, file: OpenFile, book: BookInEditor) -> Iterator[str]:
    """Say which package a memory channel is on, where that is, and what feeds it."""
    design = design_of(file, book.book().bench)
    place = channel_places(design).get(named.name) if design else None
    if place:
        fed = f", fed by {', '.join(place.rails)}" if place.rails else ""
        yield f"**{escaped(named.name)}** is {escaped(f'{place.part}, {place.place}{fed}')}"


def rail_lines(named: Named, file: OpenFile, book: BookInEditor) -> Iterator[str]:
    """Say the nominal voltage of a rail, and what it feeds."""
    design = design_of(file, book.book().bench)
    rail = design.rail(named.name) if design else None
    if rail:
        nominal = rail.nominal.text if rail.nominal else "nominal voltage not known"
        yield f"**{escaped(named.name)}** {escaped(nominal)}, feeds {escaped(', '.join(rail.feeds) or 'nothing yet')}"


def design_lines(named: Named, _file: OpenFile, book: BookInEditor) -> Iterator[str]:
    """Say what a design is, and how many jobs the book has of it."""
    opened = book.book()
    design = opened.bench.designs.get(named.name)
    if design is None:
        return
    jobs = [one for one in facts_as_of(book.facts(), book.today(opened)) if one.design == named.name]
    yield f"**{escaped(named.name)}** {escaped(design.what or design.kind or '')}".rstrip()
    yield f"{counted(len(design.points), 'point')}, {counted(len(jobs), 'job')} in the book"
