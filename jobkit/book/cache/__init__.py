"""The store of answers that were calculated before, in git's own folder.

In: content ids and what was calculated from that content. Out: the same answer again, or nothing. Every row is keyed by
the content it was made from and by the code that made it, so deleting the store never changes an answer.
"""
