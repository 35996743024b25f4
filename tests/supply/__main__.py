"""List what jobkit needs to run, with licences; or try it with the oldest versions that it allows.

python -m tests.supply              # the table of DEVELOPERS.md
python -m tests.supply --wheels     # what has no wheel for a common system: asks the package index, takes minutes
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
from tests.supply.wheels import PLATFORMS, PYTHONS, all_packages, ask_pip, lacking

ROOT = PYPROJECT.parent


def main() -> int:
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--lowest", action="store_true")
    words.add_argument("--wheels", action="store_true")
    words.add_argument("tests", nargs="*", default=["-m", "not slow"], help="options of pytest, behind --")
    chosen = words.parse_args()
    if chosen.lowest:
        return with_lowest(chosen.tests)
    if chosen.wheels:
        return without_wheels()
    rows = [
        (one.name, one.version, one.licence, "jobkit" if one.is_direct else "another package")
        for one in needed()
    ]
    print(as_table(rows, ("package", "version here", "licence", "asked for by")))
    return 0


def without_wheels() -> int:
    """Print which packages have no wheel for which system, and with which versions of Python; 1 if there are any."""
    packages = all_packages()
    print(f"asked for {', '.join(packages)} with Python {', '.join(PYTHONS)}", file=sys.stderr, flush=True)
    if not ask_pip(["pip"], PYTHONS[0], next(iter(PLATFORMS))):
        print("the package index does not answer", file=sys.stderr)
        return 2
    rows = [(one.package, one.platform, ", ".join(one.pythons)) for one in lacking(packages, ask_pip)]
    print(as_table(rows, ("package", "no wheel for", "with Python")))
    return int(bool(rows))


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
