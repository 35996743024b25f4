"""Start the merge driver: `python -m jobkit.book.merge BASE OURS THEIRS SIZE PATH`."""

import sys

from jobkit.book.merge.driver import main

if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
