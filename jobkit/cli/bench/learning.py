"""What the finished jobs of a design teach of its causes: shown, or proposed into its board file."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from jobkit.book.read.load import OpenBook, load_jobs
from jobkit.book.read.watch import watched
from jobkit.book.write.learned import CauseToWrite, Wrote, write_causes
from jobkit.cli.bench.noting import pen_for
from jobkit.cli.call.clock import day
from jobkit.cli.call.design_asked import design_asked
from jobkit.cli.call.rollup import facts_told, open_at
from jobkit.jobs.asof import facts_as_of, job_as_of
from jobkit.jobs.design import Design
from jobkit.jobs.facts import Facts
from jobkit.pages.bench.suspects_design import DesignCauses
from jobkit.reckon.suspects.learning import LearnedCause, learned_causes
from jobkit.reckon.suspects.past_causes import PastJob, counts, past_jobs
from jobkit.units.errors import MisuseError


def design_causes(root: Path, name: str, on: str | None, rev: str | None, *, learn: bool) -> DesignCauses:
    """Count the causes of a design by the end of a day; `learn` proposes what they teach into its board file."""
    opened = open_at(root, rev)
    as_of = day(on, opened.bench.settings)
    facts = facts_as_of(facts_told(opened), as_of)
    asked = design_asked(opened.bench, facts, name)
    past = past_jobs(facts, asked)
    known = opened.bench.designs.get(asked)
    causes = counts(past, known)
    if not learn:
        return DesignCauses(asked, as_of, len(past), causes)
    if known is None:
        raise MisuseError(f"{asked} has no board file", f"write boards/{asked}.toml first")
    written, is_new = _learn(root, opened, known, past, facts, as_of)
    rows = [(one.cause, one.key, one.value, _became(one)) for one in written]
    return DesignCauses(asked, as_of, len(past), causes, rows, known.path, is_new)


def _learn(
    root: Path, opened: OpenBook, design: Design, past: tuple[PastJob, ...], facts: list[Facts], on: date
) -> tuple[tuple[Wrote, ...], bool]:
    """Write what the jobs teach; return what became of each key, and whether the file has changed."""
    ids = {job.job for job in past}
    paths = [one.path for one in facts if one.id in ids]
    loaded = load_jobs(opened.shelf, watched(paths, opened.watch, "reading jobs"))
    whole = {one.job.id: job_as_of(one.job, on) for one in loaded if one.job}
    causes = [_to_write(one) for one in learned_causes(past, whole, design, opened.bench)]
    done: list[Wrote] = []
    is_new = False

    def edit(text: str) -> str:
        nonlocal is_new
        new, wrote = write_causes(text, causes, on)
        done[:] = wrote
        is_new = new != text
        return new

    if causes:
        pen_for(root, f"causes of {design.name}", opened.bench.settings).update(design.path, [edit])
    return tuple(done), is_new


def _to_write(one: LearnedCause) -> CauseToWrite:
    return CauseToWrite(one.name, one.part, one.weight, one.affects, len(one.jobs))


def _became(one: Wrote) -> str:
    return "a remark; the value by hand stays" if one.how == "beside" else one.how
