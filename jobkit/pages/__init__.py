"""What is seen: every page turns an answer into text and computes nothing."""
