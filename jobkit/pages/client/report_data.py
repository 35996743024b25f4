"""The client's paper as data."""

from __future__ import annotations

from datetime import date

from jobkit.pages.client.cautions import caution_lines
from jobkit.pages.client.heat_logs import heat_logs_data
from jobkit.pages.client.load_logs import trials_data
from jobkit.pages.client.phrases import work_words
from jobkit.pages.client.report_endings import ending, fate_words
from jobkit.pages.client.steps import steps_data
from jobkit.pages.forms.data import Data, measured, money
from jobkit.reckon.client.correspondence import correspondence
from jobkit.reckon.client.paper import Compared, Paper
from jobkit.reckon.client.photos import photos


def report_data(paper: Paper) -> Data:
    """Give the paper of a job as data."""
    job, cover = paper.job, paper.cover
    return {
        "job": job.id,
        "on": str(paper.on),
        "bench": paper.bench.settings.name,
        "client": job.client,
        "name": paper.client.name if paper.client else None,
        "board": {"kind": job.board.kind, "design": job.board.design, "serial": job.board.serial},
        "outcome": job.outcome,
        "ending": ending(job),
        "received": _day(job.dates.received),
        "complaint": job.intake.complaint,
        "cause": {"part": job.cause.part, "fault": job.cause.fault} if job.cause else None,
        "work": [
            {"on": _day(one.at.date()) if one.at else None, "what": work_words(one)} for one in job.work
        ],
        "photos": [{"of": what, "file": photo.file, "caption": photo.caption} for what, photo in photos(job)],
        "readings": [_reading_data(each) for each in paper.compared],
        "proof": steps_data(paper.steps),
        "trials": trials_data(job, paper.evidence),
        "heatings": heat_logs_data(paper.heatings),
        "parts": [
            {"what": part.what, "number": str(part.used.qty), "for": part.used.part} for part in paper.parts
        ],
        "total": money(paper.sum.total) if paper.sum else None,
        "credited": money(paper.sum.credited) if paper.sum else None,
        "open": money(paper.sum.open) if paper.sum else None,
        "warranty": {
            "state": cover.state,
            "first_day": _day(cover.first_day),
            "last_day": _day(cover.last_day),
        },
        "correspondence": [
            {"on": _day(one.at.date()) if one.at else None, "with": one.other, "text": one.text}
            for one in correspondence(job)
            if one.client
        ],
        "fate": fate_words(job) or None,
        "cautions": list(caution_lines(paper.cautions)),
    }


def _reading_data(each: Compared) -> Data:
    reading = each.reading
    pair = {"before": each.before, "after": each.after}
    return {
        "point": reading.point,
        "where": each.where or None,
        "kind": reading.kind,
        "state": reading.state,
        **{
            name: {
                "value": measured(one.reading.shown),
                "verdict": one.verdict.word if one.verdict else None,
            }
            if one
            else None
            for name, one in pair.items()
        },
    }


def _day(day: date | None) -> str | None:
    return str(day) if day else None
