"""The bench's settings: contradictions, and unknown names."""

from __future__ import annotations

import re
from collections.abc import Iterator

from jobkit.jobs.bench import Bench
from jobkit.jobs.duration import Duration
from jobkit.jobs.finding import Place
from jobkit.jobs.in_force import latest
from jobkit.jobs.renamed import RULES as OLD_RULES
from jobkit.jobs.renamed import renamed
from jobkit.jobs.settings import Lint, Settings, WarrantyHabit
from jobkit.lint.registry import RULES, Found, FoundIn, own_look, own_rule
from jobkit.lint.rules.nearest import suggest

_FILE = "bench.toml"
_LETTER = re.compile("[A-Z]")
_SHOWN = 8
"""So many names are enough to see what is meant."""


@own_rule("error")
def settings_clash(bench: Bench) -> Iterator[FoundIn]:
    """Two settings contradict each other.

    What it finds: in bench.toml, a rule in two lists of [lint], or a rule whose level cannot be changed (schema,
    id-twice); `letters` without the bench's own `letter`, or with what is not a capital letter; an hourly rate or
    `cash_rounding` in another currency than the bench's; a reminder that comes longer before the end of the warranty
    than the warranty lasts. In stock.toml, a `reorder_to` that is not above `reorder_at`.

    Why it matters: only one of the two can apply, and it is not clear which was meant.

    How to fix: remove one of the two.

    Example: `off = ["limit-missing"]` with `error = ["limit-missing"]`.
    """
    settings = bench.settings
    for found in (
        *_moved_twice(settings.lint),
        *_letters(settings),
        *_currencies(settings),
        *_reminders(settings),
    ):
        yield FoundIn(_FILE, found)


@own_look("settings-clash")
def reorder_clash(bench: Bench) -> Iterator[FoundIn]:
    """Look at the reorder levels of the stock."""
    for item in bench.stock.values():
        if item.reorder_at is not None and item.reorder_to is not None and item.reorder_to <= item.reorder_at:
            message = f"{item.name} is to be ordered again at once: reorder_to is not above reorder_at"
            place: Place = (*item.path, "reorder_to")
            yield FoundIn("stock.toml", Found(place, item.name, message, "write a higher reorder_to"))


def _letters(settings: Settings) -> Iterator[Found]:
    for letter in settings.letters:
        if not _LETTER.fullmatch(letter):
            message = f'"{letter}" in letters is not a capital letter'
            yield Found(("bench", "letters", letter), letter, message, "write one capital letter, such as K")
    if settings.letters and settings.letter not in settings.letters:
        message = f"letters does not have {settings.letter}, the letter of the bench"
        mend = f'add it to letters, as in {settings.letter} = "ida"'
        yield Found(("bench", "letters"), "letters", message, mend)


def _moved_twice(lint: Lint) -> Iterator[Found]:
    first: dict[str, str] = {}
    for place, key, name in _named_rules(lint):
        if name in RULES and not RULES[name].waivable:
            yield Found(
                place, name, f"the level of {name} cannot be changed, so remove it from {key}", "remove it"
            )
        elif name in first:
            message = f"{name} is in {key} and in {first[name]}"
            yield Found(place, name, message, "name a rule in one list only")
        first.setdefault(name, key)


def _named_rules(lint: Lint) -> Iterator[tuple[Place, str, str]]:
    for key, names in lint._asdict().items():
        for index, name in enumerate(names):
            yield ("lint", key, index), key, name


def _currencies(settings: Settings) -> Iterator[Found]:
    # A history is in one currency, or else it could not be read.
    rate = latest(settings.rate)
    if rate and settings.currency and rate.currency != settings.currency:
        message = f"the rate is in {rate.currency}, and the currency of the bench is {settings.currency}"
        yield Found(("bench", "rate"), "rate", message, f"write the rate in {settings.currency}")
    step = settings.cash_rounding
    if step and settings.currency and step.currency != settings.currency:
        message = f"cash_rounding is in {step.currency}, and the currency of the bench is {settings.currency}"
        yield Found(("bench", "cash_rounding"), "cash_rounding", message, f"write it in {settings.currency}")


def _reminders(settings: Settings) -> Iterator[Found]:
    for number, habit in enumerate(settings.warranty):
        yield from _reminders_of(
            habit, ("warranty",) if len(settings.warranty) == 1 else ("warranty", number)
        )


def _reminders_of(habit: WarrantyHabit, place: Place) -> Iterator[Found]:
    duration = habit.duration
    for index, ahead in enumerate(habit.remind):
        if duration and _days(ahead) > _days(duration) + 1:
            message = f"a reminder {ahead} before the end of a warranty of {duration}"
            yield Found((*place, "remind", index), "remind", message, f"remind less than {duration} before")


def _days(span: Duration) -> float:
    """Count the days of a duration, a month as the mean one of the calendar: 146097 days in 4800 months."""
    return span.months * 146097 / 4800 + span.days


@own_rule("error")
def rule_unknown(bench: Bench) -> Iterator[FoundIn]:
    """bench.toml names an unknown rule.

    What it finds: a name in `off`, `note`, `warn` or `error` under [lint] in bench.toml that is not a rule.

    Why it matters: the rule that was meant keeps its level.

    How to fix: correct the name (`jobkit rules` lists them), or remove it.

    Example: `off = ["limits-missing"]`.
    """
    for place, _, name in _named_rules(bench.settings.lint):
        if name not in RULES:
            mend = renamed(name, OLD_RULES, RULES) or suggest(name, RULES, "see `jobkit rules`")
            yield FoundIn(_FILE, Found(place, name, f"there is no rule {name}", mend))


@own_rule("warning")
def proof_point_unknown(bench: Bench) -> Iterator[FoundIn]:
    """The proof policy asks for a point that a design does not have.

    What it finds: a point under `cold_resistance` of [proof] in bench.toml that a board file of that kind, if it has
    any points, does not have.

    Why it matters: a board of that design can never be released.

    How to fix: correct the name, or add the point to the board file.

    Example: `cold_resistance = ["VCORE", "VMEN"]` where every graphics card has a VMEM.
    """
    for key, policy in bench.settings.proof.items():
        kind, *outcome = key.split(" / ")
        designs = [one for one in bench.designs.values() if one.kind == kind and one.points]
        for index, point in enumerate(policy.cold_resistance):
            lacking = [one for one in designs if one.point(point) is None]
            if lacking:
                message = f"{point} is not a point of {_some([design.name for design in lacking])}"
                mend = suggest(
                    point, lacking[0].point_names, "correct it, or add the point to the board file"
                )
                place: Place = ("proof", kind, *outcome, "cold_resistance", index)
                yield FoundIn(_FILE, Found(place, point, message, mend))


def _some(names: list[str]) -> str:
    more = f" and {len(names) - _SHOWN} others" if len(names) > _SHOWN else ""
    return f"{', '.join(names[:_SHOWN])}{more}"


@own_rule("error")
def zone_unknown(bench: Bench) -> Iterator[FoundIn]:
    """bench.toml names an unknown time zone.

    What it finds: `zone` in bench.toml that is not a name of the IANA time zone database.

    Why it matters: "today" is the day there; without it, dates depend on the clock of the machine.

    How to fix: write the name of the zone, a region and a city in most cases.

    Example: `zone = "Atlantic/Reykjavic"`.
    """
    # Needed by this rule alone, which runs once a call.
    from zoneinfo import ZoneInfo, available_timezones  # noqa: PLC0415

    zone = bench.settings.zone
    try:
        ZoneInfo(zone)
    except (OSError, ValueError, LookupError):
        mend = suggest(zone, available_timezones(), "write an IANA zone, such as Europe/Lisbon")
        yield FoundIn(_FILE, Found(("bench", "zone"), zone, f"there is no time zone {zone}", mend))
