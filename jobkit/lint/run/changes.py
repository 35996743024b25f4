"""What has changed since a whole book was looked at last, as far as the rules across jobs can tell."""

from __future__ import annotations

from jobkit.jobs.finding import Finding
from jobkit.lint.check.result import DIGEST, Head
from jobkit.lint.check.results import Looked
from jobkit.lint.registry import BOOK_CHECKS, Across

_MANY = 200
"""So many changes are not looked at one by one: all is asked anew."""


class Changes:
    """The jobs that came, went or changed since the last look; `changed` are their paths."""

    def __init__(self, looked: Looked) -> None:
        before = looked.before
        # Where nothing is new and as many are there as before, none is gone.
        same = not looked.fresh and len(before.heads) == len(looked.heads)
        self.changed = set() if same else {*looked.fresh, *(before.heads.keys() - looked.heads.keys())}
        is_known = before.own == looked.own and len(self.changed) <= _MANY
        self._known = before.across if is_known else {}
        self._before, self._heads = before.heads, looked.heads

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
        at = DIGEST * BOOK_CHECKS.index(rule)
        for path in self.changed:
            row, is_ = self._before.get(path), self._heads.get(path)
            was = Head._make(row) if row else None
            was_there, is_there = bool(was and was.is_read), bool(is_ and is_.is_read)
            if was_there != is_there:
                return True
            if (
                was
                and is_
                and is_there
                and (not is_.read or was.read[at : at + DIGEST] != is_.read[at : at + DIGEST])
            ):
                return True
        return False
