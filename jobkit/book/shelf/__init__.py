"""Where the text of a book is: the working tree, git's index, or a commit.

In: the folder of a book and what to read. Out: the paths of its files and their bytes. A shelf does not parse anything.
Called by the readers, by lint and by every command.
"""
