"""Which causes the boards of a design had, and what was learned from them into its board file."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from jobkit.named_tuple import NamedTuple
from jobkit.pages.blocks import Answer, Block, Line, Table, Title, filled
from jobkit.pages.forms.data import Data
from jobkit.pages.words import counted, share
from jobkit.reckon.suspects.past_causes import CauseCount


class DesignCauses(NamedTuple):
    """The causes of the finished jobs of a design, as of a day; what was written of them into its board file, if asked.

    A row of `written` has the cause, the key, the value and what became of it; `is_changed` says whether the file is
    another one now.
    """

    design: str
    on: date
    jobs: int
    causes: Sequence[CauseCount]
    written: Sequence[tuple[str, str, str, str]] | None = None
    path: str = ""
    is_changed: bool = True


def design_causes_page(seen: DesignCauses) -> Answer:
    """Show the causes of a design, the most frequent first."""
    return Answer(list(_blocks(seen)), _data(seen), _table(seen))


def _blocks(seen: DesignCauses) -> Iterator[Block]:
    yield Title(f"Causes of {seen.design}, as of {seen.on}", 1)
    yield Line(f"From {counted(seen.jobs, 'finished job')} whose cause was found: repaired or beyond repair.")
    if seen.causes:
        yield filled(_table(seen))
        yield Line("The interval holds the true share with 95 % confidence (Wilson's score interval).")
    if seen.written is not None:
        yield Title(f"Proposed into {seen.path}")
        yield (
            Table(("cause", "key", "value", "result"), seen.written) if seen.written else Line("Nothing new.")
        )
        if seen.is_changed:
            yield Line("Read the difference before you commit; `jobkit undo` undoes it.")
        else:
            yield Line(
                f"{seen.path} has all of this already, so nothing was written and there is nothing to undo."
            )


def _table(seen: DesignCauses) -> Table:
    rows = [
        (
            one.cause,
            str(len(one.jobs)),
            share(one.share),
            f"{100 * one.interval.low:.0f} .. {100 * one.interval.high:.0f} %",
            ", ".join(one.jobs),
        )
        for one in seen.causes
    ]
    return Table(("cause", "boards", "share", "interval", "jobs"), rows, right=("boards", "share"))


def _data(seen: DesignCauses) -> Data:
    return {
        "design": seen.design,
        "on": str(seen.on),
        "jobs": seen.jobs,
        "causes": [
            {
                "cause": one.cause,
                "boards": len(one.jobs),
                "share": one.share,
                "interval": one.interval._asdict(),
                "jobs": list(one.jobs),
            }
            for one in seen.causes
        ],
    }
