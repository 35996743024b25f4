"""Rules about who is who: ids, files, designs, earlier jobs."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePosixPath

from jobkit.jobs.bench import Bench
from jobkit.jobs.job import Job
from jobkit.lint.registry import Found, rule


@rule("error")
def id_mismatch(job: Job, _bench: Bench) -> Iterator[Found]:
    """Find a job whose id is not the name of its file.

    What it finds: `id` differs from the file name without `.toml`.

    Why it matters: jobs are found by file name and named by id; two names for one job lose one of them.

    How to mend: rename the file, or correct `id`.

    Example: `id = "K26-0012"` in jobs/2026/K26-0021.toml.
    """
    stem = PurePosixPath(job.path).stem
    if job.id != stem and not job.is_broken("id"):
        yield Found(
            ("id",),
            job.id,
            f'id is "{job.id}" but the file is named {stem}',
            f'write id = "{stem}" or rename the file',
        )
