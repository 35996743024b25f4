"""Lint as it is called: by the command, by the hook, by a framework.

In: options of a call. Out: findings on stdout and a status. Needs no command-line library.
"""
