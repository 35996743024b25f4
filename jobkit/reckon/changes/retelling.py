"""Tell each thing once, and in the end what is so: the changes of several lines of work, put in one row."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator

from jobkit.reckon.changes.job_changes import CHANGED, REMOVED, Change, JobVersion, Step, told_of


class Retelling:
    """What has been told of a job so far, beside what it says in the end; `final` is None where it is gone."""

    def __init__(self, final: JobVersion | None) -> None:
        self._final = told_of(final) if final else None
        self._told: dict[Hashable, list[str]] = {}

    def news(self, changes: Iterable[Change]) -> tuple[Change, ...]:
        """Take in what a commit changed, and give of it what was not told before."""
        changes = tuple(changes)
        if any(one.what == "job" and one.how == REMOVED for one in changes):
            self._told.clear()
        return tuple(one for one in changes if not one.steps or self._take_all(one.steps))

    def _take_all(self, steps: Iterable[Step]) -> bool:
        """Note all steps of a change; tell whether one of them is news."""
        news = [self._take(step) for step in steps]
        return any(news)

    def _take(self, step: Step) -> bool:
        """Note a step; tell whether it is news."""
        texts = self._told.setdefault(step.key, [])
        if step.now and self._is_told(step, texts):
            return False
        if not step.now and step.was not in texts:
            return False
        _replace(texts, step)
        return True

    def _is_told(self, step: Step, texts: list[str]) -> bool:
        """Tell whether the text came by another line of work: told more often than this one had it.

        Of two that are alike, each on its own line, both are told where the job has both in the end.
        """
        told, in_the_end = texts.count(step.now), (self._final or {}).get(step.key, [])
        return step.was not in texts and told > step.there and told >= in_the_end.count(step.now)

    def last_words(self) -> tuple[Change, ...]:
        """Give what the job says in the end of each thing of which something else was told last."""
        return tuple(self._last_words())

    def _last_words(self) -> Iterator[Change]:
        for key, texts in self._told.items() if self._final is not None else ():
            is_ = self._final.get(key, []) if self._final else []
            if sorted(texts) != sorted(is_):
                what = key[0] if isinstance(key, tuple) else str(key)
                label = f"{key[1]} " if isinstance(key, tuple) and isinstance(key[1], str) else ""
                for text in is_:
                    yield Change(what, CHANGED, f"{label}{text}")
                if not is_:
                    yield Change(what, REMOVED, f"{label}{', '.join(texts)}")


def _replace(texts: list[str], step: Step) -> None:
    """Put the new text in the place of the old one; of two lines of work the old one may have gone already."""
    if step.was in texts:
        texts.remove(step.was)
    elif step.was and texts:
        texts.pop()
    if step.now:
        texts.append(step.now)
