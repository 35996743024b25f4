"""What users read is plain English: the worst words do not come back."""
