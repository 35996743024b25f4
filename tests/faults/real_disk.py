"""A disk that is really full.

It is a small file system in memory, which `unshare` mounts where the system lets an ordinary person do that.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

from tests.faults.judged import not_plain
from tests.faults.scenarios import OWN_HOOK, Bench, Scenario, load_all
from tests.faults.steps import Ended

_ROOT = Path(__file__).parents[2]
_SIZE = 4_000_000
_PAGE = 4096
FULL: tuple[tuple[str, ...], ...] = (
    ("wire",), ("read", "v12", "30"), ("jot", "work", "clean"), ("tidy",), ("undo",),
    ("book-in", "--client", "c-2", "--title", "x", "--kind", "graphics card", "--complaint", "y"),
    ("export", "tables"), ("lint", "--on", "2026-10-22"), ("show", "7", "-o", "answer"),
)  # fmt: skip
"""What is run on a full disk."""


def full_disk(folder: Path) -> list[str]:
    """Run commands on a disk with ever less room; none where such a disk cannot be had."""
    if not shutil.which("unshare"):
        return []
    mount = f"mount -t tmpfs -o size={_SIZE} none {folder} && exec {sys.executable} -m tests.faults.real_disk {folder}"
    done = subprocess.run(
        ["unshare", "-rm", "sh", "-c", mount], cwd=_ROOT, capture_output=True, text=True, check=False
    )
    verdicts: list[str] = json.loads(done.stdout) if done.returncode == 0 else []
    return verdicts


def _on_full_disk(folder: Path) -> list[str]:
    """Try every command with 0 to 15 pages left; give what each trial lost."""
    bench = Bench(folder, Scenario(("lint",)))
    verdicts = []
    for words in FULL:
        bench.put_back()
        before = bench.book()
        bench.call(words)
        after = bench.book()
        for pages in range(16):
            bench.put_back()
            _fill(folder / "fill", pages)
            ended = bench.call(words)
            (folder / "fill").unlink()
            verdicts.append(_lost(bench, ended, words, before, after))
    return verdicts


def _fill(place: Path, pages: int) -> None:
    """Fill the disk but for some pages."""
    with place.open("wb", buffering=0) as file:
        try:
            while True:
                file.write(b"\1" * _PAGE)
        except OSError:
            file.truncate(max(file.tell() - pages * _PAGE, 0))


def _lost(
    bench: Bench, ended: Ended, words: tuple[str, ...], before: dict[str, bytes], after: dict[str, bytes]
) -> str:
    if spoken := not_plain(ended):
        return f"{' '.join(words)}: {spoken}"
    if OWN_HOOK not in bench.hooks().values():
        return "the user's own hook is gone"
    left = bench.book()
    own = {path for path in before if left.get(path) not in {before[path], after.get(path)}}
    if own:
        return f"{' '.join(words)}: {own.pop()} is neither the old nor the new one"
    if ended.status == 0 and {path: left.get(path) for path in after} != after:
        return f"{' '.join(words)}: it was reported as done, and is not"
    return ""


if __name__ == "__main__":
    load_all()
    print(json.dumps(_on_full_disk(Path(sys.argv[1]))))
