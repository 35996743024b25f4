"""What good boards of a design reach under load, so that a dry pad or a lazy fan shows before it does harm.

Learned from the last loaded run that each good board passed and that has a log: the settled rise over the room, which
leaves the weather out, °C per watt, and the time constant, sensor by sensor.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from jobkit.book.logs.trouble import LogTrouble
from jobkit.book.read.watch import Watch, unwatched, watched
from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.job_folder import attachment_path
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.load_run.ambient import ambient_of, is_room, per_watt
from jobkit.reckon.load_run.run import Run, plain_name
from jobkit.reckon.load_run.trial import run_reader
from jobkit.reckon.readings.good_boards import good_jobs, same_board
from jobkit.reckon.readings.usual import CONFIDENCE, CONTENT, FEWEST
from jobkit.reckon.statistics.moments import SampleStatistics, moments
from jobkit.reckon.statistics.series import exactly
from jobkit.reckon.statistics.tolerance import ToleranceInterval, range_confidence, tolerance_interval
from jobkit.units.exact import EXACT
from jobkit.units.quantity import Quantity, parse_quantity

RISE, PER_WATT, TIME_CONSTANT = "rise over the room", "rise per watt", "time constant"
UNITS = {RISE: "°C", PER_WATT: "°C/W", TIME_CONSTANT: "s"}
"""The figures that are learned of each temperature, and their units."""


class UsualUnderLoad(NamedTuple):
    """One figure of one sensor: what each good board reached, by job, and what follows from that."""

    sensor: str
    figure: str
    reached: tuple[tuple[str, Decimal], ...]
    moments: SampleStatistics
    interval: ToleranceInterval | None
    range_confidence: float

    @property
    def unit(self) -> str:
        """The unit of the figure."""
        return UNITS[self.figure]

    @property
    def low(self) -> Decimal:
        """What good boards reach at least: the lower end of the interval or of the range seen."""
        return min(self.moments.lowest, self.interval.low) if self.interval else self.moments.lowest

    @property
    def high(self) -> Decimal:
        """What good boards reach at most: the upper end of the interval or of the range seen."""
        return max(self.moments.highest, self.interval.high) if self.interval else self.moments.highest


class AgainstUsual(NamedTuple):
    """A figure of a run against that of good boards; `at_least` where the sensor was still rising.

    `stands` is high, low or usual; "" where there are too few boards to say, or where a rise is not over yet.
    """

    usual: UsualUnderLoad
    value: Decimal
    at_least: bool
    stands: str

    @property
    def beyond(self) -> Decimal:
        """How far the value is above or below what good boards reach; 0 where it is within."""
        if self.stands == "high":
            return EXACT.subtract(self.value, self.usual.high)
        return EXACT.subtract(self.usual.low, self.value) if self.stands == "low" else Decimal(0)


def usual_under_load(
    design: str,
    facts: Iterable[Facts],
    bench: Bench,
    but: Facts | None = None,
    watch: Watch = unwatched,
) -> tuple[UsualUnderLoad, ...]:
    """Learn what good boards of a design reach; `but` is a job whose board does not count."""
    jobs, _ = good_jobs(design, facts)
    gathered: dict[tuple[str, str], list[tuple[str, Decimal]]] = {}
    for one in watched(jobs, watch, "reading load logs"):
        if but is None or not same_board(one, but):
            for sensor, figure, value in _reached(one, bench):
                gathered.setdefault((sensor, figure), []).append((one.id, value))
    return tuple(_learned(*key, reached) for key, reached in gathered.items())


def against_usual_load(
    run: Run, room: Quantity | None, learned: Sequence[UsualUnderLoad]
) -> tuple[AgainstUsual, ...]:
    """Set a run against what good boards of its design reach."""
    figures = {(sensor, figure): (value, False) for sensor, figure, value in figures_of(run, room)}
    for sensor, value in _still_rising(run, room):
        figures[sensor, RISE] = value, True
    return tuple(
        AgainstUsual(one, value, at_least, _stands(value, one, at_least=at_least))
        for one in learned
        if (found := figures.get((one.sensor, one.figure)))
        for value, at_least in (found,)
    )


def figures_of(run: Run, room: Quantity | None) -> Iterator[tuple[str, str, Decimal]]:
    """Yield sensor, figure and value of all that a run tells of its temperatures."""
    place = ambient_of(run, room)
    for sensor in run.measuring("temperature"):
        name = plain_name(sensor.name)
        if is_room(sensor):
            continue
        if place is not None and sensor.settled is not None:
            yield name, RISE, EXACT.subtract(exactly(sensor.settled), place.value)
            watts = per_watt(run, sensor, place)
            if watts is not None:
                yield name, PER_WATT, watts
        if sensor.time_constant is not None:
            yield name, TIME_CONSTANT, exactly(sensor.time_constant)


def _still_rising(run: Run, room: Quantity | None) -> Iterator[tuple[str, Decimal]]:
    """Yield the rise so far of sensors that have not settled."""
    place = ambient_of(run, room)
    for sensor in run.measuring("temperature") if place else ():
        if place and sensor.settled is None and not is_room(sensor):
            yield plain_name(sensor.name), EXACT.subtract(exactly(sensor.highest), place.value)


def _reached(one: Facts, bench: Bench) -> Iterator[tuple[str, str, Decimal]]:
    """Yield the figures of the last loaded run that a job's board passed."""
    for trial in reversed([row for row in one.trials if row.log and row.result == "pass"]):
        found = bench.contents.made_of(attachment_path(one.path, trial.log), run_reader(bench))
        if found is not None and not isinstance(found, LogTrouble):
            room = parse_quantity(trial.ambient, "temperature") if trial.ambient else None
            yield from figures_of(found, room)
            return


def _learned(sensor: str, figure: str, reached: list[tuple[str, Decimal]]) -> UsualUnderLoad:
    described = moments(value for _, value in reached)
    enough = len(reached) >= FEWEST and described.sd
    return UsualUnderLoad(
        sensor,
        figure,
        tuple(reached),
        described,
        tolerance_interval(described, CONTENT, CONFIDENCE) if enough else None,
        range_confidence(len(reached), CONTENT, 2),
    )


def _stands(value: Decimal, learned: UsualUnderLoad, *, at_least: bool) -> str:
    if len(learned.reached) < FEWEST:
        return ""
    if value > learned.high:
        return "high"
    if at_least:
        return ""
    return "low" if value < learned.low else "usual"
