"""Faults on purpose: kills, failing writes, merges and hostile files against real commands, and what they cost.

`python -m tests.faults` runs them all and prints a Markdown table.
"""
