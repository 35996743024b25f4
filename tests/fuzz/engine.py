"""Searches with atheris: `python -m tests.fuzz.engine [--blind] < SEARCHES`.

SEARCHES is a JSON object {TARGET: [CORPUS, option, …]}.

atheris drives libFuzzer, whose options these are: an input that makes jobkit do something for the first time is kept in
CORPUS and altered further.
What a search says goes to the file CORPUS.said. jobkit is instrumented once, which takes longer than a short search;
each search then runs in a copy of this process, as libFuzzer ends the process that it runs in. With --blind jobkit is
not instrumented: inputs are altered without a guide, and many more are tried in the same time.
"""

from __future__ import annotations

import json
import os
import sys
from contextlib import nullcontext

import atheris


def main() -> int:
    """Search, one target after the other; 1 if a search found something or did not run."""
    searches = json.load(sys.stdin)
    guide = nullcontext() if "--blind" in sys.argv else atheris.instrument_imports(include=["jobkit"])
    with guide:
        from tests.fuzz.targets import TARGETS  # noqa: PLC0415 - instrumented as it is loaded
    ends = []
    for name, options in searches.items():
        copy = os.fork()
        if not copy:
            said = os.open(f"{options[0]}.said", os.O_CREAT | os.O_WRONLY)
            os.dup2(said, sys.stderr.fileno())
            atheris.Setup([sys.argv[0], *options], TARGETS[name].run)
            atheris.Fuzz()
        ends.append(os.waitstatus_to_exitcode(os.waitpid(copy, 0)[1]))
    return int(any(ends))


if __name__ == "__main__":
    sys.exit(main())
