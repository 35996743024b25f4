"""Check one file: run its rules, find the place of each finding, apply waivers and levels.

In: one loaded file and the bench. Out: findings with line and column, and the row that the store keeps of them.
Called by the runs.
"""
