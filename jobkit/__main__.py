"""Start jobkit: `python -m jobkit`."""

import sys

from jobkit.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
