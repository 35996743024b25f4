"""Heat on the board: which work heats it, until when it is warm, and how long a part may stay unpacked.

In: work entries and stock items. Out: times and days. Called by the entry defaults, the release and what falls due.
"""
