"""The forms of an answer: text for a terminal, Markdown, JSON and CSV.

In: blocks, data and table of an answer. Out: text. Called by the commands through `answer_forms`.
"""
