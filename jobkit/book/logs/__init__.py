"""Read the logs that other programs write: memory tests, thermocouples, load runs.

In: a binary stream and options. Out: rows of named columns a batch at a time, in bounded memory (`columns.Log`), or
numbers over time (`series.Series`), with what was guessed and what was skipped. What is wrong in a log is a value with
a line number; reading never raises for it. Called by the commands that read a log, and by lint where a job names one.
"""
