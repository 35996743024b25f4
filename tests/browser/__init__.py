"""Pages in a real browser; skipped where there is none."""
