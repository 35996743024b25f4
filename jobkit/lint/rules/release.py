"""The release of a board: what must be proved, saved and promised before it leaves."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.finding import Place
from jobkit.jobs.job import Job
from jobkit.lint.registry import Found, rule
from jobkit.reckon.money.terms import agreed_day
from jobkit.reckon.progress.release import release_steps
from jobkit.reckon.progress.trials import last_trials


@rule("warning")
def proof_missing(job: Job, bench: Bench) -> Iterator[Found]:
    """A board is finished or sent, and a proof is missing.

    What it finds: on a finished board that is to be used again, each step of the bench's proof policy for its kind and
    outcome that is not done, or was done only before the last soldering. An error once the board has been sent or
    collected, a warning before.

    Why it matters: what was not tested fails at the client.

    How to fix: do the step and record it; for a board that has left, add a waiver with the reason.

    Example: `sent` on a graphics card with no [[trial]] of the load run that the policy asks for.
    """
    place = _left(job) or (("dates", "finished") if job.dates.finished else None)
    if place is None or not _to_be_used(job):
        return
    for step in release_steps(job, bench):
        if step.done or step.lacks == "outside its limit" or job.is_broken(step.shown_by):
            continue
        if _left(job) and step.lacks.startswith("last result"):
            continue  # trial-failed-sent says it at the trial
        message = f"{step.name}: {step.lacks}, but the board is {_stand(job)}"
        yield Found(place, step.name, message, "do it and record it", "error" if _left(job) else None)


@rule("error")
def trial_failed_sent(job: Job, _bench: Bench) -> Iterator[Found]:
    """A board was sent though its last trial failed.

    What it finds: on a board that was sent or collected to be used again, a run whose last trial did not pass: it
    failed, or was stopped too early.

    Why it matters: the client will run into it again.

    How to fix: find out why and run it again; if it fails for a reason outside the board, add a waiver with the reason.

    Example: `run = "load run"`, `result = "fail"` on the day before `sent`, and none after it.
    """
    if not _left(job) or not _to_be_used(job):
        return
    for run, trial in last_trials(job.trials).items():
        if trial.result in {"fail", "stopped"}:
            was = "failed" if trial.result == "fail" else "was stopped"
            message = f'the last trial "{run}" {was}, and the board is {_stand(job)}'
            yield Found((*trial.path, "result"), run, message, "find out why and run it again")


@rule("warning")
def sent_incomplete(job: Job, _bench: Bench) -> Iterator[Found]:
    """A board was sent, and parts of it are still stored separately.

    What it finds: a board that was sent or collected, with `kept_back` under [board].

    Why it matters: the bracket is in your drawer, and the board is at the client's.

    How to fix: put the parts into the parcel before you close it, and empty the list: `jobkit jot board kept_back
    none`; send on what stayed behind.

    Example: `kept_back = ["bracket", "8 screws"]` in a job with `sent`.
    """
    if _left(job) and job.board.kept_back:
        message = f"the board is {_stand(job)}, and stored separately: {', '.join(job.board.kept_back)}"
        mend = "put them into the parcel, then `jobkit jot board kept_back none`; or send them on"
        yield Found(("board", "kept_back"), "kept_back", message, mend)


@rule("warning")
def outcome_missing(job: Job, _bench: Bench) -> Iterator[Found]:
    """A job is finished and has no outcome.

    What it finds: a job that is finished, sent or collected, without `outcome`.

    Why it matters: the proof policy, the warranty, comebacks and usual readings all depend on the outcome.

    How to fix: add `outcome`: repaired, no-fault-found, beyond-repair or declined.

    Example: `finished = 2026-10-23` in a job without `outcome`.
    """
    if job.outcome is None and (job.dates.finished or _left(job)):
        message = f"the board is {_stand(job)}, and the outcome is missing"
        mend = "add outcome: repaired, no-fault-found, beyond-repair or declined"
        yield Found(("outcome",), "outcome", message, mend)


@rule("warning")
def warranty_missing(job: Job, bench: Bench) -> Iterator[Found]:
    """A repair has no warranty, and the job does not say that this is intended.

    What it finds: a finished repair for which neither the job nor bench.toml has the duration of the warranty. A
    comeback under a warranty that continues needs no duration.

    Why it matters: the client asks in a year what was promised. (Local law may give more in any case.)

    How to fix: add `duration` under [warranty], in bench.toml for every job; `duration = "P0D"` for a repair without
    warranty.

    Example: a repaired board with `sent`, and no [warranty] in the job or in bench.toml.
    """
    if job.outcome != "repaired" or not (job.dates.finished or _left(job)) or job.board.known_good:
        return
    facts = facts_of(job)
    habit = bench.settings.warranty_on(agreed_day(facts, facts.last_done))
    continues = job.comeback is not None and habit.comeback == "continues"
    if job.warranty.duration is None and habit.duration is None and not continues:
        message = "nothing says how long the warranty on this repair is"
        mend = 'add duration under [warranty], such as duration = "P6M", here or in bench.toml'
        yield Found(("warranty", "duration"), "duration", message, mend)


@rule("warning")
def firmware_unsaved(job: Job, _bench: Bench) -> Iterator[Found]:
    """Firmware was replaced, and no copy of the old version was kept.

    What it finds: [firmware] with another version `left` on the board than `came` with it, and no `saved`.

    Why it matters: some settings and numbers are only in the firmware of this one board, not in a file from its maker.

    How to fix: read the firmware out before writing, keep the copy with the job and name it in `saved`. If it could not
    be read, add a waiver with the reason.

    Example: `came = "1.05"`, `left = "1.07"` and no `saved`.
    """
    firmware = job.firmware
    if firmware and firmware.left and firmware.left != firmware.came and firmware.saved is None:
        came = f"firmware {firmware.came}" if firmware.came else "the firmware it came with"
        message = f"{came} was replaced by {firmware.left}, and no copy was saved"
        yield Found(("firmware", "saved"), "saved", message, "name the copy in saved, as read before writing")


def _left(job: Job) -> Place | None:
    """Name the date with which the board left, if it has."""
    if job.dates.sent:
        return ("dates", "sent")
    return ("dates", "collected") if job.dates.collected else None


def _to_be_used(job: Job) -> bool:
    """Tell whether a board goes back to be used as a working board."""
    ends = job.outcome in {"beyond-repair", "declined"} or (job.dates.declined and not job.outcome)
    return not ends and not job.board.known_good and not (job.fate and job.fate.what != "returned")


def _stand(job: Job) -> str:
    return "sent" if job.dates.sent else "collected" if job.dates.collected else "finished"
