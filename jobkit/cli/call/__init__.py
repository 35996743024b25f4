"""What commands share: options, streams, output, clock, the book and job that a call names.

In: options and words. Out: open books, days, files to write to. Called by every command.
"""
