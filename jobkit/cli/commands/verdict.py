"""`jobkit verdict`: check one value against a limit, and say how sure that is."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, Format, Output, one_book
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.units.limit import Limit
    from jobkit.units.quantity import Quantity

app = plain_app()


@app.command()
def verdict(
    ctx: typer.Context,
    value: Annotated[str, typer.Argument(help='The value, such as "23.4 Ω".')],
    limit: Annotated[str, typer.Argument(help='The limit, such as "10 .. 30 Ω".')],
    kind: Annotated[str | None, typer.Option("--kind", metavar="KIND", help="The kind of reading.")] = None,
    meter: Annotated[
        str | None, typer.Option("--meter", metavar="NAME", help="The meter that showed it; needs a book.")
    ] = None,
    range_: Annotated[
        str | None,
        typer.Option(
            "--range",
            metavar="END",
            help="Upper end of the range (default: the finest range that holds the value).",
        ),
    ] = None,
    four_wire: Annotated[bool, typer.Option("--four-wire", help="It was taken with four wires.")] = False,
    again: Annotated[
        list[str] | None,
        typer.Option("--again", metavar="V", help="The same read again, probes lifted; may be repeated."),
    ] = None,
    decision: Annotated[
        str | None,
        typer.Option("--decision", metavar="plain|guarded", help="Decision rule (default: the bench's)."),
    ] = None,
    form: Format = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> int:
    """Check one value against a limit: in, out, or near.

    With --meter its lead resistance is subtracted and its uncertainty counts. Exit status 1 for any verdict but in.
    """
    from jobkit.book.read.load import open_book
    from jobkit.book.read.lookup import meter_named
    from jobkit.cli.call.shelves import shelf_of
    from jobkit.cli.call.show_page import show_page
    from jobkit.jobs.naming import named
    from jobkit.pages.bench.verdict import verdict_page
    from jobkit.reckon.readings.limits import judge_corrected
    from jobkit.reckon.readings.meters import CorrectedReading, Method, correct_reading, kind_on
    from jobkit.units.kinds import KINDS
    from jobkit.units.repeated import mean_of
    from jobkit.units.typed import as_written
    from jobkit.units.verdict import RULES, Decision

    if meter is None and (range_ is not None or four_wire):
        raise MisuseError("--range and --four-wire tell how a meter was used", "name the meter with --meter")
    kind = named(kind, KINDS, "kind of reading") if kind else None
    reading, ends = _both(value, limit, kind)
    if ends.empty:
        raise MisuseError(f'no value fits "{limit}"', "give the lower end first")
    values = (reading, *(_both(one, limit, kind)[0] for one in again)) if again else ()
    if any(one.open for one in values):
        raise MisuseError("an open reading has no mean with others", "leave out --again")
    reading = mean_of(values) if values else reading
    habit = Decision()
    corrected = CorrectedReading(
        reading, reading, uncertainty_missing="no meter is named", n=len(values) or 1
    )
    if meter is not None:
        bench = open_book(shelf_of(one_book(ctx, book))).bench
        habit, used = bench.settings.decision, meter_named(bench, meter)
        taken_as = kind or kind_on(used, reading)
        method = Method(taken_as, used.name, as_written(range_, taken_as) if range_ else None, four_wire)
        corrected = correct_reading(reading, method, bench.meters, habit.k, values)
    if corrected.range_error:
        raise MisuseError(corrected.uncertainty_missing, corrected.mend)
    rule = habit._replace(rule=named(decision, RULES, "decision rule")) if decision else habit
    answer = judge_corrected(corrected, ends, rule)
    show_page(verdict_page(corrected, ends, answer), form, output, color)
    return int(answer.word != "in")


def _both(value: str, limit: str, kind: str | None) -> tuple[Quantity, Limit]:
    """Read the value as a file has it, or as `read` takes it; what one of the two does not say, the other does."""
    from jobkit.units.limit import parse_limit
    from jobkit.units.quantity import QuantityError, parse_quantity

    try:
        reading = parse_quantity(value, kind)
    except QuantityError:
        reading = _typed(value, limit, kind)
    return reading, parse_limit(limit, kind or _kind_of(reading.unit))


def _typed(value: str, limit: str, kind: str | None) -> Quantity:
    """Read a value as it is typed at the bench: without a unit, with a comma, as a component code, open."""
    from jobkit.units.limit import LimitError, parse_limit
    from jobkit.units.quantity import parse_quantity
    from jobkit.units.typed import as_written, kinds_told

    told = kind or next(iter(kinds_told(value)), None)
    try:
        ends = parse_limit(limit, kind)
    except LimitError:
        # A component code in the limit takes its unit from the value.
        if told is None:
            raise
    else:
        # Where neither tells, as in OL checked against OL, it is what is read open on a bench: a resistance.
        told = kind or _kind_of(ends.unit) or ("resistance" if ends.open else told)
    assert told is not None
    return parse_quantity(as_written(value, told), told)


def _kind_of(unit: str) -> str | None:
    from jobkit.units.kinds import KINDS

    return next((kind.name for kind in KINDS.values() if kind.unit == unit), None)
