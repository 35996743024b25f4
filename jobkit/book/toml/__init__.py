"""TOML text: parse it, and find where each key and value is.

In: the bytes of one file. Out: plain data with dates as ISO strings, or one plain message with its line (`parse`);
the line and column of every path (`positions`, on top of `outline`). Called by the readers, the editors, the merge
and lint.
"""
