"""The possible causes of a fault and the next check, on a page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jobkit.pages.bench.suspects_data import suspects_data
from jobkit.pages.bench.suspects_words import cautions_of, chance, observed_words, remarks, result_words
from jobkit.pages.blocks import Answer, Block, Line, Table, Title, filled
from jobkit.pages.words import counted, listed
from jobkit.reckon.suspects.before_power import SUPPLY_RESISTANCE
from jobkit.reckon.suspects.network import EXPECTED
from jobkit.reckon.suspects.next_check import Gain
from jobkit.reckon.suspects.ranking import Search, Suspect

_SHOWN = 8
"""So many suspects are shown; JSON has all of them."""

_NEXT_SHOWN = 5


def suspects_page(found: Search) -> Answer:
    """Show the suspects in order, what speaks for and against each, and the checks that tell most in a minute."""
    return Answer(list(_blocks(found)), suspects_data(found))


def _blocks(found: Search) -> Iterator[Block]:
    job = found.job
    yield Title(f"{job.id}: suspects", 1)
    yield Line(listed(job.board.kind, job.board.design, job.title))
    yield Line(_basis(found))
    yield _table(found)
    yield from map(Line, _rest(found))
    yield from _next(found)
    yield from map(Line, remarks(found))


def _basis(found: Search) -> str:
    """Say what the order rests on."""
    if not found.documented:
        return (
            "No board file lists causes for this board: these are general causes of the kind, in order only. "
            "A board file with its map, rails and causes makes the order much better."
        )
    past = (
        f" and {counted(found.past_jobs, 'finished job')} of the design with a cause"
        if found.past_jobs
        else ""
    )
    failed = sum(one.failed for one in found.findings)
    return (
        f"From {counted(failed, 'failure')} and {counted(len(found.findings) - failed, 'good result')}, the weights of "
        f"the board file{past}. The figures order the search; they prove nothing."
    )


def _table(found: Search) -> Table:
    heads = ("", "suspect", "probability", "for", "against")
    rows = [
        (
            str(number),
            one.candidate.name,
            chance(one.probability) if found.documented else "",
            observed_words(one.supports),
            _against(one),
        )
        for number, one in enumerate(found.suspects[:_SHOWN], 1)
    ]
    return filled(Table(heads, rows, right=("", "probability")))


def _against(one: Suspect) -> str:
    return "; ".join(filter(None, (observed_words(one.contradicts), one.replaced)))


def _rest(found: Search) -> Iterator[str]:
    if found.documented:
        if any(one.failed for one in found.findings):
            yield f"None of the causes listed: {chance(found.none_of_these)}."
        pair = next((one for one in found.posterior.largest(3) if len(one.causes) == 2), None)
        if pair and pair.probability >= 0.05:
            names = " and ".join(found.suspect_at(place).candidate.name for place in pair.causes)
            yield f"Two at once: {names}, {chance(pair.probability)}."
        if found.suspects:
            yield (
                f'`jobkit suspects {found.job.id} --why "{found.suspects[0].candidate.name}"` shows the arithmetic; '
                f"by the priors a board has {EXPECTED} causes on average."
            )


def _next(found: Search) -> Iterator[Block]:
    yield Title("Next check")
    if found.cold.outside:
        reads = "reads outside its limit" if len(found.cold.outside) == 1 else "read outside their limits"
        yield Line(f"No power yet: {', '.join(found.cold.outside)} {reads} cold.")
    for near in found.cold.near:
        finer = f" with a finer meter: {', '.join(near.finer)}" if near.finer else ""
        yield Line(f"No power yet: {near.point} reads too near its limit cold to tell. Read it again{finer}.")
    if found.cold.unread:
        yield Line(f"Before the board gets power, read cold: {', '.join(found.cold.unread)}.")
    if SUPPLY_RESISTANCE in found.cold.unread:
        yield Line(
            "No limit says whether these rails are right: compare each with a board of the same design, then write "
            f'`jobkit jot seen "{SUPPLY_RESISTANCE}" passed rails`, or `failed` and the rail.'
        )
    if found.likely:
        yield Line(
            f"Look at this first, and confirm it before you replace anything: {found.likely.candidate.name}."
        )
    shown = found.next[:_NEXT_SHOWN]
    if not shown:
        yield Line("No check that can be made now tells these causes apart.")
    else:
        yield _checks(found, shown)
        yield from _first(found, shown[0])
    if found.held_back:
        names = ", ".join(one.check.name for one in found.held_back[:_NEXT_SHOWN])
        yield Line(f"After that, under power: {names}.")


def _checks(found: Search, gains: Sequence[Gain]) -> Table:
    heads = ("check", "minutes", "board", "bits", "bits/min", "how")
    return filled(Table(heads, [_check(found, one) for one in gains], right=("minutes", "bits", "bits/min")))


def _check(found: Search, gain: Gain) -> tuple[str, ...]:
    """Give the row of a check; on an undocumented board without figures of what it tells."""
    check = gain.check
    figures = (f"{gain.bits:.2f}", f"{gain.per_minute:.3f}") if found.documented else ("", "")
    how = "; ".join(filter(None, ("needed before power" if check.wanted else "", check.how)))
    return check.name, f"{check.minutes:g}", check.state, *figures, how


def _first(found: Search, gain: Gain) -> Iterator[Block]:
    if found.documented and found.results:
        yield Line(f"What a result of {gain.check.name} would mean:")
        yield Table(("result", "probability", "then"), [*result_words(found)], right=("probability",))
    if caution := cautions_of(gain.check):
        yield Line(caution)
