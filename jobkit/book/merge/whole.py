"""Merge whole texts: by blocks where all three fit them, by lines where not, and both kept whole where neither does."""

from typing import TypeVar

from jobkit.book.git.call import GitError
from jobkit.book.git.linemerge import Labels, merge_lines
from jobkit.book.merge.blocks import Lines, blocks_of
from jobkit.book.merge.markers import whole_conflict
from jobkit.book.merge.three import merge_blocks
from jobkit.book.toml.parse import BOM, parse_text
from jobkit.named_tuple import NamedTuple

Part = TypeVar("Part", bool, int, str)

_BLANK = f"{BOM} \t\r\n"


class Merged(NamedTuple):
    """A merged text, and whether it holds no conflict."""

    text: str
    clean: bool


def merge(base: str | None, ours: str, theirs: str, labels: Labels = Labels()) -> Merged:  # noqa: B008 - immutable
    """Merge two texts that grew from `base`; None where each side made the file again.

    Blocks are merged where all three fit them, lines (by git) where not. What is clean is TOML if the three
    were.
    """
    if theirs in (ours, base):
        return Merged(ours, clean=True)
    if base == ours:
        return Merged(theirs, clean=True)
    whole = Merged(whole_conflict(ours, theirs, labels), clean=False)
    if (
        base is None or not ours.strip(_BLANK) or not theirs.strip(_BLANK)
    ):  # to empty a file changes all of it
        return whole
    merged = _by_blocks(base, ours, theirs, labels) or _by_lines(base, ours, theirs, labels) or whole
    broken = merged.clean and not _is_toml(merged.text)
    return whole if broken and all(map(_is_toml, (base, ours, theirs))) else merged


class _Form(NamedTuple):
    """How a text is written, apart from its lines."""

    mark: bool
    newline: str
    ended: bool
    blank: int


def _taken_apart(text: str) -> tuple[_Form, str]:
    """Return the form of a text, and its lines with plain ends, none blank at the end."""
    newline = "\r\n" if text.count("\r\n") * 2 > text.count("\n") else "\n"
    plain = text.removeprefix(BOM).replace("\r\n", "\n")
    lines = plain.rstrip("\n")
    blank = max(0, len(plain) - len(lines) - 1)
    return _Form(text.startswith(BOM), newline, plain.endswith("\n"), blank), lines + "\n" if lines else ""


def _by_blocks(base: str, ours: str, theirs: str, labels: Labels) -> Merged | None:
    (base_form, base), (our_form, ours), (their_form, theirs) = map(_taken_apart, (base, ours, theirs))
    base_block, our_block, their_block = map(blocks_of, (base, ours, theirs))
    if base_block is None or our_block is None or their_block is None:
        return None
    lines, clean = merge_blocks(base_block, our_block, their_block, labels)
    return Merged(_put_together(lines, _common(base_form, our_form, their_form), clean=clean), clean)


def _common(base: _Form, ours: _Form, theirs: _Form) -> _Form:
    return _Form(
        _agreed(base.mark, ours.mark, theirs.mark),
        _agreed(base.newline, ours.newline, theirs.newline),
        _agreed(base.ended, ours.ended, theirs.ended),
        _agreed(base.blank, ours.blank, theirs.blank),
    )


def _agreed(base: Part, ours: Part, theirs: Part) -> Part:
    """Return what one side changed; where both did, the greater."""
    if ours == base:
        return theirs
    return ours if theirs == base else max(ours, theirs)


def _put_together(lines: Lines, form: _Form, *, clean: bool) -> str:
    """Return the text of merged lines; markers always end their line."""
    ending = "\n" * (1 + form.blank) if lines and (form.ended or not clean) else ""
    text = "\n".join(lines) + ending
    return BOM * form.mark + text.replace("\n", form.newline)


def _by_lines(base: str, ours: str, theirs: str, labels: Labels) -> Merged | None:
    """Let git merge the lines; None where it cannot."""
    try:
        merged, conflicts = merge_lines(encoded(base), encoded(ours), encoded(theirs), labels)
    except GitError:
        return None
    return Merged(decoded(merged), clean=not conflicts)


def _is_toml(text: str) -> bool:
    try:
        parse_text(text)
    except ValueError:  # TomlError, or bytes that are no UTF-8
        return False
    return True


def encoded(text: str) -> bytes:
    """Write a text as the bytes it was read from, be they UTF-8 or not."""
    return text.encode(errors="surrogateescape")


def decoded(content: bytes) -> str:
    """Read any bytes as a text."""
    return content.decode(errors="surrogateescape")
