"""Warranty: whether a board is covered on a day, how many come back, what a longer warranty would cost.

In: jobs and the warranty terms of the bench. Out: first and last day of cover, shares with their intervals, survival
curves. No legal advice. Called by `warranty`, `comebacks`, `due` and the report.
"""
