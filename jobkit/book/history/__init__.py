"""What a book was before: the states of a job and of the working tree, out of git.

In: a repository and a path or a revision. Out: earlier jobs (`before`, `job_history`), pairs of states (`compare`),
and which jobs have changed since a known state (`changed_jobs`, `tree_snapshot`). Called by lint, `trail` and `diff`.
"""
