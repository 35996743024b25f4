"""What has changed since a whole book was looked at last, as far as the rules across jobs can tell."""

from __future__ import annotations

from functools import cached_property
from operator import attrgetter

from jobkit.book.facts import known_packed
from jobkit.book.kept.packed import unpack
from jobkit.book.load import OpenBook
from jobkit.jobs.facts import Facts
from jobkit.jobs.finding import Finding
from jobkit.lint.at_hand import JobsAtHand
from jobkit.lint.heads import Head, Looked
from jobkit.lint.registry import Across

_LOST = b""
"""Stands for facts that are no longer kept, so that nothing can be told from them."""

_MANY = 200
"""So many changes are not looked at one by one: all is asked anew."""


class Changes:
    """The jobs that came, went or changed since the last look; `changed` are their paths."""

    def __init__(self, book: OpenBook, looked: Looked, jobs: JobsAtHand) -> None:
        before = looked.before
        # Where nothing is new and as many are there as before, none is gone.
        same = not looked.fresh and len(before.heads) == len(looked.heads)
        self.changed = set() if same else {*looked.fresh, *(before.heads.keys() - looked.heads.keys())}
        is_known = before.own == looked.own and len(self.changed) <= _MANY
        self._known = before.across if is_known else {}
        self._book, self._looked, self._jobs = book, looked, jobs

    def may_have_moved(self, rule: Across, path: str) -> bool:
        """Tell whether a finding that still holds may stand at another place by now, because its file has changed."""
        return path in self.changed and path in self._known.get(rule.made.name, {})

    def taken_over(self, rule: Across) -> dict[str, list[Finding]] | None:
        """Give what a rule found before in the jobs that have not changed; None where all have to be asked anew."""
        found = self._known.get(rule.made.name)
        if found is None or (self.changed and self._touch(rule)):
            return None
        return {
            path: [Finding._make(one) for one in of_job]
            for path, of_job in found.items()
            if path not in self.changed
        }

    def _touch(self, rule: Across) -> bool:
        """Tell whether any job has come or gone, or changed in what the rule reads."""
        read = attrgetter(*rule.reads) if rule.reads else None
        for was, is_ in self._pairs:
            if was is None or is_ is None:
                if was is not is_:
                    return True
            elif was == _LOST or (read and read(was) != read(is_)):
                return True
        return False

    @cached_property
    def _pairs(self) -> list[tuple[Facts | bytes | None, Facts | None]]:
        """Give the facts of each changed job before and after, None where it could not be read or was not there."""
        heads = {
            path: Head._make(self._looked.before.heads[path])
            for path in self.changed
            if path in self._looked.before.heads
        }
        packed = known_packed(self._book.shelf, {path: head.blob for path, head in heads.items()})
        pairs = []
        for path in self.changed:
            was = None
            if path in heads and heads[path].is_read:
                was = unpack(packed[path]) if path in packed else _LOST
            pairs.append((was, self._jobs.at(path) if path in self._looked.heads else None))
        return pairs
