"""The entries of a job in words for a client who does not know electronics."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal

from jobkit.jobs.design import Design
from jobkit.jobs.entries import Inject, Pad, Seen, Trial, Used, Work
from jobkit.pages.client.load_logs import unchecked_limits
from jobkit.pages.words import listed
from jobkit.reckon.memory.failing_channels import failing_in, passed_words
from jobkit.reckon.readings.limits import Judged
from jobkit.units.quantity import Quantity

_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip

KINDS = {
    "resistance": "Resistance, in ohm (Ω), is read with the board switched off. Far too little of it on a supply line "
    "means a short circuit.",
    "diode": "Diode mode sends a small current through a line and reads the drop in volt (V); it shows whether "
    "the line is whole.",
    "voltage": "Voltage, in volt (V), is read with the board switched on.",
    "current": "Current, in ampere (A), is what the board draws.",
    "power": "Power, in watt (W), is what the board uses.",
    "temperature": "Temperature is in degrees Celsius (°C).",
    "ripple": "Ripple, in volt (V), is the electrical noise on a supply line, from peak to peak.",
    "capacitance": "Capacitance, in farad (F), is what a capacitor holds.",
    "inductance": "Inductance, in henry (H), is the value of a coil.",
    "frequency": "Frequency, in hertz (Hz), is a clock frequency.",
    "fan speed": "Fan speed is in revolutions per minute (rpm).",
    "frame rate": "Frame rate is the number of pictures drawn in a second (fps).",
}
"""What each kind of reading is, in a sentence."""

VERDICTS = {
    "in": "within the limit",
    "out": "outside the limit",
    "near": "too near to the limit for the meter to tell",
}
"""A verdict in words."""

# IPC-7711/7721 revision C, names of procedures from a copy. A ball that is named by row and column, as the grids of
# ball packages are (JEDEC JEP95), sits on a ball pad; a number alone is the pad of another surface-mounted part.
_GRID = re.compile(r"[A-Z]{1,2}[0-9]{1,2}")
_PROCEDURES = {
    ("grid", "torn-off", "film"): "4.7.3, pad of a ball grid, with film",
    ("grid", "lifted", "film"): "4.7.3, pad of a ball grid, with film",
    ("pad", "lifted", "epoxy"): "4.5.1, lifted land, with epoxy",
    ("pad", "lifted", "film"): "4.5.2, lifted land, with film",
    ("pad", "torn-off", "epoxy"): "4.7.1, surface-mount pad, with epoxy",
    ("pad", "torn-off", "film"): "4.7.2, surface-mount pad, with film",
}


def long_day(day: date) -> str:
    """Say a date in full.

    >>> long_day(date(2026, 10, 26))
    '26 October 2026'
    """
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def work_words(work: Work) -> str:
    """Say what was done."""
    say = _DID.get(work.did or "", _other)
    words = say(work)
    with_what = f" ({work.what})" if work.what and work.what not in words else ""
    solder = f", with {work.alloy} solder" if work.alloy and work.did != "remove" else ""
    return f"{words}{with_what}{solder}"


def _part(work: Work) -> str:
    return work.part or "the board"


def _fitted(work: Work) -> str:
    how = {
        "new": f"fitted a new {work.part or 'part'}",
        "same": f"fitted the same {work.part or 'part'} again",
        "donor": f"fitted {work.part or 'a part'} from a donor board",
    }
    return how.get(work.came or "", f"fitted {work.part or 'a part'}")


def _swapped(work: Work) -> str:
    how = {"new": " by a new one", "donor": " by one from a donor board", "same": " and put it back"}
    return f"replaced {work.part or 'a part'}{how.get(work.came or '', '')}"


def _baked(work: Work) -> str:
    hours = f" for {_number(work.hours)} hours" if work.hours else ""
    return f"dried {_part(work)} in the oven{hours}"


def _named(verb: str) -> Callable[[Work], str]:
    return lambda work: work.what if work.what and not work.part else f"{verb} {_part(work)}"


def _other(work: Work) -> str:
    return work.what or f"worked on {_part(work)}"


_DID: Mapping[str, Callable[[Work], str]] = {
    "inspect": _named("inspected"),
    "clean": _named("cleaned"),
    "remove": lambda work: f"took off {work.part or 'a part'}",
    "prepare": lambda work: f"cleaned and prepared the place of {work.part or 'a part'}",
    "fit": _fitted,
    "swap": _swapped,
    "reball": lambda work: f"put new solder balls on {work.part or 'a part'}",
    "reflow": lambda work: f"reflowed the solder joints of {work.part or 'a part'}",
    "rebuild-pads": lambda work: f"rebuilt the pads under {work.part or 'a part'}",
    "bake": _baked,
    "thermal": lambda _work: "replaced thermal pads and paste",
    "other": _other,
}


def pad_words(pad: Pad) -> str:
    """Say what was wrong with a pad and how it was repaired, with the procedure's name where that is certain."""
    side = " on the package" if pad.of_package else ""
    where = " of ".join(filter(None, (pad.ball and f"pad {pad.ball}{side}", pad.part))) or f"a pad{side}"
    damage = {"lifted": "had lifted", "torn-off": "was torn off", "mask-gone": "had lost its cover"}
    words = f"{where} {damage.get(pad.damage or '', 'was damaged')}"
    repaired = {
        "film": "was bonded with film",
        "epoxy": "was bonded with epoxy",
        "wire": "was replaced by a fine wire",
        "left-open": "was left as it is, because nothing runs over it"
        if pad.carries == "no-connect"
        else "was left open",
    }
    if pad.repaired in repaired:
        words += f" and {repaired[pad.repaired]}"
    elif not pad.of_package:
        words += " and is not repaired"
    procedure = _procedure(pad)
    words += f" (as in IPC-7711/7721, {procedure})" if procedure else ""
    return words + (f"; after that it measured {pad.reads.text}" if pad.reads else "")


def _procedure(pad: Pad) -> str:
    """Name the procedure for a pad of the board; "" where none is certain."""
    if not pad.ball or pad.of_package:
        return ""
    place = "grid" if _GRID.fullmatch(pad.ball) else "pad" if pad.ball.isdigit() else ""
    return _PROCEDURES.get((place, pad.damage or "", pad.repaired or ""), "")


def seen_words(seen: Seen, design: Design | None = None) -> str:
    """Say what a check showed, and where the memory channels that failed are on boards of the design."""
    passed, where = passed_words(seen, design), failing_in(seen, design)
    good = f"good: {passed}" if passed else ""
    bad = f"not good: {', '.join(seen.failed)}{f' ({where})' if where else ''}" if seen.failed else ""
    words = "; ".join(filter(None, (seen.what, bad, good))) or "nothing found"
    return f"{seen.check}; {words}" if seen.check else words


def inject_words(inject: Inject) -> str:
    """Say that a voltage was driven into a short."""
    hottest = f"; {inject.hottest} warmed up first" if inject.hottest else ""
    return f"a low voltage driven into {inject.rail or 'the short'} to find the shorted part by its heat{hottest}"


def trial_words(trial: Trial, *, has_log: bool = False) -> tuple[str, str, str, str]:
    """Return what ran, for how long, under which conditions, and the result.

    Limits are among the conditions only if there is no log that they were checked against.
    """
    ended = {"pass": "passed", "fail": "failed", "stopped": "stopped early"}
    conditions = [
        f"{_number(trial.repeats)} times" if trial.repeats > 1 else "",
        f"in {trial.host}" if trial.host else "",
        f"powered by {trial.supply}" if trial.supply else "",
        f"driver {trial.driver}" if trial.driver else "",
        f"room at {trial.ambient.text}" if trial.ambient else "",
        "from cold" if trial.cold_start else "",
        "" if has_log else unchecked_limits(trial),
    ]
    minutes = f"{_number(trial.minutes)} min" if trial.minutes else ""
    return trial.run or "", minutes, ", ".join(filter(None, conditions)), ended.get(trial.result or "", "")


def reading_words(judged: Judged | None) -> str:
    """Return a reading with its uncertainty and its verdict; an empty text where there is no reading."""
    if judged is None or judged.reading.value is None:
        return ""
    value: Quantity = judged.corrected.value if judged.corrected else judged.reading.value
    doubt = (
        f" ± {judged.corrected.uncertainty.text}" if judged.corrected and judged.corrected.uncertainty else ""
    )
    text = "open" if value.open else value.text
    return listed(f"{text}{doubt}", VERDICTS[judged.verdict.word] if judged.verdict else "")


def source_words(used: Used) -> str:
    """Say where a part came from."""
    known = {"stock": "our stock", "": "our stock", "bought": "bought for this board", "client": "yours"}
    return known.get(used.source or "", "a donor board")


def _number(value: Decimal) -> str:
    return f"{value.normalize():f}"
