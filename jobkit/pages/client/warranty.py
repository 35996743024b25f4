"""One job's warranty in a sentence, with the rule behind it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from jobkit.jobs.facts import Facts
from jobkit.pages.blocks import Answer, Line
from jobkit.pages.forms.data import Data
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.reckon.warranty.cover import (
    CONTINUES,
    COVERED,
    ENDED,
    NONE,
    NOT_BEGUN,
    NOT_HERE,
    OUTLASTS,
    OWN_TERMS,
    RESTARTS,
    RESTARTS_LATER,
    VOID,
    Cover,
)
from jobkit.units.phrase import phrase

LAW = phrase("Local law may give you more than this paper. This is not legal advice.")

START = {
    "sent": phrase("the day it was sent"),
    "collected": phrase("the day it was collected"),
    "finished": phrase("the day it was finished"),
}
"""The day a warranty is counted from, in words."""

_LINKS = {
    "": "",
    CONTINUES: phrase("a comeback continues the warranty before it"),
    RESTARTS: phrase("a comeback restarts the warranty"),
    RESTARTS_LATER: phrase("a comeback restarts the warranty, once this job has a day to count from"),
    OWN_TERMS: phrase("the job has a [warranty] of its own, and what is written in the job wins"),
    OUTLASTS: phrase("a restart would end sooner than what was promised first, so the first promise applies"),
    "nothing before": phrase("the job before gave no warranty that could continue"),
    "not sent before": phrase("the job before had not been sent when this one came in: check the dates"),
    "not begun before": phrase("the warranty of the job before had not begun"),
    "new-fault": phrase("a new fault is a repair of its own"),
    "misuse": phrase("a repair after misuse is one of its own"),
    "void before": phrase("the warranty of the job before is void"),
    "ended before": phrase("it came back after the warranty of the job before had ended"),
}


_LACKS = {
    "time": phrase("the job has its own terms: P0D, no warranty"),
    "repair": phrase("the bench gives a warranty on repairs only, and the job has no terms of its own"),
    "errors": phrase("the file of the job has errors, so its warranty is not known"),
    "habit": phrase("neither the job nor bench.toml gives a duration"),
}


def warranty_page(cover: Cover, later: Sequence[Facts] = (), lang: Language = ENGLISH) -> Answer:
    """Say whether a job is covered, until when, on what, by which rule; `later` are its comebacks."""
    return Answer([Line(line) for line in _lines(cover, later, lang)], _data(cover, later))


def _lines(cover: Cover, later: Sequence[Facts], lang: Language) -> Iterator[str]:
    covered = _IS_COVERED if cover.covered else _IS_NOT_COVERED
    yield lang.say(covered, job=cover.job, day=lang.day(cover.on), because=_because(cover, lang))
    yield lang.say("Rule: {rule}.", rule=rule(cover, lang))
    if cover.still:
        job, until = cover.still
        yield lang.say(
            "The earlier warranty, of {job}, continues separately until {day}.", job=job, day=lang.day(until)
        )
    if len(cover.chain) > 1:
        chain = cover.chain[0]
        for job in cover.chain[1:]:
            chain = lang.say("{earlier}, then {later}", earlier=chain, later=job)
        yield lang.say("Chain: {chain}.", chain=chain)
    if cover.broken == "loop":
        yield lang.say(
            "The comebacks name each other in a circle, so this job is counted alone: fix comeback.of."
        )
    elif cover.broken:
        yield lang.say("The chain ends early: {job} is not in this book.", job=cover.broken)
    for one in later:
        yield lang.say(
            "It came back as {job}, received {day}; see the warranty of that job too.",
            job=one.id,
            day=lang.iso_day(one.received),
        )
    yield lang.say(LAW)


_IS_COVERED = phrase("{job} is covered on {day}: {because}.")
_IS_NOT_COVERED = phrase("{job} is not covered on {day}: {because}.")


def _because(cover: Cover, lang: Language) -> str:
    """Say why a job is covered or not."""
    if cover.state in {COVERED, ENDED}:
        left = cover.days_left or 0
        days = lang.plural("{count} day", "{count} days", abs(left))
        words = _ends(cover) if cover.covered else _ENDED
        return lang.say(words, scope=scope_words(cover, lang), day=lang.day(cover.last_day), days=days)
    if cover.state == VOID:
        words = _VOID_SINCE if cover.void_on else _VOID
        return lang.say(words, day=lang.day(cover.void_on), reason=lang.own(cover.void))
    if cover.state == NOT_BEGUN:
        start = lang.say(START[cover.counted_from])
        return lang.say(_NOT_BEGUN, duration=cover.duration, start=start)
    return lang.say(_NOTHING[cover.state])


def _ends(cover: Cover) -> str:
    if cover.days_left == 0:
        return _SCOPE_LAST if cover.scope else _LAST
    return _SCOPE_UNTIL if cover.scope else _UNTIL


def scope_words(cover: Cover, lang: Language) -> str:
    """Say what the warranty is on: parts as the language lists them, other words as its catalogue has them."""
    parts = _BETWEEN_PARTS.split(cover.scope)
    own = lang.own(cover.scope)
    return lang.listing(parts) if own == cover.scope and all(map(_PART.fullmatch, parts)) else own


_BETWEEN_PARTS = re.compile(r", | and ")
_PART = re.compile(r"[A-Z]{1,4}[0-9]{1,5}[A-Z]?")

_UNTIL = phrase("until {day}, that day included ({days} left)")
_SCOPE_UNTIL = phrase("{scope}, until {day}, that day included ({days} left)")
_LAST = phrase("until the end of {day}: this is its last day")
_SCOPE_LAST = phrase("{scope}, until the end of {day}: this is its last day")
_ENDED = phrase("its warranty ended on {day}, {days} before")
_VOID, _VOID_SINCE = (
    phrase("its warranty is void ({reason})"),
    phrase("its warranty is void since {day} ({reason})"),
)
_NOT_BEGUN = phrase("its warranty of {duration} is counted from {start}, and that date is not entered")
_NOTHING = {NONE: phrase("it has no warranty"), NOT_HERE: phrase("it was not received by then")}


def rule(cover: Cover, lang: Language = ENGLISH) -> str:
    """Say by which rule a warranty is counted."""
    if cover.state == NOT_HERE:
        return lang.say("what is dated later than the day asked about is not known yet")
    return "; ".join(filter(None, (_counted(cover, lang), lang.say(_LINKS[cover.link]))))


def _counted(cover: Cover, lang: Language) -> str:
    if cover.duration is None:
        return lang.say(_LACKS[cover.lacks])
    start = lang.say(START[cover.counted_from])
    if cover.source != cover.job:
        start = lang.say("{start} as {job}", start=start, job=cover.source)
    if cover.first_day:
        start = f"{start} ({lang.day(cover.first_day)})"
    own = _BY_THE_JOB if cover.source == cover.job else _BY_THAT_JOB
    return lang.say(own if cover.own_terms else _BY_THE_BENCH, duration=cover.duration, start=start)


_BY_THE_JOB = phrase("{duration} from {start}, last day included, by the job's own terms")
_BY_THAT_JOB = phrase("{duration} from {start}, last day included, by that job's own terms")
_BY_THE_BENCH = phrase("{duration} from {start}, last day included, by bench.toml")


def _data(cover: Cover, later: Sequence[Facts]) -> Data:
    return {
        "job": cover.job,
        "on": str(cover.on),
        "covered": cover.covered,
        "state": cover.state,
        "first_day": str(cover.first_day) if cover.first_day else None,
        "last_day": str(cover.last_day) if cover.last_day else None,
        "days_left": cover.days_left,
        "scope": cover.scope or None,
        "void": cover.void or None,
        "void_on": str(cover.void_on) if cover.void_on else None,
        "duration": str(cover.duration) if cover.duration else None,
        "from": cover.counted_from,
        "chain": list(cover.chain),
        "earlier_until": str(cover.still[1]) if cover.still else None,
        "came_back_as": [one.id for one in later],
        "rule": rule(cover),
    }
