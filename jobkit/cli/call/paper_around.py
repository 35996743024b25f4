"""What an HTML paper for a client has around its words: the photos of the job, and the bench's own head and foot."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial
from posixpath import normpath
from typing import TYPE_CHECKING

from jobkit.book.shelf.errors import AbsentError
from jobkit.book.shelf.opening import Shelf, ShelfError
from jobkit.cli.call.streams import say
from jobkit.jobs.job_folder import attachment_path
from jobkit.pages.language.language import Language
from jobkit.units.errors import MisuseError

HEAD, FOOT, STYLE, LOGO = "papers/head.html", "papers/foot.html", "papers/style.css", "papers/logo.png"
"""What a bench may put around its papers, each left out where there is none."""
LOGO_WIDEST = 400

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


def paper_around(shelf: Shelf, job_path: str, bench: str, day: date, lang: Language) -> Around:
    """Give what is around the paper of a job; a part of the bench's own that cannot be used is told of and left out."""
    from jobkit.pages.forms.html import Around
    from jobkit.pages.forms.own_parts import own_part, own_style

    job = job_path.rpartition("/")[2].removesuffix(".toml")
    values = {
        "bench": bench,
        "job": job,
        "date": lang.day(day),
        "language": lang.tag.partition("-")[0],
        "logo": _logo(shelf, bench),
    }
    return Around(
        head=_part(shelf, HEAD, lambda content: own_part(HEAD, content, values)),
        foot=_part(shelf, FOOT, lambda content: own_part(FOOT, content, values)),
        style=_part(shelf, STYLE, lambda content: own_style(STYLE, content)),
        pictures=photos_of(shelf, job_path),
        language=lang,
    )


def around_in(lang: Language) -> Around:
    """Give what is around an answer that is no paper: its language alone."""
    from jobkit.pages.forms.html import Around

    return Around(language=lang)


def _logo(shelf: Shelf, bench: str) -> str:
    """Give the bench's logo as an element of HTML; "" where it has none."""
    from jobkit.pages.forms.html import picture_element
    from jobkit.pages.forms.picture import picture_of

    return _part(shelf, LOGO, lambda content: picture_element(picture_of(content, LOGO_WIDEST), bench))


def _part(shelf: Shelf, path: str, made: Callable[[bytes], str]) -> str:
    """Make something of a file in papers/; "" where there is none or it cannot be used."""
    try:
        return made(shelf.read(path))
    except AbsentError:
        return ""
    except MisuseError as trouble:
        say(f"jobkit: {trouble.message}; {trouble.mend}; the paper goes without it")
        return ""
