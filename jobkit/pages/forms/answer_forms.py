"""The forms an answer can take; one row each."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, TypeVar

from jobkit.pages.blocks import Answer, visible, visible_block, visible_in_browser
from jobkit.pages.forms.colour import Paint
from jobkit.pages.forms.data import as_csv, as_json
from jobkit.pages.forms.markdown import as_markdown

if TYPE_CHECKING:
    from jobkit.pages.forms.html import Around

_Part = TypeVar("_Part")
Draw = Callable[[Answer, int, bool], str]
"""Takes the answer, the width in columns and whether to colour."""


def _made(part: _Part | Callable[[], _Part]) -> _Part:
    return part() if callable(part) else part


def _text(answer: Answer, width: int, colour: bool) -> str:  # noqa: FBT001 - as every row of FORMS
    # What draws tables takes longer to load than all other forms together.
    from jobkit.pages.forms.text import as_text  # noqa: PLC0415

    return as_text(visible(answer.page), width, Paint(on=colour))


def _html(answer: Answer, _width: int = 0, _colour: bool = False, around: Around | None = None) -> str:  # noqa: FBT001, FBT002 - as every row of FORMS
    # The template engine takes longer to load than most answers to calculate.
    from jobkit.pages.forms.html import Around, as_html  # noqa: PLC0415

    return as_html(visible_in_browser(answer.page), around or Around())


FORMS: Mapping[str, Draw] = {
    "text": _text,
    "markdown": lambda answer, _width, _colour: as_markdown(visible(answer.page)),
    "html": _html,
    "json": lambda answer, _width, _colour: as_json(_made(answer.data)),
    "csv": lambda answer, _width, _colour: as_csv(visible_block(_made(answer.table))) if answer.table else "",
}


def forms_of(answer: Answer) -> tuple[str, ...]:
    """Name the forms an answer has."""
    return (*(form for form in FORMS if form != "csv" or answer.table), *answer.own)


def drawn(
    answer: Answer,
    form: str,
    width: int,
    colour: bool,  # noqa: FBT001 - as every row of FORMS
    around: Callable[[], Around] | None = None,
) -> str:
    """Draw an answer in one of its forms; `around` makes what an HTML page has around the answer."""
    own = answer.own.get(form)
    if own:
        return own()
    return _html(answer, around=around()) if around and form == "html" else FORMS[form](answer, width, colour)
