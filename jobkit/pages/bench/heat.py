"""The log of a heating on a page: the verdict, a drawing, what each thermocouple showed, and every check."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jobkit.jobs.cautions import DRY, HOT_AIR, HOT_BOARD
from jobkit.jobs.log_day import is_of_another_day
from jobkit.pages.bench.heat_data import HeatView, heat_data
from jobkit.pages.blocks import Answer, Block, Curves, Drawing, Line, Pairs, Table, Title, filled
from jobkit.pages.cautions import caution_sentence
from jobkit.pages.client.heat_curves import ABOUT, thermocouple_curve
from jobkit.pages.forms.line_chart import MARKS, line_chart
from jobkit.pages.forms.load_figures import clock_time
from jobkit.pages.words import counted, listed
from jobkit.reckon.heat.figures import Ramp
from jobkit.reckon.heat.probe import JOINT
from jobkit.reckon.heat.profile_check import MAKES_JOINTS, Check, worst_of
from jobkit.reckon.heat.solder import LEAD_FREE_MELTS
from jobkit.reckon.heat.summary import ColumnSummary

_UNCHECKED = "not checked"
_COLUMN_HEADS = ("", "column", "place", "peak", "at", "melted", "below hottest")
_RAMP_HEADS = ("column", "ramp up", "at", "ramp down", "at", "preheat")
_CHECK_HEADS = ("place", "figure", "value", "limit", "verdict", "remark")

CAUTION = f"The thermocouple shows its own spot alone. {caution_sentence((HOT_AIR, HOT_BOARD, DRY))}"


def heat_page(view: HeatView) -> Answer:
    """Show a heating."""
    return Answer([*_blocks(view)], heat_data(view))


def _blocks(view: HeatView) -> Iterator[Block]:
    yield Title(f"Heating {view.name}", 1)
    yield Line(f"{verdict_sentence(view.checks)}.")
    yield Pairs(tuple(_about(view)))
    if view.curves:
        yield Drawing(line_chart([curve for _, curve in view.curves], _levels(view)), _picture(view))
    if view.summaries:
        rows = [_column_row(view, one) for one in view.summaries]
        yield filled(Table(_COLUMN_HEADS, rows, right=("peak", "at", "below hottest")))
        yield filled(Table(_RAMP_HEADS, [_ramp_row(one) for one in view.summaries], right=_RAMP_HEADS[1:]))
    if view.checks:
        yield Title("Checks")
        yield filled(Table(_CHECK_HEADS, [_check_row(one) for one in view.checks], right=("value",)))
        if any(one.source for one in view.checks):
            yield Title("From where the limits are")
            yield _sources(view.checks)
    yield from (Line(f"{remark}.") for remark in remarks(view))
    yield Line(CAUTION)


def verdict_sentence(checks: tuple[Check, ...]) -> str:
    """Say the verdict for a whole log, and what it is for if it is not in.

    >>> verdict_sentence(())
    'Not checked: no thermocouple was where a limit is known'
    """
    worst = worst_of(checks)
    if not checks:
        return "Not checked: no thermocouple was where a limit is known"
    if worst == "in":
        return f"In: {counted(len(checks), 'check')}, each inside its limit"
    told = "; ".join(dict.fromkeys(_told(check) for check in checks if check.word == worst))
    return f"{worst.capitalize() or 'Not checked'}: {told}"


def remarks(view: HeatView) -> Iterator[str]:
    """Say what the log leaves open: who had no thermocouple, what was left out, what was guessed."""
    places = {(one.probe.part, one.probe.where) for one in view.columns}
    if view.part and view.did in MAKES_JOINTS and (view.part, JOINT) not in places:
        yield f"No thermocouple at a joint of {view.part}: whether its solder melted is not checked"
    parts = {one.probe.part for one in view.columns}
    without = [part for part in view.near if part not in parts]
    if without:
        yield f"Heated along without a thermocouple, so it is not known whether they melted: {listed(*without)}"
    if view.missing:
        yield f"Columns that probe names and the log has not: {listed(*view.missing)}"
    begun = view.heating.begun
    if is_of_another_day(begun, view.heating.seconds, view.at):
        yield f"The log was begun on {begun:%Y-%m-%d}, and the work on {view.at:%Y-%m-%d}: it may be another log"
    for one in view.columns:
        for note in one.measured.notes:
            yield f"{one.probe.column}: {note}"
    if view.heating.notes:
        yield f"Notes on the log: {'; '.join(view.heating.notes)}"


def _about(view: HeatView) -> Iterator[tuple[str, str]]:
    heating = view.heating
    yield "of", view.source
    yield "heated", f"{view.did} {view.part}".strip() if view.part else ""
    yield "solder", view.solder
    yield "heated along", listed(*view.near)
    yield "rows", f"{heating.rows} in {clock_time(heating.seconds)}, one each {heating.interval:g} s"
    yield (
        "ramps",
        f"over {view.window:g} s"
        + (f" ({2 * heating.interval:g} s, as the rows are)" if 2 * heating.interval > view.window else ""),
    )


def _levels(view: HeatView) -> dict[float, str]:
    """Give the lines to be drawn across: where the solder melts."""
    melts = {float(one.melts) for one in view.summaries} or {float(LEAD_FREE_MELTS)}
    return {level: f"melts {level:.0f}" for level in sorted(melts)}


def _picture(view: HeatView) -> Curves:
    curves = [thermocouple_curve(one, view.checks, _label(view, one)) for one in view.summaries]
    return Curves(ABOUT, curves, is_one_scale=True)


def _label(view: HeatView, one: ColumnSummary) -> str:
    return f"{_mark(view, one)} {one.place.probe.column}: {one.place.probe.place}".strip()


def _mark(view: HeatView, one: ColumnSummary) -> str:
    names = [name for name, _ in view.curves]
    column = one.place.probe.column
    return MARKS[names.index(column) % len(MARKS)] if column in names else ""


def _column_row(view: HeatView, one: ColumnSummary) -> tuple[str, ...]:
    measured, probe = one.place.measured, one.place.probe
    return (
        _mark(view, one),
        probe.column,
        probe.place,
        f"{measured.peak:.1f} °C",
        f"{measured.peak_at:.0f} s",
        _melted(one),
        f"{one.below_hottest:.0f} °C" if one.below_hottest is not None else "",
    )


def _ramp_row(one: ColumnSummary) -> tuple[str, ...]:
    measured = one.place.measured
    return (
        one.place.probe.column,
        *_ramp_words(measured.up),
        *_ramp_words(measured.down),
        f"{one.preheat:.0f} s",
    )


def _ramp_words(ramp: Ramp | None) -> tuple[str, str]:
    # max(0.0, -0.0) is the first of them, and would be shown with a minus were it the other.
    return (f"{max(0.0, ramp.rate):.2f} °C/s", f"{ramp.at:.0f} s") if ramp else ("", "")


def _melted(one: ColumnSummary) -> str:
    """Say when the solder under a thermocouple was above where it begins to melt."""
    if one.crossed_at is None:
        return f"no, below {one.melts} °C"
    times = f", {one.heatings} times" if one.heatings > 1 else ""
    return f"at {one.crossed_at:.0f} s for {one.seconds_above:.0f} s{times}"


def _check_row(check: Check) -> tuple[str, ...]:
    value = check.value.text if check.value else ""
    trust = check.verdict.uncertainty if check.verdict else None
    if trust:
        value += f" ± {trust.text}"
    limit = check.limit.text if check.limit else ""
    return check.place, check.name, value, limit, check.word or _UNCHECKED, check.why


def _sources(checks: Sequence[Check]) -> Table:
    """Say from where the limits are."""
    by_source: dict[str, list[str]] = {}
    for check in checks:
        if check.source:
            by_source.setdefault(check.source, []).append(f"{check.name} ({check.place})")
    rows = [(listed(*dict.fromkeys(names)), source) for source, names in by_source.items()]
    return Table(("limits of", "are from"), rows)


def _told(check: Check) -> str:
    if not check.verdict or check.value is None or check.limit is None:
        return f"{_where(check)}: {check.why}"
    return f"{check.place} {check.name} {check.value.text}, limit {check.limit.text}"


def _where(check: Check) -> str:
    """Name a column with its place, or the one of them that is known."""
    if not check.column:
        return check.place
    return check.column if check.place == check.why else f"{check.column} ({check.place})"
