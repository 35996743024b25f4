"""Coverage-guided fuzzing of all that reads what a stranger may have written: `python -m tests.fuzz`.

`targets` says what must hold of any bytes, `engine` searches for bytes of which it does not hold, `cases` keeps those
that were found; pytest goes through the cases and a fixed number of altered seeds without the engine.
"""
