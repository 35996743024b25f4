"""Findings of lint and the rule catalogue, as lines and in the forms that other programs read.

In: findings and rules. Out: text, JSON, SARIF, GitHub lines. Called by `lint`, `rules` and the hook.
"""
