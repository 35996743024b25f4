"""Where the parts of a board are: the drawing with its marks, a table of what was moved, and the damaged pads."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime

from jobkit.jobs.design import Design
from jobkit.jobs.entries import Pad
from jobkit.jobs.job import Job
from jobkit.named_tuple import NamedTuple
from jobkit.pages.blocks import Block, Drawing, Line, Table, Title, filled
from jobkit.pages.client.ball_drawing import ball_drawing, marks_used, pad_map
from jobkit.pages.client.board_drawing import MARK, memory_map
from jobkit.pages.forms.data import Data
from jobkit.pages.words import listed
from jobkit.reckon.heat.part_states import AGAIN, DONOR, FITTED, NEW, OFF, PartState
from jobkit.reckon.memory.failing_channels import still_failing

_MARKS = {OFF: "-", NEW: "+", AGAIN: "=", DONOR: "d", FITTED: "f"}
_PADS = "!"

_WORDS = {
    OFF: "off the board",
    NEW: "fitted new",
    AGAIN: "fitted again",
    DONOR: "from a donor",
    FITTED: "fitted, from where is not written down",
}


class PartsView(NamedTuple):
    """The states of the parts that were moved, in the job that is shown and in earlier ones of the board."""

    job: Job
    design: Design | None
    states: Mapping[str, PartState]


def part_blocks(view: PartsView) -> Iterator[Block]:
    """Show what is not as it was made; nothing for a board with every part in its place and every pad whole."""
    pads = _pads_by_part(view.job.pads)
    if not view.states and not pads:
        return
    yield from _drawing(view, pads)
    yield Title("Parts that were moved, and damaged pads")
    yield filled(Table(("part", "state", "since", "job", "pads"), list(_rows(view, pads))))
    yield from _balls(view, pads)


def parts_data(view: PartsView) -> list[Data]:
    """Give the parts that were moved, and those with damaged pads, as data."""
    pads = _pads_by_part(view.job.pads)
    return [
        {
            "part": part or None,
            "state": state.word if state else "on",
            "donor": (state.donor if state else "") or None,
            "since": state.at.isoformat() if state and state.at else None,
            "job": (state.job if state else "") or None,
            "pads": [_pad_data(pad) for pad in pads.get(part, ())],
        }
        for part, state in _every(view, pads)
    ]


def _pads_by_part(pads: Sequence[Pad]) -> Mapping[str, list[Pad]]:
    """List the damaged pads by part; of one pad that is told several times the latest entry counts."""
    in_time = sorted(pads, key=lambda pad: pad.at or datetime.min)
    last = {(pad.part or "", (pad.ball or "").upper(), pad.of_package): pad for pad in in_time}
    by_part: dict[str, list[Pad]] = defaultdict(list)
    for (part, _, _), pad in last.items():
        by_part[part].append(pad)
    return by_part


def _every(view: PartsView, pads: Mapping[str, list[Pad]]) -> Iterator[tuple[str, PartState | None]]:
    for part in dict.fromkeys((*view.states, *pads)):
        yield part, view.states.get(part)


def _drawing(view: PartsView, pads: Mapping[str, list[Pad]]) -> Iterator[Block]:
    """Draw the board, where a mark would be in the drawing."""
    if view.design is None:
        return
    marks = {
        part: (_MARKS[state.word] if state else "") + (_PADS if part in pads else "")
        for part, state in _every(view, pads)
    }
    failed = still_failing(view.job.seen) & view.design.channel_names
    drawn = memory_map(view.design, failed, marks)
    legend = listed(*_legend(view, pads, shows_failed=bool(failed)))
    if drawn.lines and legend:
        yield Title("The board, seen from the parts side with the edge connector below")
        yield drawn.drawing
        yield Line(f"{legend}.")


def _legend(view: PartsView, pads: Mapping[str, list[Pad]], *, shows_failed: bool) -> Iterator[str]:
    """Explain the marks that are in the drawing."""
    assert view.design is not None
    drawn = {view.design.processor, *(one.part for one in view.design.memory)}
    words = {state.word for part, state in view.states.items() if part in drawn}
    if shows_failed:
        yield f"{MARK} channel failed when it was tested last"
    yield from (f"{mark} {_WORDS[word]}" for word, mark in _MARKS.items() if word in words)
    if drawn & set(pads):
        yield f"{_PADS} damaged pads"


def _rows(view: PartsView, pads: Mapping[str, list[Pad]]) -> Iterator[tuple[str, ...]]:
    for part, state in _every(view, pads):
        damaged = "; ".join(_pads_words(pads.get(part, ())))
        if state is None:
            yield part or "not named", "", "", "", damaged
            continue
        since = f"{state.at:%Y-%m-%d %H:%M}" if state.at else ""
        yield part, _state_words(state), since, state.job if state.job != view.job.id else "", damaged


def _state_words(state: PartState) -> str:
    if state.donor:
        return listed(_WORDS[AGAIN] if state.word == AGAIN else "", f"from donor {state.donor}")
    if state.word == OFF and not state.job:
        return "missing on arrival"
    return _WORDS[state.word]


def _pads_words(pads: Iterable[Pad]) -> Iterator[str]:
    """Say what is wrong with pads and what was done about it, those of which the same is said together."""
    alike: dict[str, list[str]] = defaultdict(list)
    for pad in pads:
        alike[_pad_words(pad)].append(pad.ball or "a pad")
    yield from (f"{', '.join(balls)} {words}" for words, balls in alike.items())


def _pad_words(pad: Pad) -> str:
    done = {None: "not repaired", "left-open": "left open"}.get(pad.repaired, f"repaired: {pad.repaired}")
    whose = "of the package" if pad.of_package else ""
    damage = (pad.damage or "damaged").replace("-", " ")
    reads = f"reads {pad.reads.text}" if pad.reads else ""
    return listed(damage, whose, done, reads)


def _balls(view: PartsView, pads: Mapping[str, list[Pad]]) -> Iterator[Block]:
    for part, damaged in pads.items():
        array = view.design.array_of(part) if view.design else None
        for of_package in (False, True):
            here = [pad for pad in damaged if pad.of_package == of_package]
            used = marks_used(array, here) if array else ()
            if array and used:
                whose = f"Pads of the package {part}" if of_package else f"Pads under {part}"
                yield Title(f"{whose}, seen from the parts side through the package")
                yield Drawing(
                    ball_drawing(array, here), pad_map(array, here, f"{whose}, seen from the parts side")
                )
                yield Line(f"{listed(*used)}.")


def _pad_data(pad: Pad) -> Data:
    return {
        "ball": pad.ball,
        "side": pad.side or "board",
        "carries": pad.carries,
        "damage": pad.damage,
        "repaired": pad.repaired,
        "reads": pad.reads.text if pad.reads else None,
    }
