"""The pre-commit hook: `python -m jobkit.hook` lints what is about to be committed, and starts as little as it can."""

from __future__ import annotations

import sys

from jobkit.cli.linting import LintCall, run
from jobkit.cli.main import guarded
from jobkit.cli.streams import forgiving


def main() -> int:
    """Lint git's index; the status is 1 where a finding stands in the way of the commit."""
    forgiving(sys.stdout, sys.stderr)
    return guarded(lambda: run(LintCall(staged=True, strict="--strict" in sys.argv[1:])))


if __name__ == "__main__":
    sys.exit(main())
