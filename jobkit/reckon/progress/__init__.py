"""How work moves: the status of a job, what must be proved before release, the queue, what falls due, the week.

In: jobs or their facts, and a day. Out: rows for the roll-ups. Called by the roll-ups, lint and the papers.
"""
