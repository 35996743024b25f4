"""A first board file of a design, from options and questions."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from jobkit.book.disk.errors import TakenError
from jobkit.book.schema.gate import check
from jobkit.book.setup.new_design import Skeleton, board_text, memory_layout, packages
from jobkit.book.toml.parse import parse_text
from jobkit.cli.bench.asking import ask, at_terminal
from jobkit.cli.bench.noting import pen_for
from jobkit.cli.call.streams import say
from jobkit.jobs.bench import Bench
from jobkit.named_tuple import NamedTuple
from jobkit.pages.words import counted
from jobkit.units.errors import MisuseError

_Read = TypeVar("_Read")

NO_MEMORY = "0"


class DesignTold(NamedTuple):
    """What was said of a new design; None where nothing was."""

    kind: str | None = None
    processor: str | None = None
    memory: str | None = None
    first: str | None = None
    channels: int = 2


def asked_until(what: str, habit: str, read: Callable[[str], _Read]) -> _Read:
    """Ask at a terminal until the answer can be read; Enter accepts the habit, which is read where no one types."""
    while at_terminal():
        typed = ask(f"{what} (Enter for {habit or 'none'}): ")
        if typed is None:
            raise KeyboardInterrupt
        try:
            return read(typed or habit)
        except MisuseError as misuse:
            say(f"jobkit: {misuse}")
    return read(habit)


def design_name(text: str) -> str:
    """Take the name of a new design, in small letters; raises MisuseError for what cannot be a name of one."""
    name = text.strip().lower().replace(" ", "-")
    troubles = check("board", {"format": 1, "design": name})
    if troubles:
        raise MisuseError(troubles[0].message, troubles[0].mend)
    return name


def make_design(root: Path, bench: Bench, name: str, told: DesignTold) -> str:
    """Write the board file of a new design, and say what is in it; raises MisuseError, DiskError."""
    path = f"boards/{name}.toml"
    if name in bench.designs:
        raise MisuseError(f"{path} is there already", "name another design, or edit that file")
    skeleton = _skeleton(name, bench, told)
    text = board_text(skeleton)
    written = parse_text(text)
    troubles = check("board", written)
    if troubles:
        raise MisuseError(troubles[0].message, troubles[0].mend)
    try:
        pen_for(root, f"board file of {name}", bench.settings).create(path, text)
    except TakenError:
        raise MisuseError(f"{path} is there already", "name another design, or edit that file") from None
    points = counted(len(written["point"]), "point")
    return f"{path}: {points}, {counted(len(packages(skeleton)), 'memory package')}"


def _skeleton(name: str, bench: Bench, told: DesignTold) -> Skeleton:
    kind = told.kind if told.kind is not None else asked_until("kind of board", _usual_kind(bench), str)
    processor = told.processor
    if processor is None:
        processor = asked_until("processor, such as U10", "", str.upper)
    memory = asked_layout(told.memory)
    first = told.first or (asked_until("first memory package", "U1", _part) if sum(memory) else "U1")
    proof = bench.settings.proof_for(kind, None)
    return Skeleton(name, kind, processor.upper(), memory, first, told.channels, proof)


def asked_layout(told: str | None) -> tuple[int, int, int, int]:
    """Read how many memory packages lie where, as told, else as asked."""
    if told is not None:
        return memory_layout(told)
    what = "memory packages, as in 8, or left,top,right,bottom: 2,2,2,2"
    return asked_until(what, NO_MEMORY, memory_layout)


def _part(text: str) -> str:
    packages(Skeleton("any", memory=(1, 0, 0, 0), first=text))
    return text


def _usual_kind(bench: Bench) -> str:
    """Give the kind of the boards that are known, the first that the bench has a proof policy for otherwise."""
    kinds = [design.kind for design in bench.designs.values() if design.kind]
    return next(iter((*kinds[-1:], *bench.settings.proof)), "graphics card")
