"""Why a text is not a quantity, and what to write instead: asked only once a text has been refused."""

from jobkit.named_tuple import NamedTuple
from jobkit.units.grammar import take_apart
from jobkit.units.kinds import KINDS
from jobkit.units.number_slips import NUMBER_SLIPS, part_mark
from jobkit.units.slip import FindSlip, Slip, either, quoted
from jobkit.units.unit_slips import UNIT_SLIPS


class Refusal(NamedTuple):
    """What is wrong with a text, how to fix it, and the sound texts that may have been meant.

    `other_kind` where the text is a quantity of another kind.
    """

    message: str
    mend: str
    meant: tuple[str, ...] = ()
    other_kind: bool = False


def why_no_quantity(text: str, kind: str | None = None) -> Refusal:
    """Say why a text is not a quantity of a kind, and how to fix it; several slips are fixed at once.

    >>> why_no_quantity(".5ohms", "resistance").mend
    'write "0.5 Ω"'
    """
    return _refusal(text, kind, (part_mark, *NUMBER_SLIPS, *UNIT_SLIPS))


def _refusal(text: str, kind: str | None, looks: tuple[FindSlip, ...]) -> Refusal:
    slip = _find(text, kind, looks)
    readable = tuple(one for one in slip.meant if take_apart(one, kind) is not None)
    if readable:
        return Refusal(slip.message, slip.mend or write(readable), readable)
    if slip.meant:  # what is left of it has slips of its own, but is not a mark that was read off a part
        again = _refusal(slip.meant[0], kind, (*NUMBER_SLIPS, *UNIT_SLIPS))
        return again._replace(message=slip.message, other_kind=False)
    return Refusal(slip.message, slip.mend or _example(kind), other_kind=slip.other_kind)


def write(texts: tuple[str, ...]) -> str:
    """Word the offer of texts to write instead.

    >>> write(("1.234 Ω", "1234 Ω"))
    'write "1.234 Ω" or "1234 Ω"'
    """
    return "write " + either(tuple(f'"{text}"' for text in texts))


def _find(text: str, kind: str | None, looks: tuple[FindSlip, ...]) -> Slip:
    for look in looks:
        slip = look(text, kind)
        if slip is not None:
            return slip
    return Slip(f"{quoted(text)} is not a number with a unit")


def _example(kind: str | None) -> str:
    return f'write number, space and unit, such as "23.4 {KINDS[kind].unit if kind else "Ω"}"'
