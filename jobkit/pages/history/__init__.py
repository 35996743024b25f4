"""History on a page: the trail of a job and the differences between two states of a book.

In: changes in the words of the job. Out: blocks and data. Called by `trail` and `diff`.
"""
