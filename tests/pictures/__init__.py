"""The pictures of the README, drawn from the example book: `python -m tests.pictures` writes them again.

What goes in: calls of jobkit. What comes out: SVG files beside this one, the same bytes each time.
A test compares them.
"""
