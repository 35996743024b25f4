"""The one gate to the disk: files are opened step by step below a folder that the person named; no link is followed.

In: a root, and the path of a file below it, which may come from a stranger's repository. Out: bytes, or a `DiskError`
that says what is wrong and how to fix it. What is not a plain file (a folder, a device, a named pipe, a socket) is
refused, and so is a file larger than 16 MB where its text is wanted. Called by the shelves, the cache, the readers of
git's own files and every command that writes.
"""
