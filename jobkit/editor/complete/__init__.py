"""Completion: what is being typed, and what the schemas and the book know for that place. Called by `questions`."""
