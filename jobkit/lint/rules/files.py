"""Files: those that a job names, those that git should not hold, and the book's copies of the schemas."""

from __future__ import annotations

import re
from collections.abc import Iterator
from posixpath import normpath

from jobkit.book.shelf.file_kinds import MOST_FOLDERS
from jobkit.jobs.attachments import attachments
from jobkit.jobs.bench import Bench
from jobkit.jobs.job import Job
from jobkit.jobs.job_folder import attachment_path
from jobkit.lint.protocols import JobSummary
from jobkit.lint.registry import Found, FoundIn, live_rule, own_rule, rule

_DRIVE = re.compile(r"[A-Za-z]:")


@rule("error")
def file_outside(job: Job, _bench: Bench) -> Iterator[Found]:
    """A job names a file outside its own folder.

    What it finds: an attachment (`log`, `heat`, `saved`, `photos`) that is an absolute path, or one with `..` in it.

    Why it matters: other clones of the book lack that file, and jobkit does not read outside the book.

    How to fix: copy the file into jobs/<year>/<id>/ and use its name relative to that folder.

    Example: `log = "/home/ida/load.csv"`.
    """
    for place, name in attachments(job):
        if _is_outside(name):
            message = f"{name} is not in the job's own folder"
            mend = f"copy it into {job.path.removesuffix('.toml')}/ and use its name relative to that folder"
            yield Found(place, name, message, mend)


def _is_outside(name: str) -> bool:
    plain = name.replace("\\", "/")
    return plain.startswith("/") or ".." in plain.split("/") or _DRIVE.match(plain) is not None


def _names_absent(facts: JobSummary, bench: Bench) -> bool:
    return any(attachment_path(facts.path, name) not in bench.paths for name in facts.attachments)


@live_rule("error", _names_absent)
def file_missing(job: Job, bench: Bench) -> Iterator[Found]:
    """A job names a file that is not there.

    What it finds: an attachment that is not in the job's own folder jobs/<year>/<id>/, written exactly so, capital
    letters too. Folders nested more than forty deep are not read.

    Why it matters: the log or the photo is the evidence for what the job says.

    How to fix: put the file there, or correct its name.

    Example: `log = "load.csv"` where the folder holds Load.csv.
    """
    for place, name in attachments(job):
        path = normpath(attachment_path(job.path, name))
        if not _is_outside(name) and path not in bench.paths and path not in bench.repository.untracked:
            deep = " above the depth that is looked at" if path.count("/") > MOST_FOLDERS else ""
            yield Found(place, name, f"there is no file {path}{deep}", "put it there, or correct the name")


def _names_untracked(facts: JobSummary, bench: Bench) -> bool:
    untracked = bench.repository.untracked
    return bool(untracked) and any(
        attachment_path(facts.path, name) in untracked for name in facts.attachments
    )


@live_rule("warning", _names_untracked)
def file_untracked(job: Job, bench: Bench) -> Iterator[Found]:
    """A job in git names a file that is not in git.

    What it finds: an attachment in the job's folder that is not in git, or is ignored, though the job is in git. An
    error in `lint --staged`: the commit would name a file that other clones do not get.

    Why it matters: the file is on this disk only; a clone of the book lacks it.

    How to fix: `git add` the file (`git add --force` if a rule in .gitignore matches its name).

    Example: a job just committed with `log = "load.csv"`, and load.csv never added.
    """
    for place, name in attachments(job):
        path = normpath(attachment_path(job.path, name))
        if path in bench.repository.untracked and job.path not in bench.repository.untracked:
            level = None if path in bench.paths else "error"
            yield Found(place, name, f"{path} is not in git", f"run `git add {path}`", level)


@own_rule("error")
def private_tracked(bench: Bench) -> Iterator[FoundIn]:
    """A file of private/, or a copy of clients.toml, is in git or staged.

    What it finds: a file below private/ (in any case) or a copy of clients.toml elsewhere that git holds, or that
    `git add` would take because nothing ignores it.

    Why it matters: private/ holds names and addresses. What was committed once stays in the history and in every clone.

    How to fix: write `private/` into .gitignore and run `git rm --cached` on the file. If it was pushed, treat its
    content as known to others.

    Example: private/clients.toml, added with `git add --all` in a book without .gitignore.
    """
    for path in bench.repository.private:
        ignored = "private/" if path.startswith("private/") else path
        mend = f"write {ignored} into .gitignore, then run `git rm --cached --ignore-unmatch {path}`"
        yield FoundIn(path, Found((), path, f"{path} is in git or staged", mend))


@own_rule("note")
def schema_old(bench: Bench) -> Iterator[FoundIn]:
    """A schema in the book is not the schema of this jobkit version.

    What it finds: a file in schema/ that differs from jobkit's own schema of that name.

    Why it matters: your editor follows that copy, not what lint checks.

    How to fix: `jobkit upgrade` renews the copies. If the book's copy is the newer one, upgrade jobkit.

    Example: schema/job.schema.json from the jobkit of last year.
    """
    for path in bench.repository.old_schemas:
        message = f"{path} is not the schema of this jobkit version"
        yield FoundIn(path, Found((), path, message, "run `jobkit upgrade`"))
