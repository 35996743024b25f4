"""From what was observed on a board to its possible causes, and to the check that tells most in a minute.

In: a job, its board file, and which causes the finished jobs of the design had. Out: the causes in order, each with its
probability and with what speaks for and against it, and the next checks. The causes and what they affect are a network
with noisy-OR gates: a cause makes a check fail with its own probability, independently of the others.
Called by `suspects`, by `queue` and `show` (the next step of a board on the bench), and by the simulation of the tests.
"""
