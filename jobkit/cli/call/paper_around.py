"""What an HTML paper for a client has around its words: the photos of the job, and the bench's own head and foot."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from functools import partial
from posixpath import normpath
from typing import TYPE_CHECKING, TypeVar

from jobkit.book.shelf.errors import AbsentError
from jobkit.book.shelf.opening import Shelf, ShelfError
from jobkit.cli.call.streams import say
from jobkit.jobs.job_folder import attachment_path
from jobkit.pages.language.language import Language
from jobkit.units.errors import MisuseError

HEAD, FOOT, STYLE, LOGO = "papers/head.html", "papers/foot.html", "papers/style.css", "papers/logo.png"
"""What a bench may put around its papers, each left out where there is none."""
LOGO_WIDEST = 400
_IN_OUR_WAY = "this part is drawn as without it"
_Part = TypeVar("_Part")

if TYPE_CHECKING:
    from jobkit.pages.forms.html import Around, OwnSection
    from jobkit.pages.forms.picture import Picture


def photos_of(
    shelf: Shelf, job_path: str, make: Callable[[bytes], Picture] | None = None
) -> Callable[[str], Picture | str]:
    """Give what reads the photos of a job: each as a picture, or in words why it is not shown.

    `make` makes a picture of a content; without it, the picture is inside the page.
    """
    return partial(_photo, shelf, job_path, make)


def _photo(shelf: Shelf, job_path: str, make: Callable[[bytes], Picture] | None, name: str) -> Picture | str:
    from jobkit.pages.forms.picture import picture_of

    folder = job_path.removesuffix(".toml")
    path = normpath(attachment_path(job_path, name))
    if not path.startswith(f"{folder}/"):
        return f"{name} is not shown: it is outside the folder of the job; copy it into {folder}/"
    try:
        return (make or picture_of)(shelf.read(path))
    except (ShelfError, MisuseError) as trouble:
        return f"{name} is not shown: {trouble.message}; {trouble.mend}"


def paper_around(shelf: Shelf, job_path: str, bench: str, day: date, lang: Language) -> Around:
    """Give what is around the paper of a job; a part of the bench's own that cannot be used is told of and left out."""
    from jobkit.pages.forms.html import Around
    from jobkit.pages.forms.own_parts import own_style

    job = job_path.rpartition("/")[2].removesuffix(".toml")
    values = {
        "bench": bench,
        "job": job,
        "date": lang.day(day),
        "language": lang.tag.partition("-")[0],
        "logo": _logo(shelf, bench),
    }
    _name_unknown(shelf)
    return Around(
        head=_drawn(shelf, HEAD, values),
        foot=_drawn(shelf, FOOT, values),
        style=_part(shelf, STYLE, lambda content: own_style(STYLE, content)) or "",
        sections=partial(_section, shelf, values),
        pictures=photos_of(shelf, job_path),
        language=lang,
    )


def _drawn(shelf: Shelf, path: str, values: Mapping[str, str]) -> str:
    from jobkit.pages.forms.own_parts import OwnPart

    return _part(shelf, path, lambda content: OwnPart(path, content, tuple(values)).drawn(values)) or ""


def _section(shelf: Shelf, values: Mapping[str, str], name: str) -> OwnSection | None:
    """Give what draws a section as the bench does; None where it has no template for that, or one that is broken."""
    from jobkit.pages.client.sections import ALWAYS_WHOLE, EVERY
    from jobkit.pages.forms.own_parts import OwnPart

    if name not in EVERY:
        return None
    path = f"papers/{name}.html"
    needed = "content" if name in ALWAYS_WHOLE else ""
    part = _part(
        shelf,
        path,
        lambda content: OwnPart(path, content, (*values, "title", "content"), needed),
        _IN_OUR_WAY,
    )
    return (
        (lambda title, content: part.drawn({**values, "title": title, "content": content})) if part else None
    )


def _name_unknown(shelf: Shelf) -> None:
    """Say which files in papers/ are not a part of any paper, so that a slip in a name is seen."""
    from jobkit.book.shelf.opening import Tree
    from jobkit.pages.client.sections import EVERY

    known = {HEAD, FOOT, STYLE, LOGO, *(f"papers/{name}.html" for name in EVERY)}
    for path in shelf.attachments("papers") if isinstance(shelf, Tree) else ():
        if path not in known and not path.endswith(".po"):
            names = ", ".join(sorted({"head", "foot", *EVERY}))
            say(
                f"jobkit: {path} is not a part of a paper; parts are {names} (each .html), style.css and logo.png"
            )


def around_in(lang: Language) -> Around:
    """Give what is around an answer that is no paper: its language alone."""
    from jobkit.pages.forms.html import Around

    return Around(language=lang)


def _logo(shelf: Shelf, bench: str) -> str:
    """Give the bench's logo as an element of HTML; "" where it has none."""
    from jobkit.pages.forms.html import picture_element
    from jobkit.pages.forms.picture import picture_of

    return _part(shelf, LOGO, lambda content: picture_element(picture_of(content, LOGO_WIDEST), bench)) or ""


def _part(
    shelf: Shelf, path: str, made: Callable[[bytes], _Part], otherwise: str = "the paper goes without it"
) -> _Part | None:
    """Make something of a file in papers/; None where there is none or it cannot be used."""
    try:
        return made(shelf.read(path))
    except AbsentError:
        return None
    except MisuseError as trouble:
        say(f"jobkit: {trouble.message}; {trouble.mend}; {otherwise}")
        return None
