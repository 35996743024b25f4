"""Verdicts beside readings (inlay hints): the word, and how far it is to the nearest limit."""

from __future__ import annotations

from lsprotocol.types import InlayHint, InlayHintLabelPart, Range

from jobkit.editor.shown.open_book import BookInEditor
from jobkit.editor.shown.open_file import OpenFile
from jobkit.pages.bench.verdict_words import margin_and_uncertainty, why
from jobkit.reckon.readings.limits import judge_reading
from jobkit.units.errors import in_one_line


def verdicts(file: OpenFile, book: BookInEditor, where: Range) -> list[InlayHint]:
    """Return the verdict of each reading in a stretch of a job file, at the end of the line of its value."""
    if file.job is None:
        return []
    bench = book.book().bench
    design = bench.designs.get(file.job.board.design or "")
    hints = []
    for reading in file.job.readings:
        span = file.text.outline.spans.get((*reading.path, "value"))
        at = file.text.position(span.end) if span else None
        if at is None or not where.start.line <= at.line <= where.end.line:
            continue
        judged = judge_reading(reading, bench, design)
        if judged.verdict and judged.corrected and judged.limit:
            distance, _ = margin_and_uncertainty(judged.corrected, judged.verdict)
            told = in_one_line(f"{why(judged.corrected, judged.limit, judged.verdict)}.")
            label = in_one_line(" ".join(filter(None, (judged.verdict.word, distance))))
            hints.append(InlayHint(at, [InlayHintLabelPart(label, tooltip=told)], padding_left=True))
    return hints
