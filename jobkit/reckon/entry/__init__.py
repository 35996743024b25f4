"""From typed words to an entry of a job file.

In: the words behind `read`, `walk` and `jot`, and what is known at the bench. Out: readings and entries with their
keys, not yet written. Called by the writing commands.
"""
