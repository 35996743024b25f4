"""One search: `python -m tests.fuzz.engine TARGET CORPUS [libFuzzer options]`, with atheris (extra `fuzz`).

atheris drives libFuzzer: what an input makes jobkit do for the first time is kept in CORPUS and altered further.
"""

from __future__ import annotations

import sys

import atheris


def main() -> None:
    with atheris.instrument_imports(include=["jobkit"]):
        from tests.fuzz.targets import TARGETS  # noqa: PLC0415 - instrumented as it is loaded
    name, *options = sys.argv[1:]
    atheris.Setup([sys.argv[0], *options], TARGETS[name].run)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
