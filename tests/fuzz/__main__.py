"""Search for input that a reader of jobkit cannot stand, guided by what each input makes it do.

    python -m tests.fuzz                         # every target, a minute each
    python -m tests.fuzz limit job --seconds 600
    python -m tests.fuzz --runs 10000 --seed 3   # a fixed number of inputs each, the same each time
    python -m tests.fuzz --keep FOLDER           # go on from what earlier searches found, and keep what is found
    python -m tests.fuzz --keep FOLDER --blind   # alter what was found without looking at what it does: many more

An input that fails is written to tests/fuzz/cases/TARGET, where pytest runs it from then on. Needs the extra `fuzz`.
"""

from __future__ import annotations

import argparse
import json
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from tests.bench.stopwatch import as_table
from tests.fuzz.targets import TARGETS

CASES = Path(__file__).parent / "cases"
ROOT = Path(__file__).parent.parent.parent
LONGEST = 4
"""So many times as long as its longest seed an input may be."""

PATIENCE = 60
"""Seconds after which an input counts as one that never ends, on a loaded machine too."""


class Search(NamedTuple):
    """How a search went: inputs tried, edges of the code reached, and the files of inputs that failed."""

    inputs: int
    reached: int
    failed: list[str]
    said: str


class How(NamedTuple):
    """How to search each target: so many inputs (-1: any number), so many seconds (0: any), and the seed.

    `keep` is the folder from which a search goes on, and in which it keeps what it found; `blind` tells that it does
    not follow what jobkit does.
    """

    runs: int
    seconds: int
    seed: int
    keep: Path | None = None
    blind: bool = False


def main() -> int:
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("targets", nargs="*", choices=[[], *TARGETS], help="default: all")
    words.add_argument("--seconds", type=int, default=60, help="of each target")
    words.add_argument(
        "--runs", type=int, default=-1, help="inputs of each target; default: as many as there is time for"
    )
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--keep", type=Path, help="folder of the inputs that made jobkit do something new")
    words.add_argument(
        "--blind", action="store_true", help="do not follow what jobkit does: some ten times as many"
    )
    chosen = words.parse_args()
    rows, failed = [], False
    for name in chosen.targets or TARGETS:
        seconds = chosen.seconds if chosen.runs < 0 else 0
        how = How(chosen.runs, seconds, chosen.seed, chosen.keep, chosen.blind)
        search = searched([name], how)[name]
        rows.append((name, f"{search.inputs:,}", str(search.reached), str(len(search.failed))))
        if search.failed:
            failed = True
            sys.stderr.write(search.said)
    print(as_table(rows, ("target", "inputs", "edges reached", "failures")))
    return int(failed)


def searched(names: Iterable[str], how: How) -> dict[str, Search]:
    """Search each target from its seeds and from the cases that were found before."""
    with tempfile.TemporaryDirectory() as folder:
        places = {name: Path(folder) / name for name in names}
        searches = {name: _search(name, place, how) for name, place in places.items()}
        words = [sys.executable, "-m", "tests.fuzz.engine", *(["--blind"] if how.blind else [])]
        done = subprocess.run(
            words, cwd=ROOT, input=json.dumps(searches), capture_output=True, text=True, errors="replace", check=False
        )  # fmt: skip
        found = {name: _how_it_went(name, place) for name, place in places.items() if _said(place)}
        if how.keep:
            for name, place in places.items():
                shutil.copytree(place / "corpus", how.keep / name, dirs_exist_ok=True)
    if len(found) < len(searches) or (done.returncode and not any(one.failed for one in found.values())):
        last = "".join(one.said for one in list(found.values())[-1:])
        raise SystemExit(f"the searches of {', '.join(searches)} did not run:\n{last}{done.stderr[-3000:]}")
    return found


def _search(name: str, place: Path, how: How) -> list[str]:
    """Lay out the seeds of a target below `place`; return the corpus and the options of its search."""
    seeds = list(TARGETS[name].seeds())
    corpus, failures = place / "corpus", place / "failures"
    corpus.mkdir(parents=True)
    failures.mkdir()
    if how.keep and (how.keep / name).is_dir():
        shutil.copytree(how.keep / name, corpus, dirs_exist_ok=True)
    for number, content in enumerate([*seeds, *known(name)]):
        (corpus / f"seed-{number}").write_bytes(content)
    return [
        str(corpus),
        *(f"-runs={how.runs}", f"-max_total_time={how.seconds}", f"-seed={how.seed}"),
        *(f"-max_len={LONGEST * max(map(len, seeds))}", f"-artifact_prefix={failures}/"),
        *(
            f"-timeout={PATIENCE}",
            f"-report_slow_units={PATIENCE}",
            "-rss_limit_mb=2048",
            "-print_final_stats=1",
        ),
    ]


def _said(place: Path) -> str:
    file = place / "corpus.said"
    return file.read_text("utf-8", errors="replace") if file.exists() else ""


def _how_it_went(name: str, place: Path) -> Search:
    said = _said(place)
    failed = [_as_case(name, path) for path in sorted((place / "failures").iterdir())]
    inputs = _last(r"stat::number_of_executed_units: *(\d+)", said)
    return Search(inputs, _last(r"cov: (\d+)", said), failed, said[-6000:])


def known(name: str) -> list[bytes]:
    """Read the inputs that failed in earlier searches of a target."""
    return [path.read_bytes() for path in sorted((CASES / name).glob("*"))]


def _as_case(name: str, path: Path) -> str:
    case = CASES / name / path.name
    case.parent.mkdir(parents=True, exist_ok=True)
    case.write_bytes(path.read_bytes())
    return str(case)


def _last(pattern: str, text: str) -> int:
    return int(([*re.findall(pattern, text)] or ["0"])[-1])


if __name__ == "__main__":
    sys.exit(main())
