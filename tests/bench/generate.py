"""Make large books, the same each time: the example book over and over, with ids, years and serials of their own.

    python -m tests.bench.generate 10000 /tmp/book
    python -m tests.bench.generate 10000 /tmp/book --without-logs

Comebacks, donors and attachments of a batch point into the same batch, and papers are numbered on within their year, so
that a large book is as sound as the example.
"""

from __future__ import annotations

import argparse
import re
import shutil
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from tests.books import EXAMPLE

_OWN = ("bench.toml", "meters.toml", "stock.toml", ".gitattributes", ".gitignore")
_ID = re.compile(r"\bK(?:25|26)-0?([0-9]{3})\b")
_PAPER = re.compile(r"\bK26-R-[0-9]{4}\b")
_YEAR = re.compile(r"\b(202[56])-(?=[0-9]{2}-[0-9]{2})")
# The meters are calibrated in one year only, so in other years there is nothing to waive.
_WAIVED = re.compile(r'\n\[\[waive\]\]\n(?:[^\n\[]+\n)*?rule\s*=\s*"meter-overdue"\n(?:[^\n\[]+\n)*')
_LOG = re.compile(r"^(?:log|heat|probe)\s*=.*\n", re.MULTILINE)
_LOG_WAIVED = re.compile(r'\n\[\[waive\]\]\nrule\s*=\s*"heat-outside"\n(?:[^\n\[]+\n)*')
_CYCLES = re.compile(r"^cycles\s*=.*", re.MULTILINE)
_SERIAL = re.compile(r'^(serial\s*=\s*"[^"]*)"', re.MULTILINE)
_GONE = re.compile(r'^(?:sent|collected)\s*=|"kept-for-parts"', re.MULTILINE)
_LEANS = re.compile(r'^\[comeback\]|^from\s*=\s*"K', re.MULTILINE)
_FIRST_YEAR, _YEARS = 2017, 10
_CALIBRATED = 2026


class Template(NamedTuple):
    """A job of the example, and what lies in its folder."""

    id: str
    text: str
    attachments: tuple[tuple[str, bytes], ...]

    @property
    def is_over(self) -> bool:
        """Tell whether the board has left the bench."""
        return _GONE.search(self.text) is not None


class Batch(NamedTuple):
    """The jobs of the example once more: as a bench's letter, in which year, which of all and of its year."""

    letter: str
    year: int
    number: int
    of_year: int


def make_large(
    root: Path, jobs: int, *, letter: str = "K", attachments: bool = True, logs: bool = True
) -> None:
    """Write a book of `jobs` jobs to the new folder `root`, spread evenly over ten years.

    Without `logs`, no job names one; all else in it is the same.
    """
    root.mkdir(parents=True)
    for name in _OWN:
        shutil.copy(EXAMPLE / name, root / name)
    shutil.copytree(EXAMPLE / "boards", root / "boards")
    shutil.copytree(EXAMPLE / "schema", root / "schema")
    everything = list(all_templates())
    if not logs:
        everything = [without_logs(template) for template in everything]
        _allow_more_heatings(root / "bench.toml")
    over = [template for template in everything if template.is_over]
    alone = [template for template in over if not _LEANS.search(template.text)]
    batches, rest = divmod(max(jobs - len(everything), 0), len(over))
    # Only the latest jobs are still on the bench, as many as in the example.
    plan = [(batch, over) for batch in range(batches)]
    plan += [
        (batches, alone[:rest]),
        (batches + 1, alone[: max(rest - len(alone), 0)]),
        (batches + 2, everything),
    ]
    begun: Counter[int] = Counter()
    papers: Counter[int] = Counter()
    for number, templates in plan:
        year = _FIRST_YEAR + min(number * _YEARS // max(batches, 1), _YEARS - 1)
        batch = Batch(letter, year, number, begun[year])
        begun[year] += 1
        for template in templates[:jobs]:
            text = numbered_on(template.text, batch, papers[year])
            papers[year] += len({*_PAPER.findall(template.text)})
            _write(root, template._replace(text=text), batch, attachments=attachments)


def without_logs(template: Template) -> Template:
    """Leave out of a job the logs that it names, and the waiver of what one of them shows."""
    text = _LOG.sub("", _LOG_WAIVED.sub("", template.text))
    left = tuple(one for one in template.attachments if one[0] in text)
    return template._replace(text=text, attachments=left)


def _allow_more_heatings(bench: Path) -> None:
    """Let the bench allow one heating more: without a log that shows how hot a package was, each one counts."""
    bench.write_text(_CYCLES.sub("cycles = 4", bench.read_text("utf-8")), encoding="utf-8")


def all_templates() -> Iterator[Template]:
    """Yield every job of the example, in the order of their files."""
    for path in sorted((EXAMPLE / "jobs").glob("*/*.toml")):
        folder = path.with_suffix("")
        files = sorted(folder.iterdir()) if folder.is_dir() else []
        yield Template(
            path.stem, path.read_text("utf-8"), tuple((file.name, file.read_bytes()) for file in files)
        )


def _write(root: Path, template: Template, batch: Batch, *, attachments: bool) -> None:
    path = root / "jobs" / str(batch.year) / f"{renamed(template.id, batch)}.toml"
    path.parent.mkdir(parents=True, exist_ok=True)
    waived = template.text if batch.year == _CALIBRATED else _WAIVED.sub("", template.text)
    text = _SERIAL.sub(rf'\1-{batch.number}"', renamed(waived, batch))
    path.write_text(_YEAR.sub(lambda found: f"{batch.year - 2026 + int(found[1])}-", text), encoding="utf-8")
    if attachments and template.attachments:
        path.with_suffix("").mkdir()
        for file, content in template.attachments:
            (path.with_suffix("") / file).write_bytes(content)


def numbered_on(text: str, batch: Batch, papers: int) -> str:
    """Number the invoices and credit notes of a job on from the `papers` that the year has had."""
    front = f"{batch.letter}{batch.year % 100:02d}-R"
    mine = {
        old: f"{front}-{number:04d}" for number, old in enumerate(sorted({*_PAPER.findall(text)}), papers + 1)
    }
    return _PAPER.sub(lambda found: mine[found[0]], text)


def renamed(text: str, batch: Batch) -> str:
    """Give the jobs that a text names the ids they have in a batch."""
    front = f"{batch.letter}{batch.year % 100:02d}-{batch.of_year:03d}"
    return _ID.sub(lambda found: f"{front}{found[1]}", text)


def main() -> None:
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("jobs", type=int)
    words.add_argument("book", type=Path)
    words.add_argument("--without-logs", action="store_true", help="jobs that name no logs")
    chosen = words.parse_args()
    make_large(chosen.book, chosen.jobs, logs=not chosen.without_logs)


if __name__ == "__main__":
    main()
