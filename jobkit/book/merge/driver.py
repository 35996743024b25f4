"""The merge driver for the files of a book: `python -m jobkit.book.merge BASE OURS THEIRS SIZE PATH`.

Git calls it for each file that both sides changed (gitattributes(5), "Defining a custom merge driver"), and
keeps what it has written to OURS.
"""

import shlex
import sys
from pathlib import Path

from jobkit.book.disk.errors import DiskError
from jobkit.book.disk.reading import read_plain
from jobkit.book.git.linemerge import Labels
from jobkit.book.merge.markers import whole_conflict
from jobkit.book.merge.whole import Merged, decoded, encoded, merge

CLEAN = 0
# Not 1: that is what Python ends with when jobkit is not installed or fails, and then another way must be
# tried.
CONFLICT = 33


def run(base: str, ours: str, theirs: str, size: int, path: str) -> int:
    """Merge the files of these names, write the result over `ours`, and return the exit status.

    Whatever happens after the files are read, the file written holds both sides. Raises DiskError where a file
    cannot be read, OSError where it cannot be written.
    """
    texts = [decoded(read_plain(name)) for name in (base, ours, theirs)]
    labels = Labels(size=size)
    try:
        merged = merge(texts[0] or None, texts[1], texts[2], labels)  # git gives an empty file for no base
    except Exception as error:  # noqa: BLE001 - a fault of jobkit must not cost a side its work
        print(f"{path}: jobkit failed to merge ({error!r}); both sides are kept complete", file=sys.stderr)  # noqa: T201
        merged = Merged(whole_conflict(texts[1], texts[2], labels), clean=False)
    _write(ours, merged.text)
    return CLEAN if merged.clean else CONFLICT


def _write(name: str, text: str) -> None:
    """Replace a file in one step, so that a kill leaves what git wrote there."""
    new = Path(f"{name}.new")  # git made up the name, and took it in this folder for itself
    new.write_bytes(encoded(text))
    new.replace(name)


def driver_command(python: str) -> str:
    """Return the command for git's setting merge.<name>.driver, `python` being the interpreter to try first.

    Then the PATH's are tried, at last git merges lines itself: git keeps "ours" and drops the other side where a driver
    fails without a word. -P keeps Python from importing what is in the repository.
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
    except (DiskError, OSError) as error:
        return _unable(f"{path} cannot be merged: {error}")


def _unable(message: str) -> int:
    print(message, file=sys.stderr)  # noqa: T201 - git shows it
    return 2
