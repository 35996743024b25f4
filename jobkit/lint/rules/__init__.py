"""The rules, one module for each subject they guard, and the catalogue of all.

In: a job (or the bench's own files) and what the bench knows. Out: findings without place. A new rule is one
generator in the module of its subject. Called by the checks.
"""
