"""What is typed: one thin file a command."""
