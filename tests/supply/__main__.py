"""List what jobkit needs to run, with licences; or try it with the oldest versions that it allows.

python -m tests.supply              # the table of DEVELOPERS.md
python -m tests.supply --lowest     # a fresh environment with the oldest versions, and the tests in it
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
import venv
from pathlib import Path

from tests.bench.stopwatch import as_table
from tests.supply.packages import PYPROJECT, lowest, needed, required

ROOT = PYPROJECT.parent


def main() -> int:
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--lowest", action="store_true")
    words.add_argument("tests", nargs="*", default=["-m", "not slow"], help="options of pytest, behind --")
    chosen = words.parse_args()
    if chosen.lowest:
        return with_lowest(chosen.tests)
    rows = [
        (one.name, one.version, one.licence, "jobkit" if one.is_direct else "another package")
        for one in needed()
    ]
    print(as_table(rows, ("package", "version here", "licence", "asked for by")))
    return 0


def with_lowest(tests: list[str]) -> int:
    """Install the oldest versions that pyproject.toml allows of what jobkit needs to run, and run tests with them."""
    oldest = [lowest(one) for one in required() if one.marker is None or one.marker.evaluate()]
    with tempfile.TemporaryDirectory() as folder:
        venv.create(folder, with_pip=True)
        python = Path(folder) / "bin/python"
        subprocess.run([python, "-m", "pip", "install", "-q", f"{ROOT}[test]", *oldest], check=True)
        subprocess.run(
            [python, "-m", "pip", "uninstall", "-q", "-y", "jobkit"], check=True
        )  # the clone is tested
        print("with", ", ".join(oldest), flush=True)
        return subprocess.run(
            [python, "-m", "pytest", "-q", "-n", "2", *tests], cwd=ROOT, check=False
        ).returncode


if __name__ == "__main__":
    sys.exit(main())
