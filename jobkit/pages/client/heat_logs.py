"""What the logs of heatings show, in a row each: for the client's paper and the page of a job."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jobkit.pages.blocks import Block, Table, filled
from jobkit.pages.client.load_logs import VERDICTS
from jobkit.pages.client.work_kinds import heating_words
from jobkit.pages.forms.data import Data, measured
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.reckon.heat.probe import BODY, JOINT
from jobkit.reckon.heat.work_log import HeatEvidence, check_words
from jobkit.units.phrase import phrase

_HEADS = (
    phrase("day"),
    phrase("heating"),
    phrase("hottest at the body top"),
    phrase("at the joint"),
    phrase("verdict"),
)


def heat_log_blocks(evidence: Sequence[HeatEvidence], lang: Language = ENGLISH) -> Iterator[Block]:
    """Show heating by heating how hot package and joint became, and whether that was within their limits."""
    if evidence:
        yield filled(Table([lang.say(head) for head in _HEADS], [_row(one, lang) for one in evidence]))


def heat_logs_data(evidence: Sequence[HeatEvidence]) -> list[Data]:
    """Give what the log of each heating shows."""
    return [
        {
            "at": one.work.at.isoformat() if one.work.at else None,
            "did": one.work.did,
            "part": one.work.part,
            "log": one.work.heat,
            "verdict": one.word or None,
            "trouble": one.trouble or None,
            "checks": [
                {
                    "name": check.name,
                    "place": check.place,
                    "value": measured(check.value),
                    "limit": check.limit.text if check.limit else None,
                    "verdict": check.word or None,
                    "why": check.why or None,
                }
                for check in one.checks
            ],
        }
        for one in evidence
    ]


def _row(one: HeatEvidence, lang: Language) -> tuple[str, ...]:
    work = one.work
    return (
        lang.day(work.at.date()) if work.at else "",
        heating_words(work, lang),
        _peaks(one, BODY),
        _peaks(one, JOINT),
        verdict_words(one, lang),
    )


def verdict_words(one: HeatEvidence, lang: Language = ENGLISH) -> str:
    """Say whether a heating was within its limits, and what was not."""
    if one.trouble:
        return lang.say("the log cannot be used: {why}", why=one.trouble)
    if not one.checks:
        return lang.say("not checked: no thermocouple was where a limit is known")
    worst = [lang.text(check_words(check)) for check in one.worst]
    told = "" if one.word == "in" else f": {'; '.join(dict.fromkeys(worst))}"
    return lang.say(VERDICTS[one.word]) + told


def _peaks(one: HeatEvidence, where: str) -> str:
    """Say the highest temperature at each place of a kind, but for thermocouples that cannot be trusted."""
    return ", ".join(
        f"{column.probe.part} {column.measured.peak:.0f} °C".strip()
        for column in one.columns
        if column.probe.where == where and column.readings and not column.measured.fault
    )
