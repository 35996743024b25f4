"""The languages of papers for clients: their words, and how they write figures, money and days.

In: a language tag, and the catalogues that the book has of its own. Out: a `Language`, with which the pages of `client`
write their sentences, and the templates theirs. English is the language in which they are written, and needs nothing.
"""
