"""The bench's arithmetic: jobs, facts and a date go in, a typed answer comes out."""
