"""The rules: a job and what the bench knows go in, findings come out."""
