"""What is wrong with a text that is not a limit, and which limits may have been meant: one row a slip."""

import re
from collections.abc import Iterator

from jobkit.named_tuple import NamedTuple
from jobkit.units.grammar import LONGEST, NUMBER, take_apart
from jobkit.units.kinds import KINDS
from jobkit.units.number_slips import TOLERANCE_LETTERS
from jobkit.units.slip import Slip, quoted

_VALUE = r"([^<>=≥≤±/]*[0-9][^<>=≥≤±/]*?)"


class _Row(NamedTuple):
    """A slip's pattern over the whole text, what is said of it, and templates of what was meant."""

    pattern: str
    message: str
    meant: tuple[str, ...]


def _row(pattern: str, message: str, *meant: str) -> _Row:
    return _Row(pattern, message, meant)


_ROWS = (
    _row(r"o\.?l\.?|0\.?l\.?|open", "is not how an open reading is written", "OL"),
    _row(
        r"(?:>(?!=)|=>|≧|⩾|min\.? |minimum |at least |over |above |from ) *(.+)",
        "needs its lower limit written with >=",
        r">= \1",
    ),
    _row(
        r"(?:<(?!=)|=<|≦|⩽|max\.? |maximum |at most |under |below |up to ) *(.+)",
        "needs its upper limit written with <=",
        r"<= \1",
    ),
    _row(r"(.+?) *(?:\.{3,}|…) *(.+)", "needs exactly two points between its ends", r"\1 .. \2"),
    _row(
        r"(.+?[^ ]) *(?:[\u2010-\u2015~]| to ) *([+\-−]?[0-9].*)",
        "has no .. between its ends",
        r"\1 .. \2",
    ),
    _row(
        rf"([+\-−]?[0-9.]+(?: [^ 0-9]+)?) *[-−] *({_VALUE[1:-1]})", "has no .. between its ends", r"\1 .. \2"
    ),
    _row(r"\.\. *(.+)", "has no lower end", r"<= \1"),
    _row(r"(.+?) *\.\.", "has no upper end", r">= \1"),
    _row(
        r"([+\-−]?[0-9.]+) (\S+) *\.\. *([+\-−]?[0-9.]+)", "has no unit at its upper end", r"\1 \2 .. \3 \2"
    ),
    _row(
        r"(.*?) *(?:\+-|-\+|-/\+|\+/[−–]|∓|\+ */ +-|\+ +/-) *(.+)",
        "needs its tolerance written with ± or +/-",
        r"\1 ± \2",
    ),
    _row(r"(?:±|\+/-) *([0-9.]+) ([^ %]+)", "has an empty tolerance", r"−\1 .. \1 \2"),
    _row(
        r"(.+?) (\S+) *(?:±|\+/-) *([0-9.]+)",
        "has a tolerance without a unit",
        r"\1 \2 ± \3 %",
        r"\1 \2 ± \3 \2",
    ),
    _row(r"(.+?) *(?:±|\+/-) *[+\-−] *(.+)", "has a sign after its ±", r"\1 ± \2"),
    _row(
        rf"{_VALUE} *\+ *([0-9.]+ ?[^ 0-9/+]+)",
        "has a tolerance to one side only",
        r"\1 +\2 / −0 %",
        r"\1 ± \2",
    ),
    _row(
        rf"{_VALUE} *[-−] *([0-9.]+ ?[^ 0-9/+]+)",
        "has a tolerance to one side only",
        r"\1 −\2 / +0 %",
        r"\1 ± \2",
    ),
)


def limit_slips(text: str, kind: str | None) -> Iterator[Slip]:
    """List what may be wrong with the shape of a limit, the plainest first; its parts are not looked into."""
    if not text.strip():
        yield Slip("the limit is empty")
    elif len(text) > LONGEST:
        yield Slip(f"{quoted(text)} is too long for a limit")
    elif " ".join(text.split()) != text:
        yield Slip(f"the limit {quoted(text)} has one space too many", (" ".join(text.split()),))
    else:
        yield from _one_value(text, kind)
        yield from _toleranced_code(text, kind)
        yield from _misshapen(text)


def _one_value(text: str, kind: str | None) -> Iterator[Slip]:
    bare = re.fullmatch(NUMBER, text)
    value = f"{text} {KINDS[kind].unit}" if bare and kind is not None else text
    if take_apart(value, kind) is not None:
        yield Slip(
            f"{quoted(text)} is one value, not a limit", (f">= {value}", f"<= {value}", f"{value} ± 5 %")
        )


def _toleranced_code(text: str, kind: str | None) -> Iterator[Slip]:
    """Find a component code with its tolerance letter, as a part's marking gives it."""
    percent = TOLERANCE_LETTERS.get(text[-1])
    code = text[:-1].rstrip()
    if percent is not None and take_apart(code, kind) is not None:
        yield Slip(f"{quoted(text)} writes its tolerance as a letter", (f"{code} ± {percent} %",))


def _misshapen(text: str) -> Iterator[Slip]:
    for row in _ROWS:
        found = re.fullmatch(row.pattern, text, re.IGNORECASE)
        if found is not None:
            yield Slip(
                f"the limit {quoted(text)} {row.message}", tuple(found.expand(one) for one in row.meant)
            )
