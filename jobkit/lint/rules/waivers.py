"""Waivers: findings accepted with a reason."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache

from jobkit.jobs.bench import Bench
from jobkit.jobs.finding import Finding
from jobkit.jobs.job import Job
from jobkit.jobs.renamed import RULES as OLD_RULES
from jobkit.jobs.renamed import renamed
from jobkit.lint.protocols import Waiving
from jobkit.lint.registry import RULES, Found, Rule, last_rule, rule
from jobkit.lint.rules.nearest import suggest


@rule("warning")
def waive_unknown(job: Job, _bench: Bench) -> Iterator[Found]:
    """A waiver names an unknown rule, or one that cannot be waived.

    What it finds: a [[waive]] whose `rule` is not a rule, or one that cannot be waived: schema, id-twice, sealed.

    Why it matters: it waives nothing, though it was meant to.

    How to fix: correct the name (`jobkit rules` lists them), or remove the waiver.

    Example: `rule = "meter-over-due"`.
    """
    for waive in job.waivers:
        if waive.rule is None:
            continue
        known = RULES.get(waive.rule)
        if known is None:
            new = renamed(waive.rule, OLD_RULES, RULES)
            mend = new or suggest(waive.rule, _waivable(), "see `jobkit rules`")
            message = f"there is no rule {waive.rule}"
            yield Found((*waive.path, "rule"), waive.rule, message, mend)
        elif not known.waivable:
            message = f"the rule {waive.rule} cannot be waived"
            yield Found(
                (*waive.path, "rule"), waive.rule, message, "fix what it finds, and remove this waiver"
            )


@last_rule("warning")
def waive_unused(job: Waiving, findings: Sequence[Finding]) -> Iterator[Found]:
    """A waiver has no effect.

    What it finds: a [[waive]] of a rule that finds nothing in this job, or nothing about what `about` names.

    Why it matters: the finding is fixed, or was misspelt; the waiver would hide the next finding.

    How to fix: remove the waiver, or correct `about`: the point, part, run, file or key that the finding is about.

    Example: `rule = "reading-outside"`, `about = "VCORE"` in a job with all proof readings in.
    """
    by_rule: dict[str, set[str]] = {}
    for one in findings:
        by_rule.setdefault(one.rule, set()).add(one.about)
    known = _waivable()
    for index, (name, about) in enumerate(job.waives):
        if name not in known:
            continue
        there = by_rule.get(name)
        if there is None:
            message = f"nothing to waive: {name} has no finding here"
            yield Found(("waive", index), name, message, "remove the waiver")
        elif about and about not in there:
            message = f"{name} has no finding about {about} here"
            mend = suggest(about, there, "remove the waiver, or correct about")
            yield Found(("waive", index, "about"), name, message, mend)


@cache
def _waivable() -> dict[str, Rule]:
    return {name: made for name, made in RULES.items() if made.waivable}
