"""What an editor shows: texts, files and books, saved or not.

In: the addresses and texts that the client sends. Out: a text with its positions, a file with as much of it as can be
read, and a book in which unsaved files are in the place of saved ones. Called by all other rooms of the server.
"""
