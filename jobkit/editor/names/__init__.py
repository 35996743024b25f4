"""What names mean: which point, part or job a place of a file names, where it is defined, where else it is named.

In: open files and their book. Out: names with their offsets, places to go to, references, renames. Called by
`questions`, `hover` and `complete`.
"""
