"""A repository from a stranger: files that are links, pipes, devices or huge, forged notes, and random bytes."""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random

from jobkit.book.write.journal import digest
from tests.at_the_bench import JOB_PATH
from tests.faults.judged import not_plain
from tests.faults.scenarios import SECOND_PATH, Bench

SECONDS = 30
PRIVATE = "what only the person knows"

COMMANDS: tuple[tuple[str, ...], ...] = (
    ("lint",),
    ("week",),
    ("show", "7"),
    ("due",),
    ("summarise",),
    ("stock",),
    ("trail", "7"),
    ("tidy",),
    ("upgrade",),
    ("read", "v12", "30"),
    ("jot", "work", "clean"),
    ("jot", "stop", "clean"),
    ("book-in", "--client", "c-2", "--title", "x", "--kind", "graphics card", "--complaint", "y"),
    ("undo",),
    ("undo", "--yes"),
    ("export", "tables"),
    ("on",),
)

PLACES = (
    *(JOB_PATH, SECOND_PATH, "bench.toml", "meters.toml", "stock.toml", "boards/rowan-r3.toml"),
    *("schema/job.schema.json", "jobs/2026", "boards", "jobs/.gitattributes", ".gitignore"),
    *(".git/jobkit", ".git/info/attributes", "private/clients.toml", "tables"),
)
"""Where something else than a plain file is put; files of .git/jobkit come to these."""


def _link_outside(place: Path, victim: Path) -> None:
    place.symlink_to(victim)


def _link_to_nowhere(place: Path, victim: Path) -> None:
    place.symlink_to(victim.with_name("nowhere"))


def _link_to_zero(place: Path, _victim: Path) -> None:
    place.symlink_to("/dev/zero")


def _link_in_a_circle(place: Path, _victim: Path) -> None:
    place.symlink_to(place.name)


def _pipe(place: Path, _victim: Path) -> None:
    os.mkfifo(place)


def _folder(place: Path, _victim: Path) -> None:
    place.mkdir()


def _huge(place: Path, _victim: Path) -> None:
    with place.open("wb") as file:
        file.truncate(10**12)


KINDS: tuple[Callable[[Path, Path], None], ...] = (
    *(_link_outside, _link_to_nowhere, _link_to_zero, _link_in_a_circle, _pipe, _folder, _huge),
)


def places_of(bench: Bench) -> list[str]:
    """Return every place, those below .git/jobkit by the names that they have in this book."""
    kept = (path for path in (bench.root / ".git/jobkit").glob("*") if path.is_file())
    return [*PLACES, *(path.relative_to(bench.root).as_posix() for path in sorted(kept))]


def odd_file(bench: Bench, place: str, kind: Callable[[Path, Path], None], words: tuple[str, ...]) -> str:
    """Put something odd in the place of a file, run a command, and look whether anything outside is read or written."""
    bench.put_back()
    victim = _victim(bench)
    target = bench.root / place
    target.parent.mkdir(parents=True, exist_ok=True)
    if target.exists():
        target.rename(_aside(bench))
    kind(target, victim)
    lost = _verdict(bench, victim, words)
    return f"{place} as {kind.__name__.strip('_')}, {' '.join(words)}: {lost}" if lost else ""


def _aside(bench: Bench) -> Path:
    """Return a new name outside the book for what has to make room."""
    folder = bench.root.with_name("aside")
    folder.mkdir(exist_ok=True)
    return folder / str(sum(1 for _ in folder.iterdir()))


def _victim(bench: Bench) -> Path:
    victim = bench.root.with_name("victim.toml")
    victim.write_text(f'format = 0\ntitle = "{PRIVATE}"\n')
    return victim


def _verdict(bench: Bench, victim: Path, words: tuple[str, ...]) -> str:
    before = victim.read_bytes()
    ended = bench.call(words, seconds=SECONDS)
    if ended.status == -14:
        return "it did not end"
    if spoken := not_plain(ended):
        return spoken
    if victim.read_bytes() != before or victim.with_name("nowhere").exists():
        return "a file outside the book was written"
    if PRIVATE in ended.out + ended.err:
        return "a file outside the book was read"
    if any(letter in ended.out + ended.err for letter in "\x1b\x07\x9b"):
        return "raw escape sequences reached the terminal"
    return ""


def forged_notes(bench: Bench) -> Iterator[dict[str, object]]:
    """Yield forged notes for `undo`: any path, any content, any form."""
    bench.put_back()
    text = (bench.root / JOB_PATH).read_text("utf-8")
    real: dict[str, object] = {
        "id": "f", "unit": "f", "path": JOB_PATH, "what": "\x1b[2Jreading", "before": digest(text[1:]),
        "after": digest(text), "splices": [[0, "", text[:1]]], "hand": "ida", "at": "2026-10-22T10:05:00",
        "session": {}, "leaves": None,
    }  # fmt: skip
    yield real
    outside = bench.root.with_name("victim.toml")
    hows: tuple[dict[str, object], ...] = (
        {},
        {"before": "", "splices": []},
        {"after": "", "splices": [[0, "x", ""]]},
    )
    for path in (f"../{outside.name}", f"jobs/../../{outside.name}", str(outside), ".git/config", "", "\0"):
        yield from ({**real, "path": path, **how} for how in hows)
    odd: tuple[object, ...] = (None, 3, -1, 1e308, "", "\ud800", "x" * 10**6, [], [[]], {}, {"a": [1]}, True)
    for name in real:
        yield from ({**real, name: value} for value in odd)
        yield {key: value for key, value in real.items() if key != name}
    yield from ({**real, "splices": [[at, "a", "b"]]} for at in (10**30, -5, "0", 0.5))
    yield {**real, "session": {"clock": [["K26-0007", "\x1b]0;x\x07"], ["K26-0007", "2026-10-22T10:05:00"]]}}
    yield {**real, "path": "", "session": {"by": ["\x1b[31mmallory", "ida"], "job": [3, "K26-0007"]}}


def forged_note(bench: Bench, note: dict[str, object], words: tuple[str, ...]) -> str:
    """Write a forged note behind the real ones, and take it back."""
    bench.put_back()
    victim = _victim(bench)
    for journal in (bench.root / ".git/jobkit").glob("written-*.jsonl"):
        with journal.open("a") as file:
            file.write(json.dumps({"note": note}) + "\n")
    return _verdict(bench, victim, words)


def random_bytes(bench: Bench, seed: int) -> str:
    """Change bytes of a file of the book or beside it at random, and run a command."""
    bench.put_back()
    chance = Random(seed)  # noqa: S311 - nothing secret
    files = [path for path in sorted(bench.root.rglob("*")) if path.is_file() and _may_change(bench, path)]
    chosen = chance.choice(files)
    chosen.write_bytes(_mutated(chosen.read_bytes(), chance.choice(files).read_bytes(), chance))
    return _verdict(bench, _victim(bench), chance.choice(COMMANDS))


def _may_change(bench: Bench, path: Path) -> bool:
    """Leave git's own files to git."""
    inside = path.relative_to(bench.root).parts
    return inside[0] != ".git" or inside[1] == "jobkit"


_ODD = (
    *(b"\0", b"\xff", b"\x1b[2J", b'"', b"'''", b"[[", b"]", b"{", b" = ", b"\r", b"\xef\xbb\xbf"),
    *(b"\n[[reading]]\n", b"1" * 400),
)


def _mutated(content: bytes, other: bytes, chance: Random) -> bytes:
    """Cut, repeat, exchange or insert a few pieces."""
    for _ in range(chance.randint(1, 5)):
        start = chance.randint(0, len(content))
        end = min(len(content), start + chance.choice((0, 1, 1, 7, 60)))
        there = chance.randint(0, len(other))
        piece = chance.choice((b"", content[start:end] * 2, other[there : there + 60], chance.choice(_ODD)))
        content = content[:start] + piece + content[end:]
    return content
