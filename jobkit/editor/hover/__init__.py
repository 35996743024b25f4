"""What is under the cursor, in words: `answer` asks the others, each of which knows one part of the book."""
