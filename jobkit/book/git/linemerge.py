"""Git's own three-way merge of lines, for files that no finer merge understands."""

import os
from typing import NamedTuple

from jobkit.book.git import call


class Labels(NamedTuple):
    """What conflict markers say of each side, and how many characters long they are."""

    ours: str = "ours"
    base: str = "base"
    theirs: str = "theirs"
    size: int = 7


def merge_lines(base: str, ours: str, theirs: str, labels: Labels) -> tuple[bytes, int]:
    """Merge three files, named by path, line by line.

    Returns the merged content and the number of conflicts in it. Raises GitError where git cannot (binary
    content).
    """
    names = ("-L", labels.ours, "-L", labels.base, "-L", labels.theirs)
    words = ["merge-file", "-p", f"--marker-size={labels.size}", *names, "--", ours, base, theirs]
    folder = os.getcwd()  # noqa: PTH109 - the driver starts for every file, without pathlib
    status, merged, complaint = call.try_asking(words, folder, {})
    # git-merge-file(1): negative (255 at most) on error, else the number of conflicts, 127 at most.
    if status < 0 or status > 127:
        raise call.refusal(complaint, "merge-file", folder)
    return merged, status
