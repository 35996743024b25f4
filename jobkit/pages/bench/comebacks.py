"""Comebacks on a page: the share, the curve, what they have in common, and what a longer warranty would cost."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jobkit.pages.bench.warranty_extension import longer_data, longer_words
from jobkit.pages.blocks import Answer, Block, CurveStep, Line, StepCurve, Table, Title
from jobkit.pages.client.warranty import LAW
from jobkit.pages.forms.data import Data
from jobkit.pages.words import FOUND, counted, share
from jobkit.reckon.statistics.proportion import Interval
from jobkit.reckon.statistics.survival import BAND, SurvivalStep, median_stay
from jobkit.reckon.warranty.comebacks import FEW, FEW_BOARDS, Case, Group, Study
from jobkit.reckon.warranty.extension import WarrantyExtension

_GROUP_HEADS = ("boards", "came back", "share", "95 % interval")


def comebacks_page(bench: str, study: Study, extension: WarrantyExtension | None = None) -> Answer:
    """Show how many boards came back, how soon and what of, and what a longer warranty would add."""
    return Answer(list(_blocks(bench, study, extension)), _data(study, extension), _table(study.cases))


def _blocks(bench: str, study: Study, extension: WarrantyExtension | None) -> Iterator[Block]:
    yield Title(f"{bench}: comebacks as of {study.on}", 1)
    yield from map(Line, _summary(study))
    if study.by_found:
        yield Table(
            ("what was found", "came back"),
            [(FOUND.get(name, name), str(count)) for name, count in study.by_found.items()],
            right=("came back",),
        )
    yield from _curve(study)
    for head, groups in (
        ("design", study.by_design),
        ("cause", study.by_cause),
        ("kind of work", study.by_work),
    ):
        yield from _groups(head, groups)
    if extension:
        yield Title(f"A warranty of {extension.duration.words()}")
        yield from map(Line, longer_words(extension))
    yield Line(LAW)


def _summary(study: Study) -> Iterator[str]:
    boards, back = len(study.cases), study.comebacks
    if not boards:
        yield "No repaired board has been sent with a warranty yet."
    else:
        came = f"{back} of {counted(boards, 'repaired board')} came back under warranty"
        sure = f"with 95 % confidence the true share is between {_interval(study.interval)} (Wilson)"
        if boards < FEW_BOARDS:
            yield f"{came}: fewer than {FEW_BOARDS} boards are too few for a share; {sure}."
        else:
            yield f"{came}, {share(back / boards)}; {sure}."
        if boards >= FEW_BOARDS and back < FEW:
            yield (
                f"Fewer than {FEW} comebacks are too few for an estimate: chance decides more than the bench does. "
                "Use the intervals, not the shares."
            )
        if study.still_watched:
            yield (
                f"{counted(study.still_watched, 'board')} of them are still under warranty: the share counts "
                "them as not coming back, the curve does not."
            )
    if study.late:
        late = ", ".join(f"{one.id} (of {one.comeback_of})" for one in study.late)
        yield f"Came back after the warranty ended (not counted above): {late}."
    if study.contradicting:
        odd = ", ".join(one.id for one in study.contradicting)
        yield f"Not counted: {odd}. They were received before the earlier job was sent; fix the dates."


def _curve(study: Study) -> Iterator[Block]:
    if not study.curve:
        return
    yield Title("Days until a comeback")
    yield _drawn(study)
    yield Table(
        ("day", "boards watched", "came back", "not back", "95 % band"),
        [_step_row(step) for step in study.curve],
        right=("day", "boards watched", "came back", "not back"),
    )
    middle = median_stay(study.curve)
    half = f"Half were back by day {middle}. " if middle is not None else ""
    yield Line(
        f"{half}Kaplan-Meier, days since leaving; each board is watched until its warranty ends or until {study.on}. "
        f"Band: {BAND}."
    )


def _drawn(study: Study) -> StepCurve:
    steps = [
        CurveStep(
            step.day,
            float(step.survival),
            (step.low, step.high) if step.low is not None and step.high is not None else None,
        )
        for step in study.curve
    ]
    watched = sorted(case.stay.days for case in study.cases if not case.stay.came_back)
    end = max(case.stay.days for case in study.cases)
    return StepCurve(
        "Band: 95 %. A short mark is a board that was watched until that day and is not back.",
        "Share of boards that are not back, by days since they left",
        steps,
        watched,
        end,
    )


def _step_row(step: SurvivalStep) -> tuple[str, ...]:
    band = (
        f"{share(step.low)} to {share(step.high)}" if step.low is not None and step.high is not None else ""
    )
    return str(step.day), str(step.at_risk), str(step.comebacks), share(float(step.survival)), band


def _groups(head: str, groups: Sequence[Group]) -> Iterator[Block]:
    hit = [group for group in groups if group.comebacks]
    if not hit:
        return
    yield Title(f"By {head}")
    large = [group for group in hit if group.jobs >= FEW_BOARDS]
    if large:
        yield Table((head, *_GROUP_HEADS), [_group_row(group) for group in large], right=_GROUP_HEADS[:3])
    small = [group for group in hit if group.jobs < FEW_BOARDS]
    if small:
        each = "; ".join(f"{group.name} ({group.comebacks} of {group.jobs})" for group in small)
        yield Line(f"Came back, of fewer than {FEW_BOARDS} boards each: {each}.")
    rest = [group for group in groups if not group.comebacks]
    if rest:
        boards = counted(sum(group.jobs for group in rest), "board")
        yield Line(f"No comebacks of {counted(len(rest), f'other {head}', _plural(head))} ({boards}).")
    if head == "kind of work":
        yield Line(
            "A board counts under each kind of work done on it; inspecting and cleaning are not counted."
        )


def _plural(head: str) -> str:
    return "other kinds of work" if head == "kind of work" else f"other {head}s"


def _group_row(group: Group) -> tuple[str, ...]:
    return (
        group.name,
        str(group.jobs),
        str(group.comebacks),
        share(group.comebacks / group.jobs),
        _interval(group.interval, " to "),
    )


def _interval(interval: Interval, joint: str = " and ") -> str:
    return f"{share(interval.low)}{joint}{share(interval.high)}"


def _table(cases: Sequence[Case]) -> Table:
    heads = (
        "job",
        "design",
        "cause",
        "left on",
        "covered until",
        "came back as",
        "received",
        "found",
        "days watched",
    )
    return Table(heads, [_case_row(case) for case in cases], right=("days watched",))


def _case_row(case: Case) -> tuple[str, ...]:
    one, back = case.facts, case.back
    return (
        one.id,
        one.design,
        one.cause_fault or one.cause_part,
        str(case.left),
        str(case.end),
        back.id if back else "",
        back.received if back else "",
        back.comeback_found if back else "",
        str(case.stay.days),
    )


def _data(study: Study, extension: WarrantyExtension | None) -> Data:
    boards, back = len(study.cases), study.comebacks
    return {
        "on": str(study.on),
        "jobs": boards,
        "comebacks": back,
        "rate": back / boards if boards else None,
        "interval": study.interval._asdict() if boards else None,
        "still_watched": study.still_watched,
        "few": back < FEW,
        "by_found": dict(study.by_found),
        "curve": [_step_data(step) for step in study.curve],
        "median_days": median_stay(study.curve),
        "by_design": _group_data(study.by_design),
        "by_cause": _group_data(study.by_cause),
        "by_work": _group_data(study.by_work),
        "late": [one.id for one in study.late],
        "contradicting": [one.id for one in study.contradicting],
        "longer": longer_data(extension) if extension else None,
    }


def _step_data(step: SurvivalStep) -> Data:
    return {**step._asdict(), "survival": float(step.survival)}


def _group_data(groups: Sequence[Group]) -> list[Data]:
    return [{**group._asdict(), "interval": group.interval._asdict()} for group in groups]
