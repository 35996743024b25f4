"""Run the rules over a book, over a few staged jobs, or over its history.

In: an open book and its shelf. Out: one sorted list of findings. Called by `lint`, the hook, the writing commands and
`export`.
"""
