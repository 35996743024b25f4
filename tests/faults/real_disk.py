"""What needs a process of its own: kills at random moments, git's among them, and a disk that is really full.

The full disk is a small file system in memory, which `unshare` mounts where the system lets an ordinary person do that.
"""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path
from random import Random

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


def killed_at_random(bench: Bench, words: tuple[str, ...], seed: int, longest: float) -> str:
    """Kill a command and the git that it started after a random while; whatever it was at must be whole."""
    bench.put_back()
    before = bench.book()
    process = _start(words, bench.root)
    time.sleep(Random(seed).uniform(0, longest))  # noqa: S311 - nothing secret
    os.killpg(process.pid, signal.SIGKILL)
    process.wait()
    (bench.root / ".git/config.lock").unlink(missing_ok=True)  # git's own, of a git that was killed
    left = bench.book()
    if changed := [
        path for path in before if left.get(path) != before[path] and words[0] in {"lint", "wire"}
    ]:
        return f"{changed[0]} was changed"
    if OWN_HOOK not in bench.hooks().values():
        return "the user's own hook is gone"
    again = bench.call(words)
    if again.status not in {0, 1}:
        return f"the next call ended with {again.status}: {again.err}"
    plain = bench.call(("--no-cache", *words))
    return (
        "" if (plain.out, plain.status) == (again.out, again.status) else "what was kept changed the answer"
    )


def how_long(bench: Bench, words: tuple[str, ...]) -> float:
    """Measure a command in a process of its own, in seconds."""
    begun = time.monotonic()
    _start(words, bench.root).wait()
    bench.put_back()
    return time.monotonic() - begun


def _start(words: tuple[str, ...], folder: Path) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-m", "jobkit", *words],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(_ROOT)},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )


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
