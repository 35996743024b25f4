"""Parts: how many are on hand, what to reorder, what donor boards still carry.

In: counts of stock.toml and the parts that jobs used. Out: quantities and their cost. Called by `stock` and by what
falls due.
"""
