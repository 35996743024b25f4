"""jobkit: job files in plain text and git for a board repair bench."""

__version__ = "0.1.0"
