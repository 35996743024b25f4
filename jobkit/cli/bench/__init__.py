"""The writing commands: what is asked, written, checked and confirmed at the bench.

In: typed words and the state of the session. Out: changed files and their confirmation. Called by the commands that
write.
"""
