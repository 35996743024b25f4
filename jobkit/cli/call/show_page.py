"""Show an answer in the form asked for."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from jobkit.cli.call.choices import format_named
from jobkit.cli.call.output import deliver
from jobkit.cli.call.streams import colourful, width
from jobkit.pages.blocks import Answer
from jobkit.pages.forms.answer_forms import drawn, forms_of

if TYPE_CHECKING:
    from jobkit.pages.forms.html import Around


def show_page(
    answer: Answer, form: str, output: str | None, color: str, around: Callable[[], Around] | None = None
) -> None:
    """Draw an answer and deliver it; raises MisuseError for a form it does not have.

    `around` makes what an HTML page has around the answer, such as photos and the bench's own head.
    """
    form = format_named(form, forms_of(answer))
    colour = colourful(color)
    deliver(drawn(answer, form, width(), output is None and colour, around), output, form)
