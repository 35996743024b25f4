"""Quantities, limits, verdicts and meter accuracy: exact, pure, and without any knowledge of jobs."""
