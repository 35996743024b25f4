"""What an HTML paper for a client has around its words: the photos of the job, and the bench's own head and foot."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from posixpath import normpath
from typing import TYPE_CHECKING

from jobkit.book.shelf.opening import Shelf, ShelfError
from jobkit.jobs.job_folder import attachment_path
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.pages.forms.html import Around
    from jobkit.pages.forms.picture import Picture


def photos_of(shelf: Shelf, job_path: str) -> Callable[[str], Picture | str]:
    """Give what reads the photos of a job: each as a picture, or in words why it is not shown."""
    return partial(_photo, shelf, job_path)


def _photo(shelf: Shelf, job_path: str, name: str) -> Picture | str:
    from jobkit.pages.forms.picture import picture_of

    path = normpath(attachment_path(job_path, name))
    try:
        return picture_of(shelf.read(path))
    except (ShelfError, MisuseError) as trouble:
        return f"{name} is not shown: {trouble.message}; {trouble.mend}"


def paper_around(shelf: Shelf, job_path: str) -> Around:
    """Give what is around the paper of a job."""
    from jobkit.pages.forms.html import Around

    return Around(pictures=photos_of(shelf, job_path))
