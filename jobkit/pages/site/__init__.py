"""The book as pages that lead to each other.

In: answers of the other rooms, and the facts of all jobs. Out: pages by name, with the links between them. Called by
`site`.
"""
