"""Money: the price of a job, its bill with tax, and what the bench earns.

In: jobs and the terms of the bench. Out: exact amounts with their currency. One price (`priced`) serves the bill, the
status, the week and the earnings. No legal or tax advice. Called by lint, the roll-ups and the papers.
"""
