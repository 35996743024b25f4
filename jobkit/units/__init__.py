"""Quantities, wants, verdicts and meter accuracy: exact, pure, and without any knowledge of jobs."""
