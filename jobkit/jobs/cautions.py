"""The usual cautions, each in one place: what it says at the bench and to the client, and by which standard.

None of them is complete. Local rules and licensed practice come before all of them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from jobkit.jobs.job import Job
from jobkit.named_tuple import NamedTuple
from jobkit.units.phrase import phrase

PRACTICE = "common practice, no source"


class Caution(NamedTuple):
    """A caution by its name; `bench` or `client` is "" where it is not said there. `source` names the standard."""

    name: str
    bench: str = ""
    client: str = ""
    source: str = PRACTICE


STATIC = Caution(
    "static",
    "a spark too small to feel kills a board: wear the strap, and lay the board on a mat that leads charge away",
    phrase(
        "A spark too small to feel can kill a board. Touch bare earthed metal before you handle it, and hold it by "
        "its edges."
    ),
    "ANSI/ESD S20.20-2021, IEC 61340-5-1",
)
HOT_AIR = Caution(
    "hot air",
    "hot air burns, and flux and coatings give off fumes: eye protection, fume extraction, and no solvent "
    "vapour near the "
    "heat",
)
HOT_BOARD = Caution(
    "hot board", "a board fresh from the heat, or from a loaded run, burns: let it cool before you touch it"
)
LEAD = Caution(
    "lead",
    "old solder contains lead, and flux irritates: wash your hands, and keep food off the bench",
    phrase(
        "There is leaded solder on this board. Wash your hands after handling it, keep it away from children and food, "
        "and take it to electronic waste at the end of its life."
    ),
)
DRY = Caution(
    "dry",
    "a damp package cracks above 200 °C: bake board and package first, and count how often each was heated",
    source="J-STD-033",
)
REMOVAL_ALLOY = Caution(
    "removal alloy",
    "clean the site of all low-melt removal alloy before you fit: tin-bismuth melts at 138 °C",
)
OVEN = Caution(
    "oven",
    "lithium cells, fans and plastics do not go into the oven; a whole board is baked by its weakest part",
)
MAINS = Caution(
    "mains",
    "capacitors stay charged: switch off, discharge them and measure before you touch; leave mains inside "
    "supplies to those "
    "licensed for it",
    phrase(
        "Switch off, pull the mains plug and wait a few minutes before you fit the board: capacitors stay charged. "
        "Never open "
        "a power supply; there is mains inside."
    ),
)
FIRST_POWER = Caution(
    "first power",
    "power up first with a current limit, one hand at the switch, the probe insulated to its tip",
)
COOLER = Caution(
    "cooler",
    "no power with the cooler off, except for a brief, limited check",
    phrase(
        "Do not run the board with its cooler loose or off, not even for a moment, and let it cool down before you "
        "touch it."
    ),
)
FAN = Caution(
    "fan",
    "keep fingers, hair and cables away from turning fans",
    phrase("Keep fingers, hair and cables away from turning fans."),
)
INJECTION = Caution(
    "injection", "never inject more than the nominal voltage of the lowest rail that the current may reach"
)
SHINY = Caution(
    "shiny metal",
    "shiny metal misleads a thermal camera: cover it with matt tape, or look at it from another side",
)
HIGH_SIDE = Caution(
    "high side",
    "after a shorted high-side switch the supply voltage may have reached the processor: read its rail before "
    "you quote",
)
LITHIUM = Caution(
    "lithium",
    "do not short, crush, heat or charge a lithium cell",
    phrase(
        "The board has a lithium cell. Do not short, crush, heat or charge it, and do not throw it into household "
        "waste."
    ),
)
UNPROVED = Caution(
    "unproved",
    client=phrase(
        "This board is not repaired and not tested. Do not switch it on: a short on it can overload the supply, and "
        "parts can burst or burn."
    ),
)
AGAIN = Caution(
    "again",
    client=phrase(
        "We could not make the board fail, so it may fail again. If it does, stop using it, note what you "
        "were doing, "
        "and write to us before you open it."
    ),
)

CAUTIONS = {
    one.name: one
    for one in (
        STATIC, HOT_AIR, HOT_BOARD, LEAD, DRY, REMOVAL_ALLOY, OVEN, MAINS, FIRST_POWER, COOLER, FAN,
        INJECTION, SHINY, HIGH_SIDE, LITHIUM, UNPROVED, AGAIN,
    )
}  # fmt: skip
"""All cautions by name."""

BEFORE_SOLDERING = (STATIC, HOT_AIR, HOT_BOARD, LEAD, DRY)
BEFORE_INJECTION = (INJECTION, HIGH_SIDE, SHINY)
BEFORE_POWER = (FIRST_POWER, COOLER, MAINS, FAN)

LOCAL_RULES = "Local rules and licensed practice come first."

_FAN = re.compile(r"\bfans?\b", re.IGNORECASE)
_LITHIUM = re.compile(r"\b(lithium|battery|coin cell)\b", re.IGNORECASE)


def of_what_is_named(job: Job) -> Iterator[Caution]:
    """Yield the cautions on a fan and on a lithium cell where the words of a job name one."""
    words = " ".join(_words(job))
    if _FAN.search(words):
        yield FAN
    if _LITHIUM.search(words):
        yield LITHIUM


def _words(job: Job) -> Iterator[str]:
    """Collect what was said of the fault, the parts and the work."""
    yield from (job.title or "", job.intake.complaint or "", *job.intake.condition)
    if job.cause:
        yield from (job.cause.part or "", job.cause.fault or "")
    for work in job.work:
        yield from (work.part or "", work.what or "")
    yield from (used.item or "" for used in job.used)
