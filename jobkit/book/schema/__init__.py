"""The JSON Schemas: find them, check a document against one, and explain a refusal.

In: plain data out of a TOML file. Out: troubles, each with its path and a message (`gate`); the document without the
refused parts (`prune`). `entry_keys` tells `jot` which keys an entry may have. Called by the readers and by lint.
"""
