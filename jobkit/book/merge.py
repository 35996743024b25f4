"""The merge driver for the files of a book: `python -m jobkit.book.merge BASE OURS THEIRS SIZE PATH`.

Git calls it for each file that both sides changed (gitattributes(5), "Defining a custom merge driver"), and
keeps what it has written to OURS.
"""

import shlex
import sys
from pathlib import Path
from typing import NamedTuple, TypeVar

from jobkit.book.git.call import GitError
from jobkit.book.git.linemerge import Labels, merge_lines
from jobkit.book.merge_blocks import Lines, blocks_of
from jobkit.book.merge_markers import whole_conflict
from jobkit.book.merge_three import merge_blocks
from jobkit.book.toml import BOM, parse_text

Part = TypeVar("Part", bool, int, str)

_BLANK = f"{BOM} \t\r\n"

CLEAN = 0
# Not 1: that is what Python ends with when jobkit is not installed or fails, and then another way must be
# tried.
CONFLICT = 33


class Merged(NamedTuple):
    """A merged text, and whether it holds no conflict."""

    text: str
    clean: bool


def merge(base: str | None, ours: str, theirs: str, labels: Labels = Labels()) -> Merged:  # noqa: B008 - immutable
    """Merge two texts that grew from `base`; None where each side made the file anew.

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
    forms, texts = zip(*map(_taken_apart, (base, ours, theirs)), strict=True)
    base_block, our_block, their_block = map(blocks_of, texts)
    if base_block is None or our_block is None or their_block is None:
        return None
    lines, clean = merge_blocks(base_block, our_block, their_block, labels)
    return Merged(_put_together(lines, _common(*forms), clean=clean), clean)


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
        merged, conflicts = merge_lines(_encoded(base), _encoded(ours), _encoded(theirs), labels)
    except GitError:
        return None
    return Merged(_decoded(merged), clean=not conflicts)


def _is_toml(text: str) -> bool:
    try:
        parse_text(text)
    except ValueError:  # TomlError, or bytes that are no UTF-8
        return False
    return True


def _encoded(text: str) -> bytes:
    return text.encode(errors="surrogateescape")


def _decoded(content: bytes) -> str:
    return content.decode(errors="surrogateescape")


def run(base: str, ours: str, theirs: str, size: int, path: str) -> int:
    """Merge the files of these names, write the result over `ours`, and return the exit status.

    Whatever happens after the files are read, the file written holds both sides. Raises OSError where a file
    cannot be read or written.
    """
    texts = [_decoded(Path(name).read_bytes()) for name in (base, ours, theirs)]
    labels = Labels(size=size)
    try:
        merged = merge(texts[0] or None, texts[1], texts[2], labels)  # git gives an empty file for no base
    except Exception as error:  # noqa: BLE001 - a fault of jobkit must not cost a side its work
        print(f"{path}: jobkit failed to merge ({error!r}); both sides are kept whole", file=sys.stderr)  # noqa: T201
        merged = Merged(whole_conflict(texts[1], texts[2], labels), clean=False)
    _write(ours, merged.text)
    return CLEAN if merged.clean else CONFLICT


def _write(name: str, text: str) -> None:
    """Replace a file in one step, so that a kill leaves what git wrote there."""
    new = Path(f"{name}.new")
    new.write_bytes(_encoded(text))
    new.replace(name)


def driver_command(python: str) -> str:
    """Return the command for git's setting merge.<name>.driver, `python` being the interpreter to try first.

    Then the PATH's are tried, at last git merges lines itself: git keeps "ours" and drops the other side
    where a driver fails without a word. -P keeps Python from importing what lies in the repository.
    """
    first = shlex.quote(python).replace("%", "%%")
    return (
        f"for python in {first} python3 python; do "
        '"$python" -P -m jobkit.book.merge %O %A %B %L %P; '
        f"case $? in {CLEAN}) exit 0;; {CONFLICT}) exit 1;; esac; done; "
        # git puts %P between single quotes: between double ones a name like "$(rm x).toml" would be run.
        'echo "jobkit cannot be run, so git merges" %P "line by line" >&2; rm -f %A.new; '
        "git merge-file --marker-size=%L -L ours -L base -L theirs %A %O %B"
    )


def main(arguments: list[str]) -> int:
    """Run the driver with git's five words; where it cannot, say so and return 2, and OURS stays as it is."""
    if len(arguments) != 5 or not arguments[3].isdecimal():
        return _unable("five words are needed: BASE OURS THEIRS SIZE PATH (in git's setting: %O %A %B %L %P)")
    base, ours, theirs, size, path = arguments
    try:
        return run(base, ours, theirs, int(size), path)
    except OSError as error:
        return _unable(f"{path} cannot be merged: {error}")


def _unable(message: str) -> int:
    print(message, file=sys.stderr)  # noqa: T201 - git shows it
    return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
