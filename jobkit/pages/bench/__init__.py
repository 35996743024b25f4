"""The pages for the bench: job, design, readings, stock, queue, week and the other roll-ups.

In: answers of `reckon`. Out: blocks, data and tables. Called by the command of the same name.
"""
