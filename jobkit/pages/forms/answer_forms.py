"""The forms an answer can take; one row each."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

from jobkit.pages.blocks import Answer, visible, visible_block
from jobkit.pages.forms.colour import Paint
from jobkit.pages.forms.data import as_csv, as_json
from jobkit.pages.forms.markdown import as_markdown

_Part = TypeVar("_Part")
Draw = Callable[[Answer, int, bool], str]
"""Takes the answer, the width in columns and whether to colour."""


def _made(part: _Part | Callable[[], _Part]) -> _Part:
    return part() if callable(part) else part


def _text(answer: Answer, width: int, colour: bool) -> str:  # noqa: FBT001 - as every row of FORMS
    # What draws tables takes longer to load than all other forms together.
    from jobkit.pages.forms.text import as_text  # noqa: PLC0415

    return as_text(visible(answer.page), width, Paint(on=colour))


FORMS: Mapping[str, Draw] = {
    "text": _text,
    "markdown": lambda answer, _width, _colour: as_markdown(visible(answer.page)),
    "json": lambda answer, _width, _colour: as_json(_made(answer.data)),
    "csv": lambda answer, _width, _colour: as_csv(visible_block(_made(answer.table))) if answer.table else "",
}


def forms_of(answer: Answer) -> tuple[str, ...]:
    """Name the forms an answer has."""
    return (*(form for form in FORMS if form != "csv" or answer.table), *answer.own)


def drawn(answer: Answer, form: str, width: int, colour: bool) -> str:  # noqa: FBT001 - as every row of FORMS
    """Draw an answer in one of its forms."""
    own = answer.own.get(form)
    return own() if own else FORMS[form](answer, width, colour)
