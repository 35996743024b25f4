"""General causes of a kind of board, for boards without a board file.

Weights and probabilities only put them in order, and are shown nowhere: they are common practice, no source.
"""

from __future__ import annotations

from decimal import Decimal

from jobkit.jobs.design import Check
from jobkit.reckon.suspects.candidates import Candidate

_ANY = (
    Candidate(
        "a shorted part on a supply rail",
        None,
        4,
        {"supply resistance": 0.9, "on the bus": 0.8, "picture": 0.9},
        "kind",
    ),
    Candidate(
        "a burnt, bent or dirty connector",
        None,
        3,
        {"eye": 0.7, "on the bus": 0.4, "picture": 0.4, "load run": 0.3},
        "kind",
    ),
    Candidate(
        "a rail that does not come up: its controller or enable",
        None,
        3,
        {"rail voltages": 0.9, "on the bus": 0.8, "picture": 0.9},
        "kind",
    ),
    Candidate(
        "damage by liquid or a fall",
        None,
        2,
        {"eye": 0.8, "supply resistance": 0.3, "picture": 0.5, "on the bus": 0.3},
        "kind",
    ),
    Candidate("firmware", None, 1, {"picture": 0.9, "on the bus": 0.2}, "kind"),
    Candidate("cooling: fan, paste or pads", None, 2, {"load run": 0.9, "fans": 0.4}, "kind"),
)

_GRAPHICS = (
    Candidate(
        "a memory package or its joints",
        None,
        4,
        {"memory test": 0.9, "picture": 0.4, "load run": 0.6, "picture from the processor's own output": 0.2},
        "kind",
    ),
    Candidate(
        "the processor or its joints",
        None,
        2,
        {
            "picture": 0.7,
            "memory test": 0.5,
            "on the bus": 0.6,
            "load run": 0.4,
            "picture from the processor's own output": 0.8,
        },
        "kind",
    ),
    Candidate(
        "an output connector or its line parts", None, 1, {"picture": 0.5, "every output": 0.9}, "kind"
    ),
)


def general_candidates(kind: str | None) -> tuple[Candidate, ...]:
    """Return the general causes of a kind of board."""
    return (*_ANY, *_GRAPHICS) if kind == "graphics card" else _ANY


_CHECKS = (
    Check(
        (),
        "eye",
        Decimal(10),
        "cold",
        how="both sides at 10 to 20 times: cracks, scorch marks, residue, bent pins",
    ),
    Check(
        (),
        "supply resistance",
        Decimal(5),
        "cold",
        how="each rail to ground at its coil; compare with a board of the same design",
    ),
    Check(
        (),
        "rail voltages",
        Decimal(10),
        "powered",
        how="each rail at its coil, the supply's current limit set",
    ),
    Check(
        (), "on the bus", Decimal(2), "powered", how="list the bus from a live system and look for the board"
    ),
    Check((), "picture", Decimal(5), "powered"),
    Check((), "load run", Decimal(35), "powered"),
)

_GRAPHICS_CHECKS = (
    Check((), "every output", Decimal(5), "powered", how="the same picture at each connector in turn"),
    Check((), "memory test", Decimal(10), "powered"),
    Check(
        (),
        "picture from the processor's own output",
        Decimal(10),
        "powered",
        how="put a picture out by another board, and calculate on this one",
    ),
)


def general_checks(kind: str | None) -> tuple[Check, ...]:
    """Return the checks that can be made on any board of a kind."""
    return (*_CHECKS, *_GRAPHICS_CHECKS) if kind == "graphics card" else _CHECKS
