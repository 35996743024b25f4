"""Heat on the board: which work heats it, until when it is warm, where each part is, and whether it was dry.

In: work entries and stock items. Out: times and days. Called by the entry defaults, the release and what falls due.
"""
