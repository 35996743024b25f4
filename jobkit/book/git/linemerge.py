"""Git's own three-way merge of lines, for files that no finer merge understands."""

from pathlib import Path
from tempfile import TemporaryDirectory

from jobkit.book.git import call
from jobkit.named_tuple import NamedTuple


class Labels(NamedTuple):
    """What conflict markers say of each side, and how many characters long they are."""

    ours: str = "ours"
    base: str = "base"
    theirs: str = "theirs"
    size: int = 7


def merge_lines(base: bytes, ours: bytes, theirs: bytes, labels: Labels) -> tuple[bytes, int]:
    """Merge three contents line by line.

    Returns the merged content and the number of conflicts in it. Raises GitError where git cannot (binary
    content).
    """
    names = ("-L", labels.ours, "-L", labels.base, "-L", labels.theirs)
    with TemporaryDirectory() as folder:
        for name, content in (("ours", ours), ("base", base), ("theirs", theirs)):
            Path(folder, name).write_bytes(content)
        words = ["merge-file", "-p", f"--marker-size={labels.size}", *names, "ours", "base", "theirs"]
        status, merged, complaint = call.try_asking(words, folder, {})
    # git-merge-file(1): 255 on error, else the number of conflicts, 127 at most.
    if status > 127 or status < 0:
        raise call.refusal(complaint, "merge-file", folder)
    return merged, status
