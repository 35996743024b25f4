"""Start jobkit: `jobkit`, or `python -m jobkit`."""

import gc
import os
from typing import NoReturn

from jobkit.cli.call.streams import leave
from jobkit.cli.start.main import main as run


def main() -> NoReturn:
    """Run the command line of this process, and end it with the exit status."""
    # A command is over in no time and makes next to nothing that refers to itself; looking for such things among a
    # hundred thousand jobs would cost a third of the whole.
    gc.disable()
    # The parser brings an allocator of its own, which would take a dozen megabytes in advance, for whatever may come.
    os.environ.setdefault("MIMALLOC_ARENA_EAGER_COMMIT", "0")
    leave(run())


if __name__ == "__main__":
    main()
