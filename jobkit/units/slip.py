"""A slip of the pen: what is wrong with a text, and what its writer will have meant."""

from collections.abc import Callable, Collection, Iterable

from jobkit.named_tuple import NamedTuple


class Slip(NamedTuple):
    """What is wrong, the texts that may have been meant, and words for the way to fix it where these say more.

    `other_kind` where the text is a sound quantity, but of another kind than is measured here.
    """

    message: str
    meant: tuple[str, ...] = ()
    mend: str = ""
    other_kind: bool = False


FindSlip = Callable[[str, str | None], Slip | None]
"""Looks for one slip in a text of a kind; None where it is not there. An offered text is free of that slip."""


def quoted(text: str) -> str:
    """Quote a text for a message: on one line, and cut to a length that can be read."""
    line = "".join(letter if letter.isprintable() else " " for letter in text)
    return f'"{line}"' if len(line) <= 40 else f'"{line[:37]}..."'


def either(words: tuple[str, ...]) -> str:
    """List words as a choice.

    >>> either(("Hz", "kHz", "MHz"))
    'Hz, kHz or MHz'
    """
    return " or ".join(part for part in (", ".join(words[:-1]), words[-1]) if part)


def either_quoted(words: Collection[str]) -> str:
    """List names as a choice, each in quotation marks.

    >>> either_quoted(["2H", "2L"])
    '"2H" or "2L"'
    """
    return either(tuple(f'"{word}"' for word in words))


def nearest(word: str, known: tuple[str, ...]) -> str | None:
    """Find the known word that takes the fewest single-letter changes, at most one for each two letters.

    >>> nearest("omh", ("ohm", "V", "degC"))
    'ohm'
    """
    return next(iter(all_nearest(word, known)), None)


def all_nearest(word: str, known: Iterable[str]) -> list[str]:
    """Find all known words that take as few single-letter changes, at most one for each two letters.

    >>> all_nearest("dmm-3", ("dmm-1", "dmm-2", "lcr-1"))
    ['dmm-1', 'dmm-2']
    """
    distances = sorted((_changes(word, other), other) for other in known)
    return [
        other
        for distance, other in distances
        if distance == distances[0][0] and 2 * distance <= max(len(word), len(other))
    ]


def _changes(left: str, right: str) -> int:
    """Count the letters to insert, delete, replace or swap with a neighbour.

    Recurrence of Wagner and Fischer, J. ACM 21 (1974) 168, with the swap of two neighbours as one change.
    """
    rows = [list(range(len(right) + 1))]
    for i, letter in enumerate(left, 1):
        row = [i]
        for j, other in enumerate(right, 1):
            steps = min(rows[-1][j] + 1, row[-1] + 1, rows[-1][j - 1] + (letter != other))
            if i > 1 and j > 1 and (left[i - 2], letter) == (other, right[j - 2]):
                steps = min(steps, rows[-2][j - 2] + 1)
            row.append(steps)
        rows.append(row)
    return rows[-1][-1]
