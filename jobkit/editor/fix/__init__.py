"""Quick fixes: what a finding says to write, add or remove, done; a waiver or an amendment to fill in.

In: an open file, its book, and the findings that a stretch of the file touches. Out: code actions, each one edit that
the editor applies. `quick_fixes` puts them together, each other module offers one sort of change. Called by
`questions`.
"""
