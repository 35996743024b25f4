"""Readings: corrected for their meter, checked against a limit, compared with other good boards.

In: readings of jobs, limits of board files, meters. Out: verdicts with their uncertainty, usual readings of a design,
odd ones out, and limits proposed for a board file. Called by lint, by the writing commands and by the pages.
"""
