"""One module a command: its options, one call, one page, the exit status."""
