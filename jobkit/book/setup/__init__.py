"""Set up a book and its repository: new files, the example, the hook, the diffs and the merges.

In: answers of the user and a folder. Out: the files of a new book (`new_book`), the example with its history
(`example`), the settings of git (`wiring`). Called by `init`, `demo`, `wire` and the hook.
"""
