"""Where the text lives: shelves, reading, positions, editing, merging and git."""
