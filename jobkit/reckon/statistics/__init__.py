"""Statistics on plain numbers, without any knowledge of boards.

In: exact decimals or counts. Out: quantiles, moments, outliers, tolerance intervals, proportions and survival curves,
each with its source. Called by the readings, the warranty and the progress of the bench.
"""
