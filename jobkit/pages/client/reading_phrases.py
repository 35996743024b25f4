"""Readings in words for a client who does not know electronics: where, what, how it was, and what that is."""

from __future__ import annotations

from jobkit.jobs.entries import Reading
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.pages.words import listed
from jobkit.reckon.readings.limits import Judged
from jobkit.units.phrase import phrase
from jobkit.units.quantity import Quantity

KINDS = {
    "resistance": phrase(
        "Resistance, in ohm (Ω), is read with the board switched off. Far too little of it on a supply line "
        "means a short circuit."
    ),
    "diode": phrase(
        "Diode mode sends a small current through a line and reads the drop in volt (V); it shows whether "
        "the line is whole."
    ),
    "voltage": phrase("Voltage, in volt (V), is read with the board switched on."),
    "current": phrase("Current, in ampere (A), is what the board draws."),
    "power": phrase("Power, in watt (W), is what the board uses."),
    "temperature": phrase("Temperature is in degrees Celsius (°C)."),
    "ripple": phrase("Ripple, in volt (V), is the electrical noise on a supply line, from peak to peak."),
    "capacitance": phrase("Capacitance, in farad (F), is what a capacitor holds."),
    "inductance": phrase("Inductance, in henry (H), is the value of a coil."),
    "frequency": phrase("Frequency, in hertz (Hz), is a clock frequency."),
    "fan speed": phrase("Fan speed is in revolutions per minute (rpm)."),
    "frame rate": phrase("Frame rate is the number of pictures drawn in a second (fps)."),
}
"""What each kind of reading is, in a sentence."""

VERDICTS = {
    "in": phrase("within the limit"),
    "out": phrase("outside the limit"),
    "near": phrase("too near to the limit for the meter to tell"),
}
"""A verdict in words."""


def reading_words(judged: Judged | None, lang: Language = ENGLISH) -> str:
    """Return a reading with its uncertainty and its verdict; an empty text where there is no reading."""
    if judged is None or judged.reading.value is None:
        return ""
    value: Quantity = judged.corrected.value if judged.corrected else judged.reading.value
    doubt = (
        f" ± {judged.corrected.uncertainty.text}" if judged.corrected and judged.corrected.uncertainty else ""
    )
    text = lang.say("open") if value.open else value.text
    verdict = lang.say(VERDICTS[judged.verdict.word]) if judged.verdict else ""
    return listed(lang.figure(f"{text}{doubt}"), verdict)


BEFORE, AFTER = phrase("as it came"), phrase("at the end")
"""The two stages whose readings a paper compares."""


def point_words(reading: Reading, lang: Language = ENGLISH) -> str:
    """Name the place of a reading, and the other end where that is not ground."""
    if reading.to:
        return lang.say("{point} to {other}", point=reading.point, other=reading.to)
    return reading.point or ""


def strip_label(reading: Reading, lang: Language = ENGLISH) -> str:
    """Name a reading over its drawing."""
    other = lang.say("to {other}", other=reading.to) if reading.to else ""
    return listed(reading.point, other, manner_words(reading, lang))


def manner_words(reading: Reading, lang: Language = ENGLISH) -> str:
    """Say what was read, and in which state of the board."""
    return listed(
        lang.say(_MEASURED.get(reading.kind or "", "")), lang.say(_STATES.get(reading.state or "", ""))
    )


_MEASURED = {
    "resistance": phrase("resistance"),
    "diode": phrase("diode"),
    "voltage": phrase("voltage"),
    "current": phrase("current"),
    "power": phrase("power"),
    "temperature": phrase("temperature"),
    "ripple": phrase("ripple"),
    "capacitance": phrase("capacitance"),
    "inductance": phrase("inductance"),
    "frequency": phrase("frequency"),
    "fan speed": phrase("fan speed"),
    "frame rate": phrase("frame rate"),
}
_STATES = {"cold": phrase("cold"), "warm": phrase("warm"), "powered": phrase("powered")}
