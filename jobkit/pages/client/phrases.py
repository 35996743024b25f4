"""The entries of a job in words for a client who does not know electronics."""

from __future__ import annotations

import re
from collections.abc import Mapping

from jobkit.jobs.design import Design
from jobkit.jobs.entries import Inject, Pad, Seen, Trial, Used, Work
from jobkit.pages.client.load_logs import unchecked_limits
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.reckon.memory.failing_channels import failing_in, passed_words
from jobkit.units.phrase import phrase

# IPC-7711/7721 revision C, names of procedures from a copy. A ball that is named by row and column, as the grids of
# ball packages are (JEDEC JEP95), sits on a ball pad; a number alone is the pad of another surface-mounted part.
_GRID = re.compile(r"[A-Z]{1,2}[0-9]{1,2}")
_PROCEDURES = {
    ("grid", "torn-off", "film"): phrase("4.7.3, pad of a ball grid, with film"),
    ("grid", "lifted", "film"): phrase("4.7.3, pad of a ball grid, with film"),
    ("pad", "lifted", "epoxy"): phrase("4.5.1, lifted land, with epoxy"),
    ("pad", "lifted", "film"): phrase("4.5.2, lifted land, with film"),
    ("pad", "torn-off", "epoxy"): phrase("4.7.1, surface-mount pad, with epoxy"),
    ("pad", "torn-off", "film"): phrase("4.7.2, surface-mount pad, with film"),
}


def work_words(work: Work, lang: Language = ENGLISH) -> str:
    """Say what was done."""
    words, what = _did(work, lang), lang.own(work.what)
    if what and what not in words:
        words = f"{words} ({what})"
    if work.alloy and work.did != "remove":
        return lang.say("{work}, with {alloy} solder", work=words, alloy=work.alloy)
    return words


def _did(work: Work, lang: Language) -> str:
    """Say what was done, without what else was written down of it."""
    did = work.did or ""
    if did == "other" or (did in {"inspect", "clean"} and work.what and not work.part) or did not in _DID:
        return lang.own(work.what) or lang.say("worked on {part}", part=_part(work, lang))
    if did == "bake" and work.hours:
        return lang.say(
            "dried {part} in the oven for {hours} hours", part=_part(work, lang), hours=work.hours
        )
    came = (did, work.came or "")
    words = _CAME.get(came, _DID[did])
    if did in _OF_THE_BOARD:
        return lang.say(words, part=_part(work, lang))
    return lang.say(words, part=work.part or lang.say("part" if came in _KNOWN_PART else "a part"))


def _part(work: Work, lang: Language) -> str:
    return work.part or lang.say("the board")


_DID: Mapping[str, str] = {
    "inspect": phrase("inspected {part}"),
    "clean": phrase("cleaned {part}"),
    "remove": phrase("took off {part}"),
    "prepare": phrase("cleaned and prepared the place of {part}"),
    "fit": phrase("fitted {part}"),
    "swap": phrase("replaced {part}"),
    "reball": phrase("put new solder balls on {part}"),
    "reflow": phrase("reflowed the solder joints of {part}"),
    "rebuild-pads": phrase("rebuilt the pads under {part}"),
    "bake": phrase("dried {part} in the oven"),
    "thermal": phrase("replaced thermal pads and paste"),
}
"""What was done, by the kind of work."""

_CAME: Mapping[tuple[str, str], str] = {
    ("fit", "new"): phrase("fitted a new {part}"),
    ("fit", "same"): phrase("fitted the same {part} again"),
    ("fit", "donor"): phrase("fitted {part} from a donor board"),
    ("swap", "new"): phrase("replaced {part} by a new one"),
    ("swap", "donor"): phrase("replaced {part} by one from a donor board"),
    ("swap", "same"): phrase("replaced {part} and put it back"),
}
"""The same where it is known where the part came from."""

_KNOWN_PART = (("fit", "new"), ("fit", "same"))
"""Where words go before the part that say which one it is."""

_OF_THE_BOARD = ("inspect", "clean", "bake")
"""Work that is on the whole board where it names no part."""


def pad_words(pad: Pad, lang: Language = ENGLISH) -> str:
    """Say what was wrong with a pad and how it was repaired, with the procedure's name where that is certain."""
    words = lang.say(_DAMAGE.get(pad.damage or "", _DAMAGED), pad=_pad(pad, lang))
    how = "no-connect" if pad.repaired == "left-open" and pad.carries == "no-connect" else pad.repaired
    if how in _REPAIRED:
        words = lang.say(_REPAIRED[how], damage=words)
    elif not pad.of_package:
        words = lang.say("{damage} and is not repaired", damage=words)
    procedure = _procedure(pad)
    if procedure:
        words = lang.say("{repair} (as in IPC-7711/7721, {procedure})", repair=words, procedure=procedure)
    if pad.reads:
        return lang.say("{repair}; after that it measured {value}", repair=words, value=pad.reads)
    return words


def _pad(pad: Pad, lang: Language) -> str:
    """Name a pad; where its ball is not known, its part stands for it."""
    if not pad.ball:
        return pad.part or lang.say("a pad on the package" if pad.of_package else "a pad")
    if pad.part:
        words = _PAD_OF_PACKAGE if pad.of_package else _PAD_OF_PART
        return lang.say(words, ball=pad.ball, part=pad.part)
    return lang.say(_PAD_ON_PACKAGE if pad.of_package else _PAD, ball=pad.ball)


_PAD, _PAD_OF_PART = phrase("pad {ball}"), phrase("pad {ball} of {part}")
_PAD_ON_PACKAGE = phrase("pad {ball} on the package")
_PAD_OF_PACKAGE = phrase("pad {ball} on the package of {part}")

_DAMAGED = phrase("{pad} was damaged")
_DAMAGE = {
    "lifted": phrase("{pad} had lifted"),
    "torn-off": phrase("{pad} was torn off"),
    "mask-gone": phrase("{pad} had lost its cover"),
}
_REPAIRED = {
    "film": phrase("{damage} and was bonded with film"),
    "epoxy": phrase("{damage} and was bonded with epoxy"),
    "wire": phrase("{damage} and was replaced by a fine wire"),
    "no-connect": phrase("{damage} and was left as it is, because nothing runs over it"),
    "left-open": phrase("{damage} and was left open"),
}


def _procedure(pad: Pad) -> str:
    """Name the procedure for a pad of the board; "" where none is certain."""
    if not pad.ball or pad.of_package:
        return ""
    place = "grid" if _GRID.fullmatch(pad.ball) else "pad" if pad.ball.isdigit() else ""
    return _PROCEDURES.get((place, pad.damage or "", pad.repaired or ""), "")


def seen_words(seen: Seen, design: Design | None = None, lang: Language = ENGLISH) -> str:
    """Say what a check showed, and where the memory channels that failed are on boards of the design."""
    passed, where = passed_words(seen, design), failing_in(seen, design)
    good = lang.say("good: {passed}", passed=passed) if passed else ""
    failed = ", ".join(seen.failed)
    bad = lang.say("not good: {failed}", failed=f"{failed} ({lang.text(where)})" if where else failed)
    words = "; ".join(filter(None, (lang.own(seen.what), bad if failed else "", good)))
    # A log that filled nothing in could not be read: what the test found is not known.
    nothing = lang.say("no result noted") if seen.log else lang.say("nothing found")
    return "; ".join(filter(None, (lang.own(seen.check), words or nothing)))


def inject_words(inject: Inject, lang: Language = ENGLISH) -> str:
    """Say that a voltage was driven into a short."""
    words = lang.say(
        "a low voltage driven into {rail} to find the shorted part by its heat",
        rail=inject.rail or lang.say("the short"),
    )
    if inject.hottest:
        return lang.say("{injection}; {part} warmed up first", injection=words, part=inject.hottest)
    return words


def trial_words(
    trial: Trial, *, has_log: bool = False, lang: Language = ENGLISH
) -> tuple[str, str, str, str]:
    """Return what ran, for how long, under which conditions, and the result.

    Limits are among the conditions only if there is no log that they were checked against.
    """
    conditions = [
        lang.say("{count} times", count=trial.repeats) if trial.repeats > 1 else "",
        lang.say("in {host}", host=trial.host) if trial.host else "",
        lang.say("powered by {supply}", supply=trial.supply) if trial.supply else "",
        lang.say("driver {driver}", driver=trial.driver) if trial.driver else "",
        lang.say("room at {temperature}", temperature=trial.ambient) if trial.ambient else "",
        lang.say("from cold") if trial.cold_start else "",
        "" if has_log else unchecked_limits(trial, lang),
    ]
    minutes = lang.say("{minutes} min", minutes=trial.minutes) if trial.minutes else ""
    result = lang.say(_ENDED.get(trial.result or "", ""))
    return lang.own(trial.run), minutes, ", ".join(filter(None, conditions)), result


_ENDED = {"pass": phrase("passed"), "fail": phrase("failed"), "stopped": phrase("stopped early")}


def source_words(used: Used, lang: Language = ENGLISH) -> str:
    """Say where a part came from."""
    return lang.say(_SOURCES.get(used.source or "stock", _DONOR))


_SOURCES = {
    "stock": phrase("our stock"),
    "bought": phrase("bought for this board"),
    "client": phrase("yours"),
}
_DONOR = phrase("a donor board")
