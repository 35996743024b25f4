"""Start jobkit: `jobkit`, or `python -m jobkit`."""

import gc
from typing import NoReturn

from jobkit.cli.call.streams import exit_now
from jobkit.cli.start.main import main as run


def main() -> NoReturn:
    """Run the command line of this process, and end it with the exit status."""
    # A command is over in no time and makes next to nothing that refers to itself; looking for such things among a
    # hundred thousand jobs would cost a third of the whole.
    gc.disable()
    exit_now(run())


if __name__ == "__main__":
    main()
