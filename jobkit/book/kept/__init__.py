"""What was worked out once and need not be worked out again, kept in git's own folder.

Whatever is kept may be thrown away at any time, and never changes an answer: everything is kept by the content it was
made from, the code that made it, and all else it depends on.
"""

from jobkit.book.kept.keep import Keep, keep_of

__all__ = ["Keep", "keep_of"]
