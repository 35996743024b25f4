"""Changes to files of the book: new entries, new jobs, undo, tidy, upgrade.

In: the text of a file and what to change. Out: the new text, written whole or not at all (`disk`), one writer at a time
(`write_lock`). `session` remembers the job chosen and the last writes. Called by the writing commands.
"""
