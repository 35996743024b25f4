"""From files to records: read jobs, board files and the bench's own files as far as they can be read.

In: a shelf. Out: records (`jobkit.jobs`) and the troubles met on the way; a broken value is absent and has a trouble,
and it never stops the rest. `parallel` and `batches` hold the speed for thousands of files. Called by lint and all
commands.
"""
