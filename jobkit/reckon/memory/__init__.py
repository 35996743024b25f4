"""From the errors of a memory test to data lines and packages.

In: the rows of a memory log, and the memory map of a board file. Out: counts a line, the kind of each fault with how
sure the log makes it, and where the channels are on the board. Called by the commands that read or write a memory
test, by lint, and by the search for suspects.
"""
