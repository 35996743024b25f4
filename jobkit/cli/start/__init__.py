"""Start and end of the program: find the command, run it, turn errors into one line and a status.

In: the words of the command line. Out: the exit status. Called by `jobkit.__main__`.
"""
