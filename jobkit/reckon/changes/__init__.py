"""What changed between two states of a job or of the bench's own files, in the words of the job.

In: two records, or a history of states. Out: changes with their phrases. Called by `trail`, `diff`, git's readable
diffs and the rule `sealed`.
"""
