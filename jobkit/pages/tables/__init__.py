"""The book as tables for query engines: one row an object, the same keys in every row.

In: jobs and findings. Out: rows that follow `schema/export/`. Called by `export`.
"""
