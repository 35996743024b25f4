"""Start jobkit: `jobkit`, or `python -m jobkit`."""

import gc
import sys

from jobkit.cli.main import main as run


def main() -> int:
    """Run the command line of this process, and return its exit status."""
    # A command is over in no time and makes next to nothing that refers to itself; looking for such things among a
    # hundred thousand jobs would cost a third of the whole.
    gc.disable()
    return run()


if __name__ == "__main__":
    sys.exit(main())
